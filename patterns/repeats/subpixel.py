"""Where exactly does a picture lie on itself, to a fraction of a pixel?

In: pixels, (height, width, 3), and a shift known to a pixel or two. Out: the shift that lays the
picture on itself best, with a weight for each direction: how sharply the difference rises beside
it. Squared differences and parabolas; a stripe has no say along itself, and its weight is nothing.
Not done here: finding the shift in the first place (``patterns.autocorrelation``).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Pixels

REACH_PX = 2  # from the integer shift, down and right
WINDOW_PX = 320  # of the picture compared for one shift


def measure_shift(
    pixels: Pixels, down: int, right: int
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the sub-pixel shift near an integer one and a weight for each direction.

    Walks to the least squared difference one direction at a time, then fits parabolas there.
    """
    height, width = pixels.shape[:2]
    first = max(0, -right) + REACH_PX
    rows = slice(REACH_PX, max(REACH_PX + 1, min(height - down - REACH_PX, REACH_PX + WINDOW_PX)))
    columns = slice(first, max(first + 1, min(width - max(0, right) - REACH_PX, first + WINDOW_PX)))
    still = pixels[rows, columns].astype(np.float32)

    def cost(d: int, r: int) -> float:
        top, left = rows.start + d, columns.start + r
        moved = pixels[top : top + still.shape[0], left : left + still.shape[1]]
        if top < 0 or left < 0 or moved.shape != still.shape:
            return float("inf")
        off = moved - still
        return float(np.einsum("ijk,ijk->", off, off)) / off.size

    near = range(-REACH_PX, REACH_PX + 1)
    for _ in range(2):
        down += min(near, key=lambda k: (cost(down + k, right), abs(k)))
        right += min(near, key=lambda k: (cost(down, right + k), abs(k)))
    here = cost(down, right)
    y, down_weight = parabola(down, cost(down - 1, right), here, cost(down + 1, right))
    x, right_weight = parabola(right, cost(down, right - 1), here, cost(down, right + 1))
    return (y, x), (down_weight, right_weight)


def parabola(at: int, before: float, here: float, after: float) -> tuple[float, float]:
    """Return where the parabola through three costs is least, and how sharply it bends."""
    bend = before + after - 2.0 * here
    if not np.isfinite(bend) or bend < 1e-6:
        return float(at), 0.0
    return at + float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5)), bend
