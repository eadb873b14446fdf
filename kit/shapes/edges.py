"""Cut lines that are more than a rounded box, and stitches printed along one.

In: a sticker's box and the sheet's corner radius, in millimetres. Out: outlines that fill the box
exactly, arcs as true arcs, and for stitches the dashes as small outlines. Shapes and their sizes
are common practice, no published source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from kit.shapes.blade import side_length
from kit.shapes.geometry import Contour, Point, Rect, Vertex, rounded_rectangle

LEAST_RADIUS_MM = 0.01  # a smaller corner is a sharp one
SCALLOP_PITCH_MM = 5.0
SCALLOP_DEPTH_MM = 1.2
TAIL_SHARE = 0.5  # how deep a pennant's notch is, as a share of its height
STITCH_MM, STITCH_GAP_MM, THREAD_MM = 2.2, 1.3, 0.4
STITCH_INSET_MM = 1.8
CASING_MM = 0.14  # a dark edge drawn along threads, half of it outside, on artwork


def rounded_polygon(points: Sequence[Point], radii_mm: Sequence[float]) -> Contour:
    """Return the polygon with an arc at each corner that touches both sides, in the given order.

    A corner's arc takes at most half of its shorter side, so that neighbours never meet.
    """
    ring: list[Vertex] = []
    for i, (corner, radius_mm) in enumerate(zip(points, radii_mm, strict=True)):
        ring += _rounded_corner(points[i - 1], corner, points[(i + 1) % len(points)], radius_mm)
    return Contour(tuple(ring))


def _rounded_corner(before: Point, corner: Point, after: Point, radius_mm: float) -> list[Vertex]:
    """Return the corner as the two ends of its arc, or as itself where it has none."""
    inwards, outwards = math.dist(before, corner), math.dist(corner, after)
    turn = _turn(before, corner, after)
    if radius_mm < LEAST_RADIUS_MM or abs(turn) < 1e-9:
        return [Vertex(*corner)]
    # the arc touches each side this far from the corner
    reach = min(radius_mm * math.tan(abs(turn) / 2.0), 0.499 * min(inwards, outwards))
    return [
        Vertex(*_towards(corner, before, reach / inwards), math.tan(turn / 4.0)),
        Vertex(*_towards(corner, after, reach / outwards)),
    ]


def _turn(before: Point, corner: Point, after: Point) -> float:
    """Return by how much the way turns at a corner, in radians; positive is clockwise as seen."""
    came = math.atan2(corner[1] - before[1], corner[0] - before[0])
    goes = math.atan2(after[1] - corner[1], after[0] - corner[0])
    return math.remainder(goes - came, 2.0 * math.pi)


def _towards(start: Point, end: Point, share: float) -> Point:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def pennant(box: Rect, radius_mm: float) -> Contour:
    """Return a flag with a swallow tail on its right; its tips are too sharp to be rounded much."""
    notch = box.right_mm - min(TAIL_SHARE * box.height_mm, box.width_mm / 3.0)
    left, top, right, bottom = box.x_mm, box.y_mm, box.right_mm, box.bottom_mm
    points = ((left, top), (right, top), (notch, box.centre_mm[1]), (right, bottom), (left, bottom))
    radius = min(radius_mm, box.height_mm / 2.0)
    # a round tip would fall short of the box, so tips keep their point
    return rounded_polygon(points, [0.0 if x == right else radius for x, _ in points])


def scallops(box: Rect, _radius_mm: float) -> Contour:
    """Return a box whose edge is a row of shallow arcs about 5 mm wide, with a lobe at each corner.

    The lobes at the corners have the same radius as the others, so all look alike.
    """
    # two corners and one scallop between them take under thirteen times the depth
    depth = min(SCALLOP_DEPTH_MM, min(box.width_mm, box.height_mm) / 13.0)
    half = SCALLOP_PITCH_MM / 2.0 * depth / SCALLOP_DEPTH_MM
    radius = (depth * depth + half * half) / (2.0 * depth)
    # a corner's circle touches both sides of the box and meets the inner line this far out
    meets = radius + half
    inner = box.grow(-depth)
    ring: list[Vertex] = []
    for (x, y), (along_x, along_y), length in (
        ((inner.x_mm, inner.y_mm), (1, 0), box.width_mm),
        ((inner.right_mm, inner.y_mm), (0, 1), box.height_mm),
        ((inner.right_mm, inner.bottom_mm), (-1, 0), box.width_mm),
        ((inner.x_mm, inner.bottom_mm), (0, -1), box.height_mm),
    ):
        run = length - 2.0 * meets
        count = max(1, round(run / (2.0 * half)))
        bulge = 2.0 * depth / (run / count)
        for k in range(count):
            at = meets - depth + run * k / count
            ring.append(Vertex(x + along_x * at, y + along_y * at, bulge))
        at = meets - depth + run
        ring.append(Vertex(x + along_x * at, y + along_y * at, _lobe_bulge(radius, half)))
    return Contour(tuple(ring))


def _lobe_bulge(radius: float, half: float) -> float:
    """Return the bulge of a corner's lobe: its circle seen between the two inner lines.

    From where it meets one line to where it meets the other it turns by a right angle and, at each
    end, by the half angle that a scallop takes.
    """
    return math.tan((math.pi / 2.0 + 2.0 * math.asin(half / radius)) / 4.0)


def stitches(box: Rect, radius_mm: float, clear_mm: float = 0.0) -> tuple[Contour, ...]:
    """Return the dashes of a seam sewn round a box, each with round ends, bent at the corners.

    Args:
        box: what it is sewn round, inside.
        radius_mm: of the box's corners.
        clear_mm: how far it should keep from the box's edge; at most a fifth of the shorter side.
    """
    inset = max(STITCH_INSET_MM, clear_mm + (THREAD_MM + CASING_MM) / 2.0)
    inset = min(inset, min(box.width_mm, box.height_mm) / 5.0)
    seam = rounded_rectangle(box.grow(-inset), max(radius_mm - inset / 2.0, 0.8))
    lines: list[Contour] = []
    for start, end in seam.sides():
        length = side_length(start, end)
        # as many whole stitches as fit: a corner gets one, and every side begins and ends alike
        count = max(1, round(length / (STITCH_MM + STITCH_GAP_MM)))
        share = STITCH_MM / (STITCH_MM + STITCH_GAP_MM)
        for k in range(count):
            middle, reach = (k + 0.5) / count, share / count / 2.0
            if start.bulge == 0.0:
                lines.append(_dash(start, end, middle - reach, middle + reach))
    return tuple(lines)


def _dash(start: Vertex, end: Vertex, begin: float, finish: float) -> Contour:
    """Return the part of a straight side between two shares of it, as a thread with round ends."""
    a, b = (start.x_mm, start.y_mm), (end.x_mm, end.y_mm)
    (x0, y0), (x1, y1) = _towards(a, b, begin), _towards(a, b, finish)
    length = math.dist(a, b)
    share = THREAD_MM / 2.0 / length
    dx, dy = (a[1] - b[1]) * share, (b[0] - a[0]) * share
    return Contour(
        (
            Vertex(x0 - dx, y0 - dy),
            Vertex(x1 - dx, y1 - dy, 1.0),
            Vertex(x1 + dx, y1 + dy),
            Vertex(x0 + dx, y0 + dy, 1.0),
        )
    )
