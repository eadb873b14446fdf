"""What the bent sides of an outline are: their circles, boxes, polylines and Bézier curves.

In and out: millimetres, y down, angles in radians counted from +x towards +y (clockwise as seen).
The arc of a bulge b over a chord c has included angle 4·atan(b) and radius c(1 + b²)/(4|b|)
(chord geometry; the LWPOLYLINE bulge of the DXF reference). Cubic Béziers use control arms of
4/3·tan(angle/4) of the radius, in pieces of at most 45 degrees, where they leave the circle by less
than 5 millionths of the radius.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.shapes.geometry import Contour, Point, Rect, Vertex, rect_between

Bezier = tuple[Point, Point, Point]  # two control points and the end; it starts where the last ends

LARGEST_PIECE = math.pi / 4.0


@dataclass(frozen=True, slots=True)
class Arc:
    """A piece of a circle.

    Attributes:
        x_mm: the centre.
        y_mm: the centre.
        radius_mm: positive.
        start_rad: the direction from the centre to the start.
        sweep_rad: how far it turns; positive is clockwise as seen, at most a full turn.
    """

    x_mm: float
    y_mm: float
    radius_mm: float
    start_rad: float
    sweep_rad: float

    def at(self, share: float) -> Point:
        """Return the point after this share (0 to 1) of the sweep."""
        angle = self.start_rad + share * self.sweep_rad
        return (
            self.x_mm + self.radius_mm * math.cos(angle),
            self.y_mm + self.radius_mm * math.sin(angle),
        )


def arc_between(start: Vertex, end: Vertex) -> Arc:
    """Return the circle arc of a bent side.

    Raises:
        ValueError: the side is straight (bulge 0).
    """
    bulge = start.bulge
    if bulge == 0.0:
        raise ValueError("a straight side has no arc")
    across, down = end.x_mm - start.x_mm, end.y_mm - start.y_mm
    # from the chord's middle, the centre lies along its normal, (1 - b²)/(4b) chords away
    lift = (1.0 - bulge * bulge) / (4.0 * bulge)
    x = (start.x_mm + end.x_mm) / 2.0 - lift * down
    y = (start.y_mm + end.y_mm) / 2.0 + lift * across
    radius = math.hypot(across, down) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    from_centre = math.atan2(start.y_mm - y, start.x_mm - x)
    return Arc(x, y, radius, from_centre, 4.0 * math.atan(bulge))


def bounding_box(contour: Contour) -> Rect:
    """Return the smallest upright rectangle around the outline, arcs taken exactly."""
    points = [(v.x_mm, v.y_mm) for v in contour.vertices]
    for start, end in contour.sides():
        if start.bulge != 0.0:
            points += _extremes(arc_between(start, end))
    xs, ys = zip(*points, strict=True)
    return rect_between(min(xs), min(ys), max(xs), max(ys))


def _extremes(arc: Arc) -> list[Point]:
    """Return the arc's leftmost, topmost, … points, where it passes through them."""
    low, high = sorted((arc.start_rad, arc.start_rad + arc.sweep_rad))
    quarter = math.pi / 2.0
    extremes: list[Point] = []
    for k in range(math.ceil(low / quarter), math.floor(high / quarter) + 1):
        across, down = ((1, 0), (0, 1), (-1, 0), (0, -1))[k % 4]
        extremes.append((arc.x_mm + across * arc.radius_mm, arc.y_mm + down * arc.radius_mm))
    return extremes


def flatten_contour(contour: Contour, tolerance_mm: float) -> list[Point]:
    """Return the outline as a closed polyline (the first point is not repeated).

    Every chord stays within ``tolerance_mm`` of its arc: a chord over the angle a leaves a circle
    by r(1 - cos(a/2)).
    """
    points: list[Point] = []
    for start, end in contour.sides():
        points.append((start.x_mm, start.y_mm))
        if start.bulge != 0.0:
            arc = arc_between(start, end)
            count = chords_needed(arc, tolerance_mm)
            points += [arc.at(k / count) for k in range(1, count)]
    return points


def chords_needed(arc: Arc, tolerance_mm: float) -> int:
    """Return into how many equal chords an arc must be cut to stay within the tolerance."""
    sagitta = min(1.0, tolerance_mm / arc.radius_mm)
    widest = min(2.0 * math.acos(1.0 - sagitta), math.pi / 2.0)
    return max(1, math.ceil(abs(arc.sweep_rad) / widest - 1e-9))


def beziers(contour: Contour) -> tuple[Point, list[Bezier]]:
    """Return the starting point and one cubic Bézier a piece; straight sides are straight cubics.

    Writers may test ``is_line`` to write a straight piece as a line.
    """
    pieces: list[Bezier] = []
    for start, end in contour.sides():
        if start.bulge == 0.0:
            here, there = (start.x_mm, start.y_mm), (end.x_mm, end.y_mm)
            pieces.append((here, there, there))
        else:
            bent = arc_beziers(arc_between(start, end))
            # the last one ends on the vertex itself, not on the arc's rounded end
            pieces += [*bent[:-1], (*bent[-1][:2], (end.x_mm, end.y_mm))]
    first = contour.vertices[0]
    return (first.x_mm, first.y_mm), pieces


def is_line(start: Point, piece: Bezier) -> bool:
    """Tell whether a piece of ``beziers`` that begins at ``start`` is a straight side."""
    return piece[0] == start and piece[1] == piece[2]


def arc_beziers(arc: Arc) -> list[Bezier]:
    """Return an arc as cubics of at most 45 degrees."""
    count = max(1, math.ceil(abs(arc.sweep_rad) / LARGEST_PIECE - 1e-9))
    arm = 4.0 / 3.0 * math.tan(arc.sweep_rad / count / 4.0) * arc.radius_mm
    pieces: list[Bezier] = []
    for k in range(count):
        (x0, y0), (x1, y1) = arc.at(k / count), arc.at((k + 1) / count)
        a0 = arc.start_rad + arc.sweep_rad * k / count
        a1 = arc.start_rad + arc.sweep_rad * (k + 1) / count
        pieces.append(
            (
                (x0 - arm * math.sin(a0), y0 + arm * math.cos(a0)),
                (x1 + arm * math.sin(a1), y1 - arm * math.cos(a1)),
                (x1, y1),
            )
        )
    return pieces
