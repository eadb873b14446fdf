"""Can a closed polyline be cut: does it enclose something, and does it keep clear of itself?

In: points in millimetres; the first is not repeated. Out: its signed area, and where it crosses or
touches itself.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kit.shapes.geometry import Point
from palette.arrays import Floats, Mask

CHUNK = 256  # sides compared with all others at once


def signed_area(ring: Sequence[Point] | Floats) -> float:
    """Return the area in the square of the points' unit, positive if clockwise as seen (y down)."""
    x, y = np.array(ring).T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2.0)


def first_crossing(ring: Sequence[Point]) -> Point | None:
    """Return a point where two sides that are not neighbours meet, or None.

    A ring that doubles back along its own side meets itself there.
    """
    starts = np.array(ring, dtype=np.float64)
    ends = np.roll(starts, -1, axis=0)
    count = len(starts)
    doubled = _doubling_back(starts, ends)
    if doubled is not None:
        return doubled
    for first in range(0, count, CHUNK):
        mine = np.arange(first, min(first + CHUNK, count))
        met = _meet(starts[mine, None], ends[mine, None], starts[None], ends[None])
        gap = (np.arange(count)[None, :] - mine[:, None]) % count
        met &= (gap > 1) & (gap < count - 1)
        if met.any():
            i, _ = np.argwhere(met)[0]
            x, y = (starts[mine[i]] + ends[mine[i]]) / 2.0
            return float(x), float(y)
    return None


def _doubling_back(starts: Floats, ends: Floats) -> Point | None:
    along = ends - starts
    onward = np.roll(along, -1, axis=0)
    cross = along[:, 0] * onward[:, 1] - along[:, 1] * onward[:, 0]
    dot = (along * onward).sum(axis=1)
    back = (dot < 0.0) & (np.abs(cross) <= 1e-9 * np.abs(dot))
    if not back.any():
        return None
    x, y = ends[int(np.argmax(back))]
    return float(x), float(y)


def _meet(a: Floats, b: Floats, c: Floats, d: Floats) -> Mask:
    """Tell which sides a-b and c-d share a point: each's ends lie on both sides of the other."""
    boxes = np.ones(np.broadcast_shapes(a.shape, c.shape)[:-1], dtype=np.bool_)
    for axis in (0, 1):
        boxes &= np.minimum(a, b)[..., axis] <= np.maximum(c, d)[..., axis]
        boxes &= np.minimum(c, d)[..., axis] <= np.maximum(a, b)[..., axis]
    across = _side_of(a, b, c) * _side_of(a, b, d) <= 0.0
    back = _side_of(c, d, a) * _side_of(c, d, b) <= 0.0
    met: Mask = boxes & across & back
    return met


def _side_of(a: Floats, b: Floats, point: Floats) -> Floats:
    side: Floats = (b[..., 0] - a[..., 0]) * (point[..., 1] - a[..., 1]) - (
        b[..., 1] - a[..., 1]
    ) * (point[..., 0] - a[..., 0])
    return side
