"""In which order are outlines cut, and where does the blade set down on each?

In: closed outlines in millimetres, each with its layer (lower layers are cut first: kiss cuts
before through cuts). Out: a ``Tour``: the outlines in cutting order, each begun at the middle of
a straight side of at least ``LEAST_START_MM``, where it has one, and cut clockwise as seen. An
outline that lies inside another is always cut before it, while the material around it still holds
(common practice, no published source).

How: within a stage (one layer, one depth of nesting) a short order (``kit.cut.short_way``), then
the best starting points for all stages together. The way is that of the lifted blade, from ``home``
and back.

Not done here: what is cut at all (``kit.cut.paths``) and how a file says it
(``kit.writers.table``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from kit.cut.short_way import best_starts, short_order
from kit.shapes import (
    Contour,
    Point,
    Rect,
    Vertex,
    arc_between,
    bounding_box,
    flatten_contour,
    reverse,
    side_length,
    signed_area,
)

START_POINTS = 8  # tried on each outline
LEAST_START_MM = 2.0  # of a side to begin on: room for a blade to turn (common practice, no source)
NESTING_CHORD_MM = 0.05  # how finely arcs are cut to tell what lies inside what


@dataclass(frozen=True, slots=True)
class Tour:
    """Outlines in cutting order.

    Attributes:
        order: for each cut, the number of the outline in the given sequence.
        contours: the same outlines, each begun where the blade sets down.
        travel_mm: the lifted blade's way, from home and back.
    """

    order: tuple[int, ...]
    contours: tuple[Contour, ...]
    travel_mm: float


def cut_tour(
    contours: Sequence[Contour], layers: Sequence[int] | None = None, home: Point = (0.0, 0.0)
) -> Tour:
    """Return the outlines in the order in which they are best cut.

    Args:
        contours: closed outlines that do not cross each other.
        layers: for each outline its layer; all in one where None.
        home: where the blade rests before and after, (x, y) in mm.
    """
    numbers = layers or [0] * len(contours)
    contours = [clockwise(contour) for contour in contours]
    starts = [start_points(contour) for contour in contours]
    points = [[point for _, point in places] for places in starts]
    order: list[int] = []
    stages = _stages(contours, numbers)
    for stage in stages:
        here = bounding_box(contours[order[-1]]).centre_mm if order else home
        end = home if stage is stages[-1] else None
        order += [stage[k] for k in short_order([points[i] for i in stage], here, end)]
    chosen = best_starts([points[i] for i in order], home, home)
    cut = tuple(restart(contours[i], *starts[i][k]) for i, k in zip(order, chosen, strict=True))
    return Tour(tuple(order), cut, travel_mm(cut, home))


def travel_mm(contours: Sequence[Contour], home: Point = (0.0, 0.0)) -> float:
    """Return the lifted blade's way: outlines cut as given, each from its first vertex."""
    stops = [home, *((c.vertices[0].x_mm, c.vertices[0].y_mm) for c in contours), home]
    return sum(math.dist(a, b) for a, b in pairwise(stops))


def clockwise(contour: Contour) -> Contour:
    """Return the outline as one that is cut clockwise as seen, so that all are cut alike."""
    ring = flatten_contour(contour, NESTING_CHORD_MM)
    return contour if signed_area(ring) > 0.0 else reverse(contour)


# ---- where a cut may begin


def start_points(contour: Contour) -> list[tuple[int, Point]]:
    """Return up to ``START_POINTS`` places to begin: (number of the side, its middle point).

    The middles of the longest straight sides of ``LEAST_START_MM`` or more; where an outline has
    none, of its longest sides of any kind, scraps left out. A corner is never among them: there a
    dragged blade would have to turn before it cuts.
    """
    sides = list(contour.sides())
    lengths = [side_length(a, b) for a, b in sides]
    room = min(LEAST_START_MM, max(lengths) / 2.0)
    long = [i for i, length in enumerate(lengths) if length >= room]
    straight = [i for i in long if sides[i][0].bulge == 0.0 and lengths[i] >= LEAST_START_MM]
    longest = sorted(straight or long, key=lambda i: (-lengths[i], i))
    return [(i, _middle(*sides[i])) for i in sorted(longest[:START_POINTS])]


def _middle(start: Vertex, end: Vertex) -> Point:
    if start.bulge == 0.0:
        return (start.x_mm + end.x_mm) / 2.0, (start.y_mm + end.y_mm) / 2.0
    return arc_between(start, end).at(0.5)


def restart(contour: Contour, side: int, at: Point) -> Contour:
    """Return the same outline begun at the middle of a side, which becomes two."""
    ring = contour.vertices
    bent = ring[side].bulge
    # half the included angle: tan(a/8) from b = tan(a/4)
    half = math.tan(math.atan(bent) / 2.0) if bent else 0.0
    first = Vertex(*at, half)
    before = Vertex(ring[side].x_mm, ring[side].y_mm, half)
    return Contour((first, *ring[side + 1 :], *ring[:side], before))


# ---- what must come before what


def _stages(contours: Sequence[Contour], layers: Sequence[int]) -> list[list[int]]:
    """Return the outlines in groups, one after the other: by layer, then innermost first."""
    height = _heights(contours)
    groups: dict[tuple[int, int], list[int]] = {}
    for i, layer in enumerate(layers):
        groups.setdefault((layer, height[i]), []).append(i)
    return [groups[key] for key in sorted(groups)]


def _heights(contours: Sequence[Contour]) -> list[int]:
    """Return for each outline how many outlines are nested in it, one in the other."""
    boxes = [bounding_box(contour) for contour in contours]
    inside: list[list[int]] = [[] for _ in contours]
    for outer, inner in _boxes_inside(boxes):
        vertex = contours[inner].vertices[0]
        if encloses(contours[outer], (vertex.x_mm, vertex.y_mm)):
            inside[outer].append(inner)
    height = [0] * len(contours)
    for outer in sorted(range(len(contours)), key=lambda i: boxes[i].area_mm2):
        height[outer] = max((height[i] + 1 for i in inside[outer]), default=0)
    return height


def _boxes_inside(boxes: Sequence[Rect]) -> list[tuple[int, int]]:
    """Return (outer, inner) for every box that lies within a larger one."""
    if not boxes:
        return []
    sides = np.array([(b.x_mm, b.y_mm, -b.right_mm, -b.bottom_mm) for b in boxes])
    area = np.array([b.area_mm2 for b in boxes])
    holds = (sides[:, None, :] <= sides[None, :, :]).all(axis=2) & (area[:, None] > area[None, :])
    return [(int(outer), int(inner)) for outer, inner in np.argwhere(holds)]


def encloses(contour: Contour, point: Point) -> bool:
    """Tell whether a point lies inside an outline (even-odd rule; arcs within 0.05 mm)."""
    ring = np.array(flatten_contour(contour, NESTING_CHORD_MM))
    (x0, y0), (x1, y1) = ring.T, np.roll(ring, -1, axis=0).T
    crossed = (y0 > point[1]) != (y1 > point[1])
    rise = np.where(crossed, y1 - y0, 1.0)
    right = x0 + (point[1] - y0) * (x1 - x0) / rise > point[0]
    return bool(np.count_nonzero(crossed & right) % 2)
