"""Ink that follows an odd outline: as far round it as a cut may miss, and no farther.

In: a cut line and the bleed, in millimetres. Out: the outline of what is printed, or None where the
cut line fills its box and the box grown by the bleed is as good.

A cut may lie off by the bleed along x and along y at once, so what it may reach is the cut line
swept by a square of twice the bleed (their Minkowski sum), not a line at one distance. Its border
is the outer part of the two outlines' convolution (Guibas, Ramshaw and Stolfi, "A kinetic framework
for computational geometry", 1983): where that curve winds round a point at least once. A bay whose
mouth the bleed closes is filled: ink there does no harm, and a ring of its own it must not become.

Not done here: giving way to neighbours and the paper's edge (``kit.registration.bleed``).
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from kit.shapes import (
    Contour,
    bounding_box,
    fit_arcs,
    flatten_contour,
    outer_ring,
    polygon_coverage,
    signed_area,
)
from palette.arrays import Floats

FREE_SHARE = 0.02  # of its box; a sticker that leaves more of it free gets ink of its own shape
CELLS_PER_MM = 16.0
FIT_MM = 0.005
SPARE_MM = 0.03  # more than the grid takes off sharp corners; the box's bleed clips it again
_CORNERS = np.array([(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)])


@lru_cache(maxsize=256)
def bleed_shape(outline: Contour, bleed_mm: float) -> Contour | None:
    """Return the outline of what is printed, or None for the whole box and its bleed.

    Args:
        outline: the cut line, closed and not crossing itself.
        bleed_mm: how far ink runs past it along x and y.
    """
    ring = flatten_contour(outline, FIT_MM)
    box, area = bounding_box(outline), signed_area(ring)
    if abs(area) >= (1.0 - FREE_SHARE) * box.area_mm2 or bleed_mm <= 0.0:
        return None
    around = box.grow(bleed_mm + 4.0 / CELLS_PER_MM)
    clockwise = np.array(ring if area > 0.0 else ring[::-1])
    swept = (_swept(clockwise, bleed_mm + SPARE_MM) - (around.x_mm, around.y_mm)) * CELLS_PER_MM
    rows, cols = (math.ceil(mm * CELLS_PER_MM) for mm in (around.height_mm, around.width_mm))
    # a cell's share is that of its middle, half a cell from its corner
    border = (outer_ring(polygon_coverage([swept], rows, cols) - 0.5) + 0.5) / CELLS_PER_MM
    return fit_arcs([(around.x_mm + float(x), around.y_mm + float(y)) for x, y in border], FIT_MM)


def _swept(ring: Floats, reach: float) -> Floats:
    """Return the convolution of a clockwise ring (y down) with a square of half side ``reach``.

    Each side is moved to the corner of the square that lies farthest outwards from it; between
    sides the curve goes round the square, forwards at convex corners and back at others.
    """
    along = np.roll(ring, -1, axis=0) - ring
    moving = np.hypot(*along.T) > 0.0
    ring, along = ring[moving], along[moving]
    onward = np.roll(along, -1, axis=0)
    cross = along[:, 0] * onward[:, 1] - along[:, 1] * onward[:, 0]
    angles = np.arctan2(cross, (along * onward).sum(axis=1))
    outwards = math.atan2(-along[0, 0], along[0, 1]) + np.concatenate([[0.0], np.cumsum(angles)])
    # on an axis two corners are equally far: always the same one of them
    quarters = np.floor(np.round(outwards / (math.pi / 2.0), 9)).astype(np.intp)
    points: list[Floats] = []
    for i, start in enumerate(ring):
        end = start + along[i]
        here, there = int(quarters[i]), int(quarters[i + 1])
        step = 1 if there >= here else -1
        points += [start + reach * _CORNERS[here % 4]]
        points += [end + reach * _CORNERS[k % 4] for k in range(here, there + step, step)]
    return np.array(points)
