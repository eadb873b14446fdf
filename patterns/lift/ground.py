"""Is a tile's ground one colour, and which?

In: a tile, (height, width, 3) sRGB uint8. Out: its ``Ground``, or None where no colour covers
enough. What stands out from it is found by distance in sRGB values, in which drawings are laid over
their ground. Not done here: parting motifs (``patterns.lift.pieces``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32, Indices, Pixels

LEAST_SHARE = 0.2  # of the tile, in the ground's colour
NEAR = 16.0  # of 255: a pixel this near the commonest colour may be ground
MOST_SPREAD = 5.0  # of 255; a ground with more grain than this is a texture
LEAST_OFF = 9.0  # of 255: what stands out by less is taken for the ground
GRAINS = 4.5  # times the ground's own spread, likewise
_SAMPLE = 1_000_000


@dataclass(frozen=True, slots=True)
class Ground:
    """The one colour that motifs lie on.

    Attributes:
        colour: its three sRGB values, 0 to 255, not rounded.
        spread: how far its pixels scatter about it in one channel (standard deviation).
        share: how much of the tile has it, 0 to 1.
    """

    colour: tuple[float, float, float]
    spread: float
    share: float

    @property
    def least_off(self) -> float:
        """The distance in sRGB values from which a pixel is no longer ground."""
        return max(LEAST_OFF, GRAINS * self.spread)

    def away(self, pixels: Pixels) -> Floats32:
        """Return each pixel's distance from the ground's colour in sRGB values."""
        off = pixels.astype(np.float32) - np.array(self.colour, dtype=np.float32)
        away: Floats32 = np.sqrt(np.einsum("...i,...i->...", off, off))
        return away


def find_ground(pixels: Pixels) -> Ground | None:
    """Return the colour that a tile's motifs lie on; None where none covers enough of it.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
    """
    seen = pixels.reshape(-1, 3)
    seen = seen[:: max(1, len(seen) // _SAMPLE)]
    codes = (seen >> 3).astype(np.intp) @ np.array([1024, 32, 1])
    counts = np.bincount(codes, minlength=32**3).reshape(32, 32, 32).astype(np.float64)
    commonest = _mean_of_cell(seen, codes, int(np.argmax(_with_neighbours(counts))))
    for _ in range(3):
        inside = _most_off(seen, commonest) <= NEAR
        commonest = np.median(seen[inside], axis=0)
    inside = _most_off(seen, commonest) <= NEAR
    if inside.mean() < LEAST_SHARE:
        return None
    spread = float(np.sqrt(np.mean((seen[inside] - commonest) ** 2)))
    red, green, blue = (float(value) for value in _centre(seen, commonest))
    return Ground((red, green, blue), spread, float(inside.mean()))


def _most_off(seen: Pixels, colour: Floats) -> Floats:
    """Return how far each pixel is off a colour in the channel where it is most."""
    red, green, blue = (np.abs(seen[:, i] - colour[i]) for i in range(3))
    farthest: Floats = np.maximum(np.maximum(red, green), blue)
    return farthest


def _with_neighbours(counts: Floats) -> Floats:
    """Return counts of colour cells with those beside them, so that none is halved by a border."""
    from scipy.ndimage import uniform_filter

    summed: Floats = uniform_filter(counts, 3, mode="constant")
    return summed


def _mean_of_cell(seen: Pixels, codes: Indices, cell: int) -> Floats:
    mine = codes == cell
    if mine.any():
        mean: Floats = seen[mine].mean(axis=0)
        return mean
    red, rest = divmod(cell, 1024)
    return np.array([red, *divmod(rest, 32)]) * 8.0 + 4.0


def _centre(seen: Pixels, commonest: Floats) -> Floats:
    """Return the mean of what is very near the commonest colour: finer than whole steps."""
    near = _most_off(seen, commonest) <= NEAR / 4.0
    centre: Floats = seen[near].mean(axis=0)
    return centre
