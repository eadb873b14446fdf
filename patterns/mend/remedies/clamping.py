"""Was this tile enlarged by a program that looked no further than its border? Draw that again.

In: a tile, (height, width, 3) sRGB uint8, and by how many pixels its right neighbour sits lower.
Out: the tile with the columns at its join drawn again, or None. Enlarged so, the outer half of the
border's pixels stays flat on either side, and the join between two flats shows as a line. What
belongs there is what lies between these two pixels: cubic convolution, held between them, as
``patterns.plane.enlargement`` does it. Not done here: rows (turn the tile).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Pixels
from patterns.plane import cubic_weights

SMOOTH = 0.75  # of first differences, the second ones: artwork enlarged at least three times
FLAT = 0.5  # of the differences of neighbours just inside: a flat edge
RARE = 2.0  # percentile of runs inside that may be as flat
ONE_SIDE = 0.6  # the same, of either edge alone
NEAR = 1.25  # how near to the flattest a wider run has to be
PLAIN = 0.25  # of the usual difference of neighbours
MOST = 16  # columns: half of a pixel that was enlarged 32 times
AT_ONCE = 64  # columns compared: a bound on memory


def redraw_clamped(pixels: Pixels, drop_px: int = 0) -> tuple[Pixels, int] | None:
    """Return (tile, columns drawn again), or None.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    width = pixels.shape[1]
    if width < 6 * MOST or len(pixels) < 8:
        return None
    steps, bends = _differences(pixels)
    half = _flat_columns(steps) if bends.mean() < SMOOTH * steps.mean() else None
    if half is None:
        return None
    lowered = np.roll(pixels[:, : 4 * half + 2], drop_px, axis=0).astype(np.float64)
    right = pixels[:, ::-1][:, : 4 * half + 2].astype(np.float64)
    drawn = _between(_centre(right, 3 * half), _centre(right, half), lowered, half)
    out = pixels.copy()
    out[:, width - half :] = drawn[:, :half]
    out[:, :half] = np.roll(drawn[:, half:], -drop_px, axis=0)
    return out, 2 * half


def _differences(pixels: Pixels) -> tuple[Floats, Floats]:
    """Return the mean difference of each column from the next one, and of those differences."""
    steps, bends = [], []
    for start in range(0, pixels.shape[1] - 1, AT_ONCE):
        step = np.diff(pixels[:, start : start + AT_ONCE + 1].astype(np.int16), axis=1)
        steps.append(np.abs(step).mean(axis=(0, 2)))
        bends.append(np.abs(np.diff(step, axis=1)).mean(axis=(0, 2)))
    return np.concatenate(steps), np.concatenate(bends)


def _flat_columns(steps: Floats) -> int | None:
    """Return how many columns are flat at both edges alike, as hardly any are inside, or None."""
    flatness = {}
    for half in range(1, MOST + 1):
        left, right = steps[: 3 * half], steps[: -3 * half - 1 : -1]
        both = _dips(np.concatenate([right[::-1], left]), half)[0]
        if both <= FLAT and max(_one_side(left), _one_side(right)) <= ONE_SIDE:
            flatness[half] = float(both)
    if not flatness:
        return None
    half = max(each for each in flatness if flatness[each] <= NEAR * min(flatness.values()))
    return half if flatness[half] < np.percentile(_dips(steps, half), RARE) else None


def _one_side(steps: Floats) -> float:
    third = len(steps) // 3
    return float(steps[:third].mean() / max(1e-6, steps[third:].mean()))


def _dips(steps: Floats, half: int) -> Floats:
    """Return how flat each run of 2 half steps is against as many on either side of it.

    Where all is plain there is nothing to be flat against: that counts as 1.
    """
    total = np.cumsum(np.concatenate([[0.0], steps]))
    every, some = total[6 * half :] - total[: -6 * half], slice(2 * half, len(total) - 4 * half)
    inner = total[4 * half : len(total) - 2 * half] - total[some]
    beside = (every - inner) / 2.0
    plain = beside < PLAIN * np.median(beside)
    return np.asarray(np.where(plain, 1.0, inner / np.maximum(beside, 1e-6)))


def _centre(columns: Floats, place: int) -> Floats:
    """Return (height, 1, 3): the middle of an enlarged pixel, which lies between two columns."""
    return np.asarray((columns[:, place - 1 : place] + columns[:, place : place + 1]) / 2.0)


def _between(far: Floats, near: Floats, lowered: Floats, half: int) -> Floats:
    """Return (height, 2 half, 3) uint8 values from one border pixel's middle to the other's."""
    next_near, next_far = _centre(lowered, half), _centre(lowered, 3 * half)
    t = ((np.arange(2 * half) + 0.5) / (2 * half))[None, :, None]
    of_far, of_near, of_next_near, of_next_far = cubic_weights(t)
    drawn = of_far * far + of_next_far * next_far + of_near * near + of_next_near * next_near
    held = np.clip(drawn, np.minimum(near, next_near), np.maximum(near, next_near))
    return np.asarray(np.rint(held))
