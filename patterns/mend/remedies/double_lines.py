"""Is a line of this tile there twice where it meets itself? Then one of them goes.

In: a tile, (height, width, 3) sRGB uint8, and by how many pixels its right neighbour sits lower.
Out: how many columns to drop on the right and on the left. Two lines are one line when they are
much more alike than any two neighbours inside the tile that hold anything: bare ground is like
itself everywhere, and says nothing. A tile that was cut a few pixels too wide ends with the columns
that it begins with. Not done here: rows (turn the tile).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Pixels

ALIKE = 0.35  # of the least difference of neighbours inside
EXACT = 0.02  # mean difference in steps of 255 under which lines are copies of each other
LIVELY = 1.0  # mean difference of a column's pixels from their own mean; less is bare ground
MOST_ROWS = 2_048  # of a tall tile, evenly spread, tell how unlike neighbours are
MOST_COPIES = 8  # columns cut too wide; more is found as a repeat, or let in
RARE = 10  # per cent of neighbours inside: the middles of even shapes are copies too
LEAST_PAIRS = 8  # of lively neighbours, to know how unlike they are here


def count_double_columns(pixels: Pixels, drop_px: int = 0) -> tuple[int, int]:
    """Return (columns too many on the left, columns too many on the right), one of them 0.

    One column, or up to ``MOST_COPIES`` on the right where the last ones are copies of the first.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    width = pixels.shape[1]
    if width < 16:
        return 0, 0
    inside = _lively_differences(pixels[:: -(-len(pixels) // MOST_ROWS), 1:-1])
    if len(inside) < LEAST_PAIRS:
        return 0, 0
    first = np.roll(pixels[:, :MOST_COPIES], drop_px, axis=0)
    least, rare = float(inside.min()), float(np.percentile(inside, RARE))
    for count in range(min(MOST_COPIES, width // 4), 0, -1):
        off = float(_difference(pixels[:, width - count :], first[:, :count]).max())
        if _copies(off, rare) and _liveliness(first[:, :count]).max() >= LIVELY:
            return 0, count
    pairs = {
        (0, 1): min(
            _difference(pixels[:, -1:], pixels[:, -2:-1])[0],
            _difference(pixels[:, -1:], first[:, :1])[0],
        ),
        (1, 0): _difference(pixels[:, :1], pixels[:, 1:2])[0],
    }
    which = min(pairs, key=lambda pair: pairs[pair])
    if _liveliness(pixels[:, -1:] if which[1] else pixels[:, :1])[0] < LIVELY:
        return 0, 0
    off = float(pairs[which])
    return which if _copies(off, rare) or off < ALIKE * least else (0, 0)


def _copies(off: float, rare: float) -> bool:
    """Whether columns that differ by ``off`` are copies, where few inside differ by ``rare``."""
    return off <= EXACT and off < ALIKE * rare


def _lively_differences(pixels: Pixels) -> Floats:
    """Return the differences of neighbouring columns that both hold something, (pairs,)."""
    parts = []
    for x in range(0, pixels.shape[1] - 1, 64):  # some columns at a time: a bound on memory
        run = pixels[:, x : x + 65]
        lively = _liveliness(run) >= LIVELY
        parts.append(_difference(run[:, 1:], run[:, :-1])[lively[1:] & lively[:-1]])
    return np.concatenate(parts)


def _liveliness(columns: Pixels) -> Floats:
    """Return how far the pixels of each column lie from its mean, in steps of 255, (columns,)."""
    off = columns - columns.mean(axis=0, dtype=np.float32)
    return np.asarray(np.abs(off).mean(axis=(0, 2)), dtype=np.float64)


def _difference(lines: Pixels, others: Pixels) -> Floats:
    """Return the mean absolute difference of columns, one for each pair."""
    return np.asarray(np.abs(lines.astype(np.int16) - others).mean(axis=(0, 2)))
