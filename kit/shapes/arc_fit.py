"""A fine polyline as few straight sides and true arcs: smooth to cut, short to write.

In: a closed ring of points in millimetres, y down, and a tolerance. Out: a ``Contour`` whose sides
stay within the tolerance of the ring: from each vertex the longest stretch is taken that one line
or one circle through its two ends and a point between can stand for. Points and the middles of the
ring's own sides are tried, so that corners stay corners.

Not done here: making the ring (``kit.shapes.curves``, ``kit.drawings.icon``) or judging it
(``kit.shapes.rings``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from kit.shapes.geometry import Contour, Point, Vertex
from palette.arrays import Floats

LARGEST_SWEEP_RAD = math.radians(170.0)
LARGEST_RADIUS_MM = 2_000.0


def fit_arcs(ring: Sequence[Point], tolerance_mm: float) -> Contour:
    """Return the ring as lines and arcs.

    Args:
        ring: at least three points; the first is not repeated.
        tolerance_mm: how far a side may be from the ring.
    """
    points = _from_a_corner(np.array(ring, dtype=np.float64))
    closed = np.vstack([points, points[:1]])
    vertices: list[Vertex] = []
    here, last = 0, len(closed) - 1
    # at least three vertices, so that no side has to come back to its own start
    longest = max(1, last // 3)
    while here < last:
        there, bulge = _longest_side(closed, here, min(last, here + longest), tolerance_mm)
        vertices.append(Vertex(float(closed[here, 0]), float(closed[here, 1]), bulge))
        here = there
    return Contour(tuple(vertices))


def _from_a_corner(points: Floats) -> Floats:
    """Return the ring begun where it turns most, as no arc will run across that."""
    before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    came, goes = points - before, after - points
    turn = np.arctan2(came[:, 0] * goes[:, 1] - came[:, 1] * goes[:, 0], (came * goes).sum(axis=1))
    return np.roll(points, -int(np.argmax(np.round(np.abs(turn), 9))), axis=0)


def _longest_side(closed: Floats, here: int, last: int, tolerance: float) -> tuple[int, float]:
    """Return how far one side can reach from a point, and its bulge: doubling, then halving."""
    good, bulge, step = here + 1, 0.0, 2
    bad = last + 1
    while here + step < bad:
        bulge_or_none = _side(closed[here : here + step + 1], tolerance)
        if bulge_or_none is None:
            bad = here + step
            break
        good, bulge, step = here + step, bulge_or_none, step * 2
    while bad - good > 1:
        middle = (good + bad) // 2
        bulge_or_none = _side(closed[here : middle + 1], tolerance)
        if bulge_or_none is None:
            bad = middle
        else:
            good, bulge = middle, bulge_or_none
    return good, bulge


def _side(run: Floats, tolerance: float) -> float | None:
    """Return the bulge of the line or arc that can stand for a run of points, or None."""
    samples = np.vstack([run[1:-1], (run[1:] + run[:-1]) / 2.0])
    if _line_fits(run, samples, tolerance):
        return 0.0
    middle = run[len(run) // 2]
    bulge = _bulge_through(run[0], middle, run[-1])
    if bulge == 0.0 or 4.0 * math.atan(abs(bulge)) > LARGEST_SWEEP_RAD:
        return None
    return bulge if _arc_fits(run, samples, bulge, tolerance) else None


def _line_fits(run: Floats, samples: Floats, tolerance: float) -> bool:
    along = run[-1] - run[0]
    length = math.hypot(*along)
    if length == 0.0:
        return False
    away = samples - run[0]
    away_from_line = np.abs(away[:, 0] * along[1] - away[:, 1] * along[0]) / length
    steps = (run[1:] - run[:-1]) @ along
    return bool(away_from_line.max() <= tolerance and steps.min() >= 0.0)


def _bulge_through(start: Floats, middle: Floats, end: Floats) -> float:
    """Return the bulge of the arc through three points: the inscribed angle tells its sweep."""
    (ax, ay), (bx, by) = start - middle, end - middle
    # the angle at the middle is half the sweep short of a straight line
    angle = math.atan2(ay * bx - ax * by, ax * bx + ay * by)
    missing = math.copysign(math.pi, angle) - angle
    return math.tan(missing / 2.0) if angle != 0.0 else 0.0


def _arc_fits(run: Floats, samples: Floats, bulge: float, tolerance: float) -> bool:
    chord = run[-1] - run[0]
    radius = math.hypot(*chord) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    if not 0.0 < radius <= LARGEST_RADIUS_MM:
        return False
    lift = (1.0 - bulge * bulge) / (4.0 * bulge)
    centre = (run[0] + run[-1]) / 2.0 + lift * np.array([-chord[1], chord[0]])
    from_centre = run - centre
    if np.abs(np.hypot(*(samples - centre).T) - radius).max() > tolerance:
        return False
    # every step must go on the same way round
    before, after = from_centre[:-1], from_centre[1:]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return bool((cross * math.copysign(1.0, bulge)).min() >= 0.0)
