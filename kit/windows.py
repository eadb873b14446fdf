"""Where in its pattern's plane does each sticker's window sit?

In: the slots, their fills and the planes. Out: for each patterned slot a ``Window``: the offset of
its top left corner in the plane, in millimetres. Copies of one pattern get different offsets.

The offsets follow the additive recurrence of the plastic number (M. Roberts, "The unreasonable
effectiveness of quasirandom sequences", 2018), which spreads any number of points evenly over the
tile: the first window starts at the tile's corner, and no two share a place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.fills import Choice
from kit.slots import Slot
from patterns.plane import Plane

_PLASTIC = 1.32471795724474602596  # the real root of x^3 = x + 1


@dataclass(frozen=True, slots=True)
class Window:
    """The offset of a window in its plane (x, y), in millimetres."""

    offset_mm: tuple[float, float]


def choose_windows(
    slots: Sequence[Slot], choices: Sequence[Choice], planes: Mapping[str, Plane]
) -> tuple[Window | None, ...]:
    """Return a window for each slot that is filled with a pattern, None for the others."""
    copies: Counter[str] = Counter()
    windows: list[Window | None] = []
    for _slot, choice in zip(slots, choices, strict=True):
        if choice.pattern is None:
            windows.append(None)
            continue
        plane = planes[choice.pattern]
        number = copies[choice.pattern]
        copies[choice.pattern] += 1
        windows.append(
            Window(
                (
                    (number / _PLASTIC) % 1.0 * plane.repeat_mm,
                    (number / _PLASTIC**2) % 1.0 * plane.height_mm,
                )
            )
        )
    return tuple(windows)
