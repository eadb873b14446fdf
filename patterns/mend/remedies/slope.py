"""Does the whole tile get lighter from left to right, whatever meets at its join?

In: a tile, (height, width, 3) sRGB uint8. Out: the tile with that slope of lightness taken away, or
None. Where a line of the design lies on the join nothing can be compared across it; but a drift
smears every colour of the artwork, and the slope whose removal leaves the fewest colours is the
drift: the entropy of lightness, given the hue, is least (after the entropy-minimising correction of
uneven lighting in scans: Mangin, "Entropy minimization for automatic correction of intensity
nonuniformity", MMBIA 2000; here one linear slope, found by trying all). Not done here: rows.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Indices, Pixels
from palette.space import lab_to_srgb8, srgb_to_lab

MOST_L = 16.0  # of lightness from edge to edge
STEP_L = 0.25
LEAST_L = 1.2
SHARPER = 0.04  # nats of entropy that a drift's removal takes away at least
SAMPLED = 40_000
BIN_L, BIN_AB = 0.75, 6.0


def level_slope(pixels: Pixels) -> Pixels | None:
    """Return the tile without a slope of lightness from left to right, or None.

    Args:
        pixels: (height, width, 3) sRGB uint8.
    """
    height, width = pixels.shape[:2]
    if min(height, width) < 16:
        return None
    slope = measure_slope(pixels)
    if abs(slope) < LEAST_L:
        return None
    out = np.empty_like(pixels)
    for start in range(0, height, 64):  # a bound on memory
        lab = srgb_to_lab(pixels[start : start + 64])
        lab[..., 0] -= slope * _ramp(width)
        out[start : start + 64] = lab_to_srgb8(lab)
    return out


def measure_slope(pixels: Pixels) -> float:
    """Return by how much L* rises from the left edge to the right one, -16 to 16, or 0."""
    every = max(1, int(np.sqrt(pixels[..., 0].size / SAMPLED)))
    sampled = srgb_to_lab(pixels[::every, ::every])
    across = np.tile(_ramp(pixels.shape[1])[::every], len(sampled))
    lab = sampled.reshape(-1, 3)
    hue = np.floor(lab[:, 1:] / BIN_AB + 0.5).astype(np.int64) @ np.array([64, 1])
    _, hue = np.unique(hue, return_inverse=True)
    slopes = np.arange(-MOST_L, MOST_L + STEP_L, STEP_L)
    entropy = np.array([_entropy(lab[:, 0] - slope * across, hue) for slope in slopes])
    best = int(np.argmin(entropy))
    level = float(entropy[len(slopes) // 2])
    inner = 0 < best < len(slopes) - 1  # at an end of the range there is no least
    return float(slopes[best]) if inner and level - entropy[best] >= SHARPER else 0.0


def _ramp(width: int) -> Floats:
    return np.asarray((np.arange(width) + 0.5) / width - 0.5)


def _entropy(light: Floats, hue: Indices) -> float:
    """Return the entropy in nats of lightness and hue, lightness shared between two bins."""
    place = light / BIN_L + 40.0
    low = np.floor(place).astype(np.int64)
    part = place - low
    rows = int(low.max()) + 2
    count = np.bincount(hue * rows + low, 1.0 - part, rows * (int(hue.max()) + 1))
    count += np.bincount(hue * rows + low + 1, part, rows * (int(hue.max()) + 1))
    share = count[count > 0] / len(light)
    return float(-(share * np.log(share)).sum())
