"""Does the ground get lighter from one edge to the other? Level it.

In: a tile, (height, width, 3) sRGB uint8. Out: the tile with a ramp taken away that runs from edge
to edge in CIELAB (D50), or None where no drift explains the step at the join.

The step is the median over the rows of what the colour jumps by across the join: where the tile is
sound a motif crosses the join without a jump, so motifs do not disturb it. A drift differs from a
picture that was cut off in that nearly all rows jump alike. Where the step changes slowly along
the edge, as in a vignette, the ramp follows. Not done here: rows (turn the tile).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.lab import lab_to_srgb8, srgb_to_lab
from patterns.light import Pixels

Floats = NDArray[np.float64]

LEAST_DE = 1.2  # a smaller step is not worth touching every pixel for
MOST_DE = 25.0
AGREE = 0.6  # share of rows that must jump alike
BAND = 3  # columns averaged on either side


def level_drift(pixels: Pixels, drop_px: int = 0) -> Pixels | None:
    """Return the tile without its drift from left to right, or None.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    if min(pixels.shape[:2]) < 16:
        return None
    jump = jumps(pixels, drop_px)
    step = np.median(jump, axis=0)
    size = float(np.linalg.norm(step))
    if not LEAST_DE < size < MOST_DE:
        return None
    off = np.linalg.norm(jump - step, axis=1)
    if float(np.mean(off < max(2.0, 0.5 * size))) < AGREE:
        return None
    along = np.tile(step, (len(jump), 1)) + _slow(jump - step)
    return _levelled(pixels, along, drop_px)


def jumps(pixels: Pixels, drop_px: int) -> Floats:
    """Return (height, 3): by how much CIELAB jumps across the join, row by row."""
    after = srgb_to_lab(np.roll(pixels[:, :BAND], drop_px, axis=0)).mean(axis=1)
    before = srgb_to_lab(pixels[:, -BAND:]).mean(axis=1)
    return np.asarray(after - before)


def _slow(rest: Floats) -> Floats:
    """Return what is left of the jumps over long stretches of the edge, by running medians."""
    from scipy.ndimage import median_filter, uniform_filter1d

    span = max(9, len(rest) // 4) | 1
    slow = median_filter(rest, size=(span, 1), mode="wrap")
    return np.asarray(uniform_filter1d(slow, span, axis=0, mode="wrap"), dtype=np.float64)


def _levelled(pixels: Pixels, step: Floats, drop_px: int) -> Pixels:
    width = pixels.shape[1]
    ramp = ((np.arange(width) + 0.5) / width - 0.5)[:, None]
    out = np.empty_like(pixels)
    # the left edge takes half the step as it meets the right edge, lowered
    left = np.roll(step, -drop_px, axis=0)
    for start in range(0, len(pixels), 64):
        rows = slice(start, start + 64)
        mean = np.where(ramp > 0.0, step[rows, None], left[rows, None])
        out[rows] = lab_to_srgb8(srgb_to_lab(pixels[rows]) + mean * ramp)
    return out
