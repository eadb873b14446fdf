"""Marks that the maker's own machine needs, and a frame to align imported files by.

In: what the recipe says of them, millimetres from the paper's top left corner. Out: printed
``Mark``s, and the frame's outline. The shapes are plain geometry, and none is printed unless asked
for: which marks a machine looks for, where and how large, its own instructions say.
"""

from __future__ import annotations

from collections.abc import Sequence

from kit.recipe import MarkPart
from kit.shapes import Contour, Rect, Vertex, circle, rect_between, rounded_rectangle
from kit.sheet.values import Mark

INK = "#000000"
FRAME_AWAY_MM = 1.0
_TOWARDS = {
    "top left": (-0.5, -0.5),
    "top right": (0.5, -0.5),
    "bottom right": (0.5, 0.5),
    "bottom left": (-0.5, 0.5),
}


def page_marks(parts: Sequence[MarkPart]) -> tuple[Mark, ...]:
    """Return the printed marks of a page."""
    return tuple(mark for part in parts for mark in _SHAPES[part.shape](part))


def frame_around(bleeds: Sequence[Rect], paper: Rect) -> Contour:
    """Return a rectangle a millimetre outside everything printed, kept on the paper."""
    around = rect_between(
        max(paper.x_mm, min(b.x_mm for b in bleeds) - FRAME_AWAY_MM),
        max(paper.y_mm, min(b.y_mm for b in bleeds) - FRAME_AWAY_MM),
        min(paper.right_mm, max(b.right_mm for b in bleeds) + FRAME_AWAY_MM),
        min(paper.bottom_mm, max(b.bottom_mm for b in bleeds) + FRAME_AWAY_MM),
    )
    return rounded_rectangle(around)


def mark_box(part: MarkPart) -> Rect:
    """Return the box that a mark takes; its place is the middle."""
    x, y = part.at
    return Rect(x - part.size / 2.0, y - part.size / 2.0, part.size, part.size)


def mark_point(part: MarkPart) -> tuple[float, float]:
    """Return the point that a machine takes a mark for: its middle; a corner's two lines meet."""
    if part.shape != "corner":
        return part.at
    dx, dy = _TOWARDS[part.corner]
    return part.at[0] + dx * part.size, part.at[1] + dy * part.size


def _line(part: MarkPart, *points: tuple[float, float]) -> Mark:
    """A line through points given as shares of the mark's size from its middle."""
    x, y = part.at
    vertices = tuple(Vertex(x + dx * part.size, y + dy * part.size) for dx, dy in points)
    # there and back, so that the closed outline encloses nothing
    return Mark(Contour((*vertices, *vertices[-2:0:-1])), part.stroke, INK, None)


def _cross(part: MarkPart) -> list[Mark]:
    return [_line(part, (-0.5, 0.0), (0.5, 0.0)), _line(part, (0.0, -0.5), (0.0, 0.5))]


def _corner(part: MarkPart) -> list[Mark]:
    """Two lines that meet in the corner of the mark's box that is nearest to its paper corner."""
    dx, dy = _TOWARDS[part.corner]
    return [_line(part, (-dx, dy), (dx, dy), (dx, -dy))]


def _disc(part: MarkPart) -> list[Mark]:
    return [Mark(circle(*part.at, part.size / 2.0), 0.0, INK, INK)]


def _square(part: MarkPart) -> list[Mark]:
    return [Mark(rounded_rectangle(mark_box(part)), 0.0, INK, INK)]


_SHAPES = {"cross": _cross, "corner": _corner, "disc": _disc, "square": _square}
