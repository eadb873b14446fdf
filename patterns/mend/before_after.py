"""What did mending change? Two by two repeats before and after, the join in the middle of each.

In: both tiles, (height, width, 3) sRGB uint8, and how they repeat. Out: one picture, before on the
left and after on the right, at the tiles' own size or smaller. Not done here: words on the picture.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Pixels
from patterns.plane import STRAIGHT, Lattice, Plane
from patterns.units import MM_PER_INCH

MOST_PX = 720  # longer side of one half
GAP_PX = 16


def before_after_picture(
    before: Pixels,
    after: Pixels,
    lattice: Lattice = STRAIGHT,
    lattice_after: Lattice | None = None,
) -> Pixels:
    """Return both planes side by side on white, each with the corner of four tiles in its middle.

    Args:
        before: (height, width, 3) sRGB uint8.
        after: the mended tile.
        lattice: how the first repeats.
        lattice_after: how the second repeats, if otherwise.
    """
    height, width = 2 * before.shape[0], 2 * before.shape[1]
    factor = max(1.0, max(height, width) / MOST_PX)
    rows, columns = max(1, round(height / factor)), max(1, round(width / factor))
    halves = [
        _around_the_corner(tile, each, factor, rows, columns)
        for tile, each in ((before, lattice), (after, lattice_after or lattice))
    ]
    gap = np.full((rows, GAP_PX, 3), 255, dtype=np.uint8)
    return np.concatenate([halves[0], gap, halves[1]], axis=1)


def _around_the_corner(
    tile: Pixels, lattice: Lattice, factor: float, rows: int, columns: int
) -> Pixels:
    """Sample the plane at one dot to ``factor`` tile pixels, its corner in the middle."""
    pixel_mm = MM_PER_INCH / 100.0 / factor
    plane = Plane(tile, tile.shape[1] * pixel_mm, lattice)
    x_mm, y_mm = (-0.5 * count * factor * pixel_mm for count in (columns, rows))
    return plane.sample(x_mm, y_mm, 1.0, 1.0, 100.0, shape=(rows, columns))
