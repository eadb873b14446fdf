"""Was this tile cut too wide, so that its last columns repeat its first?

In: a tile, (height, width, 3) sRGB uint8, and by how many pixels its right neighbour sits lower.
Out: how many columns are there twice. Such a picture holds its own repeat, one and a part of one,
and cutting the part off loses nothing. Not done here: single doubled columns
(``patterns.mend.remedies.double_lines``), pictures of several repeats both ways
(``patterns.repeats.search``).

How alike strips of all widths are comes from one correlation (``patterns.autocorrelation``). What
does not change along the rows of a strip, bare ground and stripes that run over the join, is alike
everywhere and says nothing.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Pixels
from patterns.autocorrelation import correlate
from patterns.mend.remedies.double_lines import MOST_COPIES, MOST_ROWS

ALIKE = 0.1  # of the difference of strangers, 1: what JPEG and half a pixel add
LIKE_THE_BEST = 1.5  # of the least difference: among those the narrowest strip is meant
LEAST_SPREAD = 1.0  # steps of 255, root mean square: less is bare ground, which is like itself
LEAST_PX = 32
_ROWS = 256  # at a time: a bound on memory


def count_overlapping_columns(pixels: Pixels, drop_px: int = 0) -> int:
    """Return how many of the last columns are copies of the first, up to half of them; 0 if none.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    width = pixels.shape[1]
    most = width // 2
    if width < LEAST_PX or most <= MOST_COPIES + 1:
        return 0
    unlike, spread = _unlike(pixels, drop_px)
    counts = np.arange(most + 1)
    inner = unlike[1:-1]
    least_around = (inner <= unlike[:-2]) & (inner <= unlike[2:])
    candidates = (spread >= LEAST_SPREAD) & (counts > MOST_COPIES)
    candidates[1:-1] &= least_around
    candidates[[0, -1]] = False
    if not candidates.any():
        return 0
    best = float(unlike[candidates].min())
    if best > ALIKE:
        return 0
    return int(counts[candidates & (unlike <= LIKE_THE_BEST * best + 0.005)][0])


def _unlike(pixels: Pixels, drop_px: int) -> tuple[Floats, Floats]:
    """Return, for strips of 0 to width // 2 columns, how unlike the first and last strip are.

    That is their squared difference over what changes along the rows of both: 0 for copies, about
    1 for strangers. And the root mean square of the latter, in steps of 255.
    """
    height, width = pixels.shape[:2]
    counts = np.arange(1, width // 2 + 1)
    alike, squares, changes = (np.zeros(len(counts)) for _ in range(3))
    rows = np.arange(0, height, -(-height // MOST_ROWS))
    for some in np.array_split(rows, -(-len(rows) // _ROWS)):
        here = pixels[some].astype(np.float32)
        there = pixels[(some - drop_px) % height].astype(np.float32)
        for channel in range(3):
            ours, theirs = here[..., channel], there[..., channel]
            # strips of so many columns lie on each other when moved by the rest of the width
            shifted = correlate(ours.T[None], theirs.T[None], 0, width - 1)[0]
            alike += shifted[2 * width - 1 - counts]
            for strip in (theirs[:, : len(counts)], ours[:, ::-1][:, : len(counts)]):
                square = np.einsum("ij,ij->j", strip, strip).cumsum(dtype=np.float64)
                sums = strip.cumsum(axis=1, dtype=np.float64)
                squares += square
                changes += square - np.einsum("ij,ij->j", sums, sums) / counts
    changes = np.maximum(changes, 0.0)
    unlike = np.maximum(squares - 2.0 * alike, 0.0) / np.maximum(changes, 1.0)
    spread = np.sqrt(changes / (6.0 * len(rows) * counts))
    return np.concatenate([[1.0], unlike]), np.concatenate([[0.0], spread])
