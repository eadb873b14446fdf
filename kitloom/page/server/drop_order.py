"""In which order do dropped files join the kit? In that of the drop, whichever is measured first.

Files of one drop are sent and measured two at a time; each then waits, on the event loop, until
those before it are in the kit or refused. So the same drop gives the same recipe every time.
"""

from __future__ import annotations

import asyncio
from collections import OrderedDict, defaultdict
from contextlib import suppress

LONGEST_SECONDS = 30.0  # one that never came must not stop those behind it
MOST_DROPS = 32


class DropOrder:
    """Which files have passed, drop by drop; used by one event loop."""

    def __init__(self, longest_seconds: float = LONGEST_SECONDS) -> None:
        """None has passed yet; none waits longer than that for one that never comes."""
        self._longest_seconds = longest_seconds
        self._drops: OrderedDict[str, defaultdict[int, asyncio.Event]] = OrderedDict()

    async def wait_for_those_before(self, drop: str, number: int) -> None:
        """Return once all before this number have passed; a file alone, of no drop, at once."""
        if not drop:
            return
        with suppress(TimeoutError):
            async with asyncio.timeout(self._longest_seconds):
                for earlier in range(number):
                    await self._passed(drop, earlier).wait()

    def passed(self, drop: str, number: int) -> None:
        """Let the next one pass, whether this one was taken in or not."""
        if drop:
            self._passed(drop, number).set()

    def _passed(self, drop: str, number: int) -> asyncio.Event:
        events = self._drops.setdefault(drop, defaultdict(asyncio.Event))
        while len(self._drops) > MOST_DROPS:
            self._drops.popitem(last=False)
        return events[number]
