"""Tell every open tab that something has changed: the source of its server-sent events.

Work happens in threads, tabs are served on the event loop; a signal crosses from one to the other.
A tab that reads too slowly loses old signals, never the newest: each only says "look again".
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import suppress
from threading import Lock

KEEP_ALIVE_SECONDS = 15.0
_WAITING = 16


class Signals:
    """Those who listen, how they are told, and how often there was something to tell.

    A page carries the count of signals as it was before the page was made. What it shows is at
    least as new as that count, so a tab can tell an older page from a newer one, and knows whether
    more has happened since.
    """

    def __init__(self) -> None:
        """Start with nobody listening."""
        self._lock = Lock()
        self._listening: set[tuple[asyncio.AbstractEventLoop, asyncio.Queue[str | None]]] = set()
        self._sent = 0

    @property
    def sent(self) -> int:
        """How many signals there were."""
        return self._sent

    def send(self, what: str) -> None:
        """Tell everyone; may be called from any thread, after what happened has happened."""
        with self._lock:
            self._sent += 1
            self._tell(_news(what, self._sent))

    def end(self) -> None:
        """Let everyone go who listens: the server ends, and would wait for them."""
        with self._lock:
            self._tell(None)

    def _tell(self, text: str | None) -> None:
        for loop, queue in self._listening:
            with suppress(RuntimeError):  # its loop is closed by now
                loop.call_soon_threadsafe(_put, queue, text)

    async def stream(self) -> AsyncIterator[bytes]:
        """Yield what is sent from now on as server-sent events; the first says how much was."""
        place = (asyncio.get_running_loop(), asyncio.Queue[str | None](_WAITING))
        with self._lock:
            self._listening.add(place)
            first = _news("hello", self._sent)
        try:
            yield f"retry: 1000\ndata: {first}\n\n".encode()
            while True:
                try:
                    async with asyncio.timeout(KEEP_ALIVE_SECONDS):
                        text = await place[1].get()
                    if text is None:
                        return
                    yield f"data: {text}\n\n".encode()
                except TimeoutError:
                    yield b": still here\n\n"
        finally:
            with self._lock:
                self._listening.discard(place)


def _news(what: str, seen: int) -> str:
    return json.dumps({"what": what, "seen": seen})


def _put(queue: asyncio.Queue[str | None], text: str | None) -> None:
    if queue.full():
        queue.get_nowait()
    queue.put_nowait(text)
