"""What of an outline no blade and no paper holds: strips, slits and teeth too fine to be cut.

In: a closed outline in millimetres, y down. Out: for each sort of fault its worst place.

- A strip of paper narrower than ``LEAST_MM`` tears as it is peeled off, and a slit narrower than
  that is torn out by the blade, if it goes on for more than ``LENGTH_MM`` of outline: two places on
  the outline lie so near to each other and that far apart along it. A point counts as a strip if
  it is sharper than 29 degrees (half a millimetre wide a millimetre from its end).
- Teeth are where the outline turns by more than ``MOST_TURN`` within ``TURN_MM``: a dragged blade
  cannot follow so many corners in its own width.

The limits are common practice, no published source: sticker paper is about 0.2 mm thick with its
backing, and a blade's tip trails its axis by a quarter of a millimetre (values from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from kit.shapes.arcs import flatten_contour
from kit.shapes.geometry import Contour, Point
from kit.shapes.rings import signed_area
from palette.arrays import Floats

LEAST_MM, LENGTH_MM = 0.5, 2.0
MOST_TURN, TURN_MM = 1.5 * math.pi, 1.0
CHORD_MM, STEP_MM = 0.01, 0.05
FACING = 0.5  # the sine of the angle between a side and the way across, at least


@dataclass(frozen=True, slots=True)
class FinePart:
    """The worst place of one sort.

    Attributes:
        sort: "strip" (of paper), "slit" or "teeth".
        width_mm: how wide the strip or slit is; 0 for teeth.
        at: where, in the outline's own millimetres.
    """

    sort: Literal["strip", "slit", "teeth"]
    width_mm: float
    at: Point


def fine_parts(contour: Contour) -> tuple[FinePart, ...]:
    """Return what is too fine to be cut: at most one strip, one slit and one place with teeth."""
    ring = np.array(flatten_contour(contour, CHORD_MM))
    if signed_area(ring) < 0.0:
        ring = ring[::-1]
    return (*_narrow(ring), *_teeth(ring))


def _narrow(ring: Floats) -> list[FinePart]:
    """Return the narrowest strip and slit of a clockwise ring (y down)."""
    from scipy.spatial import cKDTree

    points, along, length = _dense(ring)
    pairs = cKDTree(points).query_pairs(LEAST_MM, output_type="ndarray")
    one, other = pairs.T
    apart_along = np.abs(along[one] - along[other])
    far = np.minimum(apart_along, length - apart_along) > LENGTH_MM
    one, other = one[far], other[far]
    if not one.size:
        return []
    ahead = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    across = points[other] - points[one]
    width = np.hypot(*across.T)
    # the paper lies to the right of a clockwise ring; sides that face each other agree on theirs
    scale = np.maximum(width, 1e-9)
    from_one = _cross(ahead[one], across) / np.hypot(*ahead[one].T) / scale
    from_other = -_cross(ahead[other], across) / np.hypot(*ahead[other].T) / scale
    agreed = np.minimum(np.abs(from_one), np.abs(from_other)) > FACING
    found: list[FinePart] = []
    for sort, side in (("strip", 1.0), ("slit", -1.0)):
        meant = agreed & (side * from_one > 0.0) & (side * from_other > 0.0)
        if meant.any():
            worst = int(np.argmin(np.where(meant, width, np.inf)))
            a, b = int(one[worst]), int(other[worst])
            middle = (points[a] + points[b]) / 2.0
            narrow = min(_to_ring(points, a, b), _to_ring(points, b, a))
            place = (float(middle[0]), float(middle[1]))
            found.append(FinePart("strip" if sort == "strip" else "slit", narrow, place))
    return found


def _dense(ring: Floats) -> tuple[Floats, Floats, float]:
    """Return the ring's points, ``STEP_MM`` or less apart, their way along it, and its length."""
    sides = np.roll(ring, -1, axis=0) - ring
    counts = np.maximum(np.ceil(np.hypot(*sides.T) / STEP_MM).astype(np.intp), 1)
    side = np.repeat(np.arange(len(ring)), counts)
    nth = np.arange(side.size) - np.repeat(np.cumsum(counts) - counts, counts)
    points = ring[side] + sides[side] * (nth / counts[side])[:, None]
    steps = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
    return points, np.concatenate([[0.0], np.cumsum(steps[:-1])]), float(steps.sum())


def _to_ring(points: Floats, here: int, there: int) -> float:
    """Return the distance from a point to the two sides of the ring at another."""
    nearest = math.inf
    for step in (-1, 1):
        start, end = points[there], points[(there + step) % len(points)]
        side = end - start
        share = float(np.clip((points[here] - start) @ side / (side @ side), 0.0, 1.0))
        nearest = min(nearest, math.dist(points[here], start + share * side))
    return nearest


def _teeth(ring: Floats) -> list[FinePart]:
    """Return the place where the ring turns most within ``TURN_MM``, if that is too much."""
    ring = _thinned(ring)
    came, goes = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    turns = np.abs(np.arctan2(_cross(came, goes), (came * goes).sum(axis=1)))
    lengths = np.hypot(*goes.T)
    # twice round, so that a stretch may pass the ring's start
    along = np.concatenate([[0.0], np.cumsum(np.tile(lengths, 2))])[:-1]
    total = np.concatenate([[0.0], np.cumsum(np.tile(turns, 2))])
    first = np.arange(len(ring))
    last = np.searchsorted(along, along[first] + TURN_MM, side="right")
    turned = total[last] - total[first]
    worst = int(np.argmax(turned))
    if turned[worst] <= MOST_TURN:
        return []
    return [FinePart("teeth", 0.0, (float(ring[worst][0]), float(ring[worst][1])))]


def _thinned(ring: Floats) -> Floats:
    """Return the ring without points nearer than ``STEP_MM`` to the last: they turn any way."""
    kept = [ring[0]]
    for point in ring[1:]:
        if math.dist(kept[-1], point) >= STEP_MM:
            kept.append(point)
    return np.array(kept)


def _cross(one: Floats, other: Floats) -> Floats:
    cross: Floats = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return cross
