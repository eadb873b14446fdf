"""Tell every open tab that something has changed: the source of its server-sent events.

Work happens in threads, tabs are served on the event loop; a signal crosses from one to the other.
A tab that reads too slowly loses old signals, never the newest: each only says "look again".
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from threading import Lock
from typing import Any

KEEP_ALIVE_SECONDS = 15.0
_WAITING = 16


class Signals:
    """Those who listen, and how they are told."""

    def __init__(self) -> None:
        """Start with nobody listening."""
        self._lock = Lock()
        self._listening: set[tuple[asyncio.AbstractEventLoop, asyncio.Queue[str]]] = set()

    def send(self, **news: Any) -> None:
        """Tell everyone; may be called from any thread."""
        text = json.dumps(news)
        with self._lock:
            listening = list(self._listening)
        for loop, queue in listening:
            if not loop.is_closed():
                loop.call_soon_threadsafe(_put, queue, text)

    async def stream(self, **first: Any) -> AsyncIterator[bytes]:
        """Yield what is sent from now on, as server-sent events, ``first`` before all."""
        place = (asyncio.get_running_loop(), asyncio.Queue[str](_WAITING))
        with self._lock:
            self._listening.add(place)
        try:
            yield f"retry: 1000\ndata: {json.dumps(first)}\n\n".encode()
            while True:
                try:
                    async with asyncio.timeout(KEEP_ALIVE_SECONDS):
                        text = await place[1].get()
                    yield f"data: {text}\n\n".encode()
                except TimeoutError:
                    yield b": still here\n\n"
        finally:
            with self._lock:
                self._listening.discard(place)


def _put(queue: asyncio.Queue[str], text: str) -> None:
    if queue.full():
        queue.get_nowait()
    queue.put_nowait(text)
