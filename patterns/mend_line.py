"""Is one column missing where this tile meets itself? Put in what lies between its neighbours.

In: a tile, (height, width, 3) sRGB uint8. Out: the tile with one column more, or None. For each row
the two sides are compared along the contours that cross the join, up to two rows askew, and the
mean of what fits best is put in between. It counts only where both sides then differ no more than
columns inside the tile do that have one column between them, at the worst place and on average.
Not done here: rows (turn the tile), more than one column.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patterns.light import Pixels

Floats = NDArray[np.float64]

ASKEW = 2  # rows that a contour may go up or down in a column
STRAIGHTER = 4.0  # what a row askew counts for, in squared steps of 255
ROWS, RUN_PX = 5, 9  # rows that are compared together; a difference shows over such a run
INSIDE = 64  # places inside that are compared likewise
USUAL = 95.0  # percentile of their mean differences


def with_missing_column(pixels: Pixels) -> Pixels | None:
    """Return the tile with a column put in at its right edge, or None.

    Args:
        pixels: (height, width, 3) sRGB uint8.
    """
    height, width = pixels.shape[:2]
    if width < 24 or height < 16:
        return None
    column, *apart = _between(pixels[:, -1], pixels[:, 0])
    places = np.unique(np.linspace(3, width - 6, INSIDE).astype(int))
    inside = np.array([_between(pixels[:, x], pixels[:, x + 2])[1:] for x in places])
    worst, mean = inside.T
    if apart[0] > worst.max() or apart[1] > np.percentile(mean, USUAL):
        return None
    return np.concatenate([pixels, column[:, None]], axis=1)


def _between(before: Pixels, after: Pixels) -> tuple[Pixels, float, float]:
    """Return (column between two others, their difference over its worst run, and its mean)."""
    from scipy.ndimage import uniform_filter1d

    costs, middles = [], []
    for rows in range(-ASKEW, ASKEW + 1):
        left = np.roll(before, rows, axis=0).astype(np.float64)
        right = np.roll(after, -rows, axis=0).astype(np.float64)
        off = np.square(left - right).sum(axis=1)
        costs.append(uniform_filter1d(off, ROWS, mode="wrap") + STRAIGHTER * abs(rows))
        middles.append((left + right) / 2.0)
    best, every = np.argmin(costs, axis=0), np.arange(len(before))
    apart = np.sqrt(np.maximum(np.array(costs)[best, every], 0.0))
    runs = uniform_filter1d(apart, min(RUN_PX, len(apart)), mode="wrap")
    column = np.rint(np.array(middles)[best, every]).astype(np.uint8)
    return column, float(runs.max()), float(apart.mean())
