"""In which order do dropped files join the kit? In that of the drop, whichever is measured first.

Files of one drop are sent and measured two at a time; each then waits until those before it are
in the kit or refused. So the same drop gives the same recipe every time.
"""

from __future__ import annotations

from threading import Condition

LONGEST_SECONDS = 30.0  # one that never came must not stop those behind it
_KEPT = 32


class Turns:
    """Who has had a turn, drop by drop."""

    def __init__(self) -> None:
        """Nobody has had one yet."""
        self._changed = Condition()
        self._had: dict[str, set[int]] = {}

    def wait_for(self, drop: str, number: int) -> None:
        """Return once all before this number have had their turn; a file alone need not wait."""
        if drop:
            with self._changed:
                self._changed.wait_for(
                    lambda: self._had.get(drop, set()).issuperset(range(number)), LONGEST_SECONDS
                )

    def end(self, drop: str, number: int) -> None:
        """Let the next one have its turn, whether this one was taken in or not."""
        with self._changed:
            self._had.setdefault(drop, set()).add(number)
            while len(self._had) > _KEPT:
                self._had.pop(next(iter(self._had)))
            self._changed.notify_all()
