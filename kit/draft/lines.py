"""Which lines of stickers can a sheet be built of, and how much of it does each fill?

In: the day box, the width that printer and cutter reach, and the gap, in millimetres. Out: a
``Line`` for each kind that is worth lines of its own: as many stickers as are side by side, and
at its end what fits into the width that is left.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from kit.kinds import KINDS, least_border_mm
from kit.layout import Item, grid_at_end

WRITTEN_ON = "panel"  # a full box with a panel counts as a kind of its own
BOXES = ("full box", WRITTEN_ON)
# Smaller ones are of little use (common practice, no published source).
LEAST_MM = {"checklist": 4.5, "header": 5.0, "strip": 3.5, "label": 5.0, "dot": 6.0}
LEAST_OTHER_MM = 5.0
FITTED = ("checklist", "label")  # as wide at a line's end as fills it, so that edges line up
LEAST_SHORT_MM = 12.0  # of a label that ends a line: room for a word
LEAST_PANEL_MM = 9.0  # of its shorter side: room for a word or two


@dataclass(frozen=True, slots=True)
class Line:
    """One line of stickers.

    Attributes:
        kind: of most of its stickers.
        count: how many of that kind.
        end: the kind at its end; "" for none.
        end_count: how many of that kind.
        end_mm: width and height of those, where they are cut to the room that is left.
        height_mm: how high it stands.
        area_mm2: what its stickers cover.
        is_full: whether one more of its kind would not fit.
    """

    kind: str
    count: int
    end: str
    end_count: int
    end_mm: tuple[float, float] | None
    height_mm: float
    area_mm2: float
    is_full: bool


def size_mm(kind: str, box_mm: tuple[float, float]) -> tuple[float, float]:
    """Return a kind's width and height, mm."""
    return KINDS["full box" if kind == WRITTEN_ON else kind].size_mm(box_mm)


def _tenths(length_mm: float) -> float:
    """Round down to what recipes state lengths in."""
    return math.floor(length_mm * 10.0 + 1e-6) / 10.0


@dataclass(frozen=True, slots=True)
class Bed:
    """What lines are laid on: lengths in mm.

    Attributes:
        box_mm: width and height of the planner's day box.
        width_mm: of what printer and cutter reach.
        height_mm: of the same.
        gap_mm: between two stickers.
        shift_mm: how far the cut may lie off the print; borders round panels grow with it.
    """

    box_mm: tuple[float, float]
    width_mm: float
    height_mm: float
    gap_mm: float
    shift_mm: float

    def lines(self) -> Iterator[Line]:
        """Yield the lines that a sheet can have, boxes first."""
        ticked = False
        for kind in BOXES:
            for line in self._boxes(kind):
                ticked |= line.end == "checklist"
                yield line
        for kind in ("half box", "quarter box", "checklist", "label", "header", "strip", "dot"):
            if kind != "checklist" or not ticked:
                yield from self._full(kind, ("label", "dot"))

    def _boxes(self, kind: str) -> Iterator[Line]:
        """Yield lines of boxes: with checklists at the end, if need be in place of a box."""
        for line in self._full(kind, ("checklist",)):
            if line.end:
                yield line
            else:
                yield from self._full(kind, ("label", "dot"))
                # the lists take the column of the box that is left out
                wide = size_mm(kind, self.box_mm)[0]
                yield from self._line(kind, line.count - 1, ("checklist",), wide)

    def _full(self, kind: str, ends: tuple[str, ...]) -> Iterator[Line]:
        wide = size_mm(kind, self.box_mm)[0] + self.gap_mm
        yield from self._line(kind, math.floor((self.width_mm + self.gap_mm + 1e-6) / wide), ends)

    def _line(
        self, kind: str, count: int, ends: tuple[str, ...], column_mm: float | None = None
    ) -> Iterator[Line]:
        """Yield the line of so many of a kind, with what covers most at its end.

        That has all the width that is left, or a column's.
        """
        if count < 1 or not self._is_of_use(kind):
            return
        wide, high = size_mm(kind, self.box_mm)
        room = column_mm or self.width_mm - count * (wide + self.gap_mm)
        area, end_count, end = max(
            ((0.0, 0, ""), *(self._end(end, room, high) for end in ends if end != kind))
        )
        end_mm = None
        if not end and "label" in ends and room >= LEAST_SHORT_MM and self._is_of_use("label"):
            end, end_count, end_mm = "label", 1, (_tenths(room), _tenths(high))
            area = math.prod(end_mm)
        elif end in FITTED:
            own = size_mm(end, self.box_mm)
            across, _ = grid_at_end(Item(*own), room, high, self.gap_mm)
            end_mm = _tenths((room + self.gap_mm) / across - self.gap_mm), _tenths(own[1])
            area = end_count * math.prod(end_mm)
        area += count * wide * high
        is_full = room < wide
        yield Line(kind, count, end, end_count, end_mm, high, area, is_full)

    def _end(self, kind: str, room: float, height: float) -> tuple[float, int, str]:
        """Return what the end of a line holds of a kind: area in mm2, how many, which."""
        sides = size_mm(kind, self.box_mm)
        if not self._is_of_use(kind):
            return 0.0, 0, ""
        count = math.prod(grid_at_end(Item(*sides), room, height, self.gap_mm))
        return count * math.prod(sides), count, kind if count else ""

    def _is_of_use(self, kind: str) -> bool:
        shorter = min(size_mm(kind, self.box_mm))
        if kind == WRITTEN_ON:
            return shorter >= 2.0 * least_border_mm(self.shift_mm) + LEAST_PANEL_MM
        return shorter >= LEAST_MM.get(kind, LEAST_OTHER_MM)
