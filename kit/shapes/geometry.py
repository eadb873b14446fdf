"""Where things lie on the paper: rectangles and closed outlines, in millimetres.

The origin is the sheet's top left corner, x runs right and **y runs down**, as on screen and in
SVG. An outline is a ring of vertices; each carries a *bulge* that bends the side leading to the
next vertex into an arc: bulge = tan(included angle / 4), the LWPOLYLINE convention of DXF. Only
the sign needs care: angles here are counted from +x towards +y, which with y down is clockwise on
the paper, so **a positive bulge turns clockwise as seen**. Writers whose y runs up negate it.

Not done here: anything with arcs cut into pieces (``kit.shapes.arcs``) or pixels
(``kit.shapes.coverage``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

Point = tuple[float, float]

QUARTER_BULGE = math.tan(math.pi / 8.0)  # a 90 degree corner: tan(22.5 degrees) = 0.41421


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle, its sides in millimetres; ``y_mm`` is its top."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    @property
    def right_mm(self) -> float:
        """The x of the right side."""
        return self.x_mm + self.width_mm

    @property
    def bottom_mm(self) -> float:
        """The y of the bottom side."""
        return self.y_mm + self.height_mm

    @property
    def centre_mm(self) -> tuple[float, float]:
        """The middle point (x, y)."""
        return self.x_mm + self.width_mm / 2.0, self.y_mm + self.height_mm / 2.0

    @property
    def area_mm2(self) -> float:
        """Width times height."""
        return self.width_mm * self.height_mm

    def corners(self) -> tuple[tuple[float, float], ...]:
        """Return the four corners (x, y), clockwise as seen from the top left."""
        return (
            (self.x_mm, self.y_mm),
            (self.right_mm, self.y_mm),
            (self.right_mm, self.bottom_mm),
            (self.x_mm, self.bottom_mm),
        )

    def grow(self, margin_mm: float) -> Rect:
        """Return the rectangle with every side moved outwards (inwards where negative)."""
        return Rect(
            self.x_mm - margin_mm,
            self.y_mm - margin_mm,
            self.width_mm + 2.0 * margin_mm,
            self.height_mm + 2.0 * margin_mm,
        )

    def shift(self, dx_mm: float, dy_mm: float) -> Rect:
        """Return the rectangle shifted by (dx, dy)."""
        return Rect(self.x_mm + dx_mm, self.y_mm + dy_mm, self.width_mm, self.height_mm)

    def overlaps(self, other: Rect, *, slack_mm: float = 1e-9) -> bool:
        """Tell whether the two share more than ``slack_mm`` along both axes."""
        across = min(self.right_mm, other.right_mm) - max(self.x_mm, other.x_mm)
        down = min(self.bottom_mm, other.bottom_mm) - max(self.y_mm, other.y_mm)
        return across > slack_mm and down > slack_mm

    def holds(self, other: Rect, *, slack_mm: float = 1e-9) -> bool:
        """Tell whether ``other`` lies inside, touching allowed."""
        return (
            other.x_mm >= self.x_mm - slack_mm
            and other.y_mm >= self.y_mm - slack_mm
            and other.right_mm <= self.right_mm + slack_mm
            and other.bottom_mm <= self.bottom_mm + slack_mm
        )


def rect_between(left_mm: float, top_mm: float, right_mm: float, bottom_mm: float) -> Rect:
    """Return the rectangle with these four sides."""
    return Rect(left_mm, top_mm, right_mm - left_mm, bottom_mm - top_mm)


def rect_around(rects: Sequence[Rect]) -> Rect:
    """Return the smallest rectangle that holds all of these, at least one."""
    return rect_between(
        min(rect.x_mm for rect in rects),
        min(rect.y_mm for rect in rects),
        max(rect.right_mm for rect in rects),
        max(rect.bottom_mm for rect in rects),
    )


@dataclass(frozen=True, slots=True)
class Vertex:
    """A corner of an outline.

    Attributes:
        x_mm: from the sheet's left.
        y_mm: from the sheet's top, downwards.
        bulge: tan(included angle / 4) of the arc to the next vertex; 0 for a straight side,
            positive for an arc that turns clockwise as seen on the paper.
    """

    x_mm: float
    y_mm: float
    bulge: float = 0.0


@dataclass(frozen=True, slots=True)
class Contour:
    """A closed outline: the last vertex leads back to the first."""

    vertices: tuple[Vertex, ...]

    def sides(self) -> Iterable[tuple[Vertex, Vertex]]:
        """Yield each side as its two vertices; the first one carries the bulge."""
        return zip(self.vertices, self.vertices[1:] + self.vertices[:1], strict=True)


def rounded_rectangle(rect: Rect, radius_mm: float = 0.0) -> Contour:
    """Return a rectangle with round corners, clockwise as seen, from its top left straight side.

    The radius is capped at half the shorter side, where the ends become half circles. Sides that
    the corners use up are left out, so no two vertices coincide.
    """
    radius = max(0.0, min(radius_mm, rect.width_mm / 2.0, rect.height_mm / 2.0))
    if radius == 0.0:
        return Contour(tuple(Vertex(x, y) for x, y in rect.corners()))
    left, top, right, bottom = rect.x_mm, rect.y_mm, rect.right_mm, rect.bottom_mm
    ring = (
        Vertex(left + radius, top),
        Vertex(right - radius, top, QUARTER_BULGE),
        Vertex(right, top + radius),
        Vertex(right, bottom - radius, QUARTER_BULGE),
        Vertex(right - radius, bottom),
        Vertex(left + radius, bottom, QUARTER_BULGE),
        Vertex(left, bottom - radius),
        Vertex(left, top + radius, QUARTER_BULGE),
    )
    distinct = tuple(
        here
        for here, after in Contour(ring).sides()
        if math.hypot(after.x_mm - here.x_mm, after.y_mm - here.y_mm) > 1e-9
    )
    return Contour(distinct)


def half_rounded(rect: Rect, radius_mm: float = 0.0, *, at_top: bool = True) -> Contour:
    """Return a rectangle with round corners at its top or at its bottom, clockwise as seen.

    The radius is capped at a little less than half the width, and than the height.
    """
    radius = max(0.0, min(radius_mm, 0.49 * rect.width_mm, 0.99 * rect.height_mm))
    if radius == 0.0:
        return rounded_rectangle(rect)
    left, top, right, bottom = rect.x_mm, rect.y_mm, rect.right_mm, rect.bottom_mm
    if at_top:
        upper = (
            Vertex(left, top + radius, QUARTER_BULGE),
            Vertex(left + radius, top),
            Vertex(right - radius, top, QUARTER_BULGE),
            Vertex(right, top + radius),
        )
        return Contour((*upper, Vertex(right, bottom), Vertex(left, bottom)))
    lower = (
        Vertex(right, bottom - radius, QUARTER_BULGE),
        Vertex(right - radius, bottom),
        Vertex(left + radius, bottom, QUARTER_BULGE),
        Vertex(left, bottom - radius),
    )
    return Contour((Vertex(left, top), Vertex(right, top), *lower))


def circle(x_mm: float, y_mm: float, radius_mm: float) -> Contour:
    """Return the circle about (x, y), clockwise as seen, as two half circles (bulge 1)."""
    return Contour((Vertex(x_mm - radius_mm, y_mm, 1.0), Vertex(x_mm + radius_mm, y_mm, 1.0)))


def translate(contour: Contour, dx_mm: float, dy_mm: float) -> Contour:
    """Return the outline shifted by (dx, dy)."""
    return Contour(
        tuple(replace(v, x_mm=v.x_mm + dx_mm, y_mm=v.y_mm + dy_mm) for v in contour.vertices)
    )


def rotate(contour: Contour, degrees: float) -> Contour:
    """Return the outline turned clockwise as seen about the origin, by any angle."""
    angle = math.radians(degrees)
    cos, sin = math.cos(angle), math.sin(angle)
    return Contour(
        tuple(
            replace(v, x_mm=v.x_mm * cos - v.y_mm * sin, y_mm=v.x_mm * sin + v.y_mm * cos)
            for v in contour.vertices
        )
    )


def resize(contour: Contour, times: float) -> Contour:
    """Return the outline that many times as large, measured from the origin."""
    return Contour(
        tuple(replace(v, x_mm=v.x_mm * times, y_mm=v.y_mm * times) for v in contour.vertices)
    )


def reverse(contour: Contour) -> Contour:
    """Return the same outline run the other way round, from the same vertex."""
    ring = contour.vertices
    return Contour(tuple(replace(ring[-i], bulge=-ring[-i - 1].bulge) for i in range(len(ring))))


def quarter_turn(contour: Contour, box: Rect) -> Contour:
    """Return the outline turned 90 degrees clockwise about ``box``'s top left, kept to its right.

    What filled ``box`` then fills a box of the same top left corner with the sides exchanged.
    """
    return Contour(
        tuple(
            Vertex(box.x_mm + box.bottom_mm - v.y_mm, box.y_mm + v.x_mm - box.x_mm, v.bulge)
            for v in contour.vertices
        )
    )
