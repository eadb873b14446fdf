"""How a dragged blade's axis must move so that its tip, trailing behind, cuts the outline.

In: a closed outline in millimetres, how far to cut on past its start (overcut), and how far the
tip trails the axis (blade offset). Out: the open path of the axis as vertices; the last one ends
it. With both 0, the default, it is the outline itself.

Most cutting machines do both on their own: then leave them off, because corners compensated twice
are spoilt. Common values are an offset of 0.25 mm and an overcut of 0.1 to 0.5 mm (values from
memory).

Why it works: the tip points along the way it is dragged, so the axis is ahead of it by the offset
along the tangent. On a straight side that is a shift; on an arc of radius r it is an arc of the
same sweep with radius √(r² + offset²); at a corner the axis swings about it while the tip stands.
Not done here: turning the blade before the first side; begin on a straight one (``kit.cut.order``).
"""

from __future__ import annotations

import math
from itertools import pairwise

from kit.shapes.arcs import arc_between
from kit.shapes.geometry import Contour, Vertex

LEAST_TURN_RAD = 1e-6


def blade_path(
    contour: Contour, overcut_mm: float = 0.0, blade_offset_mm: float = 0.0
) -> tuple[Vertex, ...]:
    """Return the axis's path; each vertex's bulge bends the side to the next one.

    The overcut runs on over as many sides as it takes, at most once round.
    """
    ring = [*contour.vertices, contour.vertices[0]]
    left_mm = overcut_mm
    for start, end in contour.sides():
        if left_mm <= 0.0:
            break
        ring[-1], there = _part_of(start, end, left_mm)
        ring.append(there)
        left_mm -= side_length(start, end)
    return _lead(ring, blade_offset_mm) if blade_offset_mm > 0.0 else tuple(ring)


def side_length(start: Vertex, end: Vertex) -> float:
    """Return the length of a side in mm, along its arc where it is bent."""
    if start.bulge == 0.0:
        return math.hypot(end.x_mm - start.x_mm, end.y_mm - start.y_mm)
    arc = arc_between(start, end)
    return arc.radius_mm * abs(arc.sweep_rad)


def _part_of(start: Vertex, end: Vertex, length_mm: float) -> tuple[Vertex, Vertex]:
    """Return the first part of a side, at most the whole of it."""
    share = min(1.0, length_mm / side_length(start, end))
    if start.bulge == 0.0:
        x = start.x_mm + share * (end.x_mm - start.x_mm)
        y = start.y_mm + share * (end.y_mm - start.y_mm)
        return start, Vertex(x, y)
    part = Vertex(start.x_mm, start.y_mm, math.tan(math.atan(start.bulge) * share))
    return part, Vertex(*arc_between(start, end).at(share))


def _lead(ring: list[Vertex], offset_mm: float) -> tuple[Vertex, ...]:
    """Return the path that leads a path by the offset along its tangent."""
    path: list[Vertex] = []
    facing = None
    for start, end in pairwise(ring):
        leaves, arrives = _directions(start, end)
        if facing is not None:
            turn = math.remainder(leaves - facing, 2.0 * math.pi)
            if abs(turn) > LEAST_TURN_RAD:
                path.append(_ahead(start, facing, offset_mm, math.tan(turn / 4.0)))
        path.append(_ahead(start, leaves, offset_mm, start.bulge))
        facing = arrives
    path.append(_ahead(ring[-1], facing or 0.0, offset_mm, 0.0))
    return tuple(path)


def _directions(start: Vertex, end: Vertex) -> tuple[float, float]:
    """Return the directions (radians) in which a side leaves its start and reaches its end."""
    chord = math.atan2(end.y_mm - start.y_mm, end.x_mm - start.x_mm)
    half_sweep = 2.0 * math.atan(start.bulge)
    return chord - half_sweep, chord + half_sweep


def _ahead(at: Vertex, facing: float, offset_mm: float, bulge: float) -> Vertex:
    return Vertex(
        at.x_mm + offset_mm * math.cos(facing), at.y_mm + offset_mm * math.sin(facing), bulge
    )
