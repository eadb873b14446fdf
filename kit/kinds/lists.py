"""A list on a panel: how far apart its lines stand, its marks to tick off, its rules, its title.

In: the panel's box in millimetres, and what a recipe asks for. Out: outlines of marks, and lines to
write on. Each mark is on the left end of its line, so that both have one pitch. The block of
lines is in the middle of what the title leaves of the panel, and as far from its left edge as from
its right, so borders round it look even. All measures here are common practice, no published
source.

Not done here: which panel a sticker has, or a column of marks without one (``kit.kinds.table``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.kinds.table import CHECK_APART, CHECK_SHARE, LEAST_CHECK_MM, RULE_SPACING_MM
from kit.shapes import Contour, Rect, Vertex, circle, rect_between, rounded_rectangle

LEAST_PITCH_MM = 4.0  # closer, a pen has no room
LEAST_LIST_MM = 20.0  # a narrower panel has no room to write beside a mark
INSET_MM = 2.0  # from a panel's side to its lines
MARGIN_MM = 1.0  # the least above the first mark and below the last line
BESIDE_MM = 1.2  # from a mark to its line
MOST_MARK_MM = 5.0
TITLE_MM = 7.0
TITLE_SHARE = 1.0 / 3.0  # of a panel at most
END_SHARE = 0.4  # of a pitch that is left free above the first mark, and below the last line


def mark_mm(pitch_mm: float) -> float:
    """Return how wide a mark is beside lines this far apart."""
    return max(
        min(CHECK_SHARE * pitch_mm, MOST_MARK_MM), min(LEAST_CHECK_MM, pitch_mm / CHECK_APART)
    )


def least_height_mm(count: int, pitch_mm: float | None) -> float:
    """Return the least height in which so many lines with marks have room."""
    if pitch_mm is None:
        return (count + END_SHARE) * LEAST_PITCH_MM
    return max(pitch_mm, (count - 1) * pitch_mm + mark_mm(pitch_mm) + 2.0 * MARGIN_MM)


def most_lines(height_mm: float, pitch_mm: float | None) -> int:
    """Return how many lines with marks have room in a height; 0 where none has."""
    if pitch_mm is None:
        return max(0, math.floor(height_mm / LEAST_PITCH_MM - END_SHARE + 1e-6))
    if pitch_mm > height_mm + 1e-6:
        return 0
    room = height_mm - mark_mm(pitch_mm) - 2.0 * MARGIN_MM
    return max(0, math.floor(room / pitch_mm + 1e-6) + 1)


def title_box(panel: Rect, pitch_mm: float | None) -> Rect:
    """Return the band along a panel's top that a title is in."""
    high = min(max(TITLE_MM, pitch_mm or 0.0), TITLE_SHARE * panel.height_mm)
    return Rect(panel.x_mm, panel.y_mm, panel.width_mm, high)


def below_title(panel: Rect, pitch_mm: float | None) -> Rect:
    """Return what a title leaves of a panel."""
    top = title_box(panel, pitch_mm).bottom_mm
    return rect_between(panel.x_mm, top, panel.right_mm, panel.bottom_mm)


@dataclass(frozen=True, slots=True)
class LineList:
    """The lines of one list, each with its mark.

    Attributes:
        area: what the title leaves of the panel.
        count: how many lines; None for as many as suit.
        pitch_mm: from one line to the next; None for about 7 mm, so that the lines fill the area.
    """

    area: Rect
    count: int | None = None
    pitch_mm: float | None = None

    @property
    def lines(self) -> int:
        """How many lines there are."""
        if self.count is not None:
            return self.count
        if self.pitch_mm is not None:
            return max(1, most_lines(self.area.height_mm, self.pitch_mm))
        return max(1, round(self.area.height_mm / RULE_SPACING_MM - END_SHARE))

    @property
    def step_mm(self) -> float:
        """From one line to the next."""
        return self.pitch_mm or self.area.height_mm / (self.lines + END_SHARE)

    @property
    def across_mm(self) -> float:
        """How wide a mark is."""
        return mark_mm(self.step_mm)

    def bases(self) -> tuple[float, ...]:
        """Return the y of each line, on which its mark stands."""
        step, area = self.step_mm, self.area
        block = (self.lines - 1) * step + self.across_mm
        first = area.y_mm + (area.height_mm - block) / 2.0 + self.across_mm
        return tuple(first + i * step for i in range(self.lines))

    def marks(self, shape: str) -> tuple[Contour, ...]:
        """Return the marks, "circle" or "square", one on the left end of each line."""
        across, left = self.across_mm, self.area.x_mm + INSET_MM
        if shape == "circle":
            half = across / 2.0
            return tuple(circle(left + half, y - half, half) for y in self.bases())
        return tuple(
            rounded_rectangle(Rect(left, y - across, across, across), across / 8.0)
            for y in self.bases()
        )

    def rules(self) -> tuple[Contour, ...]:
        """Return the lines to write on, from beside the marks to the panel's right."""
        left = self.area.x_mm + INSET_MM + self.across_mm + BESIDE_MM
        right = self.area.right_mm - INSET_MM
        return tuple(Contour((Vertex(left, y), Vertex(right, y))) for y in self.bases())
