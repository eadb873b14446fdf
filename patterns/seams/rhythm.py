"""Does the rhythm of stripes or checks go on across the join?

In: the lines of a whole tile. Out: the period across the axis that the tile shows by itself, and
for each cut how badly the lines after it follow from those one period before. A tile whose edge
pixels agree may still hold a stripe and a half too many.

Not done here: repeats in two directions (``patterns.repeats.search``).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats32
from patterns.autocorrelation import autocorrelate
from patterns.lab32 import de76

MARKED = 0.5
HELD_FROM = 0.9  # of the autocorrelation at the period: from here on a tile keeps it inside


def period_across(tile: Floats32) -> tuple[int, float]:
    """Return the period, in lines, that best explains the tile across the axis, and how well.

    That is its autocorrelation, up to 1. Only periods seen at least two and a half times count;
    (0, 0.0) where there is none.
    """
    n = tile.shape[0]
    stride = max(1, tile.shape[1] // 96)  # the rhythm of stripes shows in every column
    lines = tile[:, ::stride].reshape(1, n, -1)
    like = autocorrelate(lines, 0, n // 2).table[0, n // 2 :]
    last = int(n / 2.5)
    if last < 6:
        return 0, 0.0
    inner = like[1 : last + 1]
    peaks = [s for s in range(3, last) if like[s] >= like[s - 1] and like[s] >= like[s + 1]]
    if not peaks:
        return 0, 0.0
    best = max(float(like[s]) for s in peaks)
    dip = float(inner[: peaks[-1]].min())
    if best < 0.5 or best - dip < 0.2:
        return 0, 0.0
    good = [s for s in peaks if like[s] > best - 0.1 * (best - dip)]
    return good[0], float(like[good[0]])


def is_seen_thrice(tile: Floats32, period: int) -> bool:
    """Tell whether what makes a rhythm stands three times in a row, at equal distances.

    Twice is a pair: two lines of the design may stand nearer to each other than to the next pair.
    So some line as marked as ``MARKED`` of the most marked one must have its like one period and
    two periods further on, inside the tile.
    """
    step = de76(tile[1:], tile[:-1]).mean(axis=-1)
    room = len(step) - 2 * period
    if not period or room <= 0:
        return False
    marked = step >= MARKED * step.max()
    near = np.convolve(marked, np.ones(3), "same") > 0  # a period need not be a whole number
    return bool((marked[:room] & near[period : period + room] & near[2 * period :]).any())


def rhythm_figures(tile: Floats32, shift_along: int, period: int) -> tuple[float, Floats32]:
    """Return the join's figure and the interior's figures.

    Each figure is the mean CIE76 between the lines after a cut and those one period before them,
    over one period. ``tile`` (n, along, 3) is the tile without neighbours; ``shift_along`` is how
    far the neighbour is moved along the edge.
    """
    after = np.roll(tile[:period], shift_along, axis=1)
    lines = np.concatenate([tile, after])
    n = tile.shape[0]
    by_row = np.full(n + period, np.inf, dtype=np.float32)
    for near in (period - 1, period, period + 1):  # a period need not be a whole number of lines
        off = lines[near:] - lines[:-near]
        by_row[near:] = np.minimum(by_row[near:], np.sqrt((off * off).sum(axis=-1)).mean(axis=-1))
    sums = np.concatenate([[0.0], np.cumsum(by_row[period + 1 :], dtype=np.float64)])
    means = (sums[period:] - sums[:-period]) / period
    return float(means[-1]), means[: max(1, len(means) - period)].astype(np.float32)
