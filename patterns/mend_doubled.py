"""Is a line of this tile there twice where it meets itself? Then one of them goes.

In: a tile, (height, width, 3) sRGB uint8, and by how many pixels its right neighbour sits lower.
Out: how many columns to drop on the right and on the left. Two lines are one line when they are
much more alike than any two neighbours inside the tile. Not done here: rows (turn the tile).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patterns.light import Pixels

ALIKE = 0.35  # of the least difference of neighbours inside
EXACT = 0.02  # mean difference in steps of 255 under which lines are copies of each other


def doubled_columns(pixels: Pixels, drop_px: int = 0) -> tuple[int, int]:
    """Return (columns too many on the left, columns too many on the right), at most one in all.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    if pixels.shape[1] < 16:
        return 0, 0
    lowered = np.roll(pixels[:, 0], drop_px, axis=0)
    last = pixels.shape[1] - 2
    inside = np.concatenate(  # some columns at a time: a bound on memory
        [
            _difference(pixels[:, x + 1 : min(x + 64, last) + 1], pixels[:, x : min(x + 64, last)])
            for x in range(1, last, 64)
        ]
    )
    pairs = {
        (0, 1): min(
            _difference(pixels[:, -1:], pixels[:, -2:-1])[0],
            _difference(pixels[:, -1:], lowered[:, None])[0],
        ),
        (1, 0): _difference(pixels[:, :1], pixels[:, 1:2])[0],
    }
    which = min(pairs, key=lambda pair: pairs[pair])
    least, rare = float(inside.min()), float(np.percentile(inside, 2))
    copies = pairs[which] <= EXACT < rare
    return which if copies or pairs[which] < ALIKE * least else (0, 0)


def _difference(lines: Pixels, others: Pixels) -> NDArray[np.float64]:
    """Return the mean absolute difference of columns, one for each pair."""
    return np.asarray(np.abs(lines.astype(np.int16) - others).mean(axis=(0, 2)))
