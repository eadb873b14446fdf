"""Is a tile's ground one colour, and which?

In: a tile, (height, width, 3) sRGB uint8. Out: its ``Ground``, or None where no colour covers
enough. What stands out from it is found by distance in sRGB values, in which drawings are laid over
their ground. Not done here: parting motifs (``patterns.lift.pieces``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32, Indices, Pixels

LEAST_SHARE = 0.2  # of the tile, in the ground's colour
NEAR = 16.0  # of 255: a pixel this near the commonest colour may be ground
MOST_SPREAD = 5.0  # of 255; a ground with more grain than this is a texture
LEAST_OFF = 9.0  # of 255: what stands out by less is taken for the ground
GRAINS = 4.5  # times the ground's own spread, likewise
_SAMPLE = 1_000_000
_SOME = 200_000  # pixels: enough for the commonest colour and its median, not for its grain


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
    channels = np.ascontiguousarray(seen.T)
    some = channels[:, :: max(1, len(seen) // _SOME)]
    commonest = _commonest(some)
    for _ in range(3):
        commonest = _medians(_counts_near(some, commonest, NEAR))
    counts = _counts_near(channels, commonest, NEAR)
    share = float(counts[0].sum() / len(seen))
    if share < LEAST_SHARE:
        return None
    off = np.arange(256) - commonest[:, None]
    spread = float(np.sqrt((counts * off**2).sum() / counts.sum()))
    # the mean of what is very near it is finer than whole steps
    near = _counts_near(channels, commonest, NEAR / 4.0)
    red, green, blue = (float(value) for value in near @ np.arange(256.0) / near[0].sum())
    return Ground((red, green, blue), spread, share)


def _commonest(channels: Pixels) -> Floats:
    """Return the mean colour of the cell of colours, 8 values wide, that most pixels lie about.

    Args:
        channels: (3, count).
    """
    from scipy.ndimage import uniform_filter

    red, green, blue = (channel >> 3 for channel in channels)
    codes = red.astype(np.uint16) << 10 | green.astype(np.uint16) << 5 | blue
    counts = np.bincount(codes, minlength=32**3).reshape(32, 32, 32).astype(np.float64)
    # counted with the cells beside it, so that no colour is halved by a border
    cell = int(np.argmax(uniform_filter(counts, 3, mode="constant")))
    mine = codes == cell
    if mine.any():
        mean: Floats = channels[:, mine].mean(axis=1)
        return mean
    return np.array([cell >> 10, cell >> 5 & 31, cell & 31]) * 8.0 + 4.0


def _counts_near(channels: Pixels, colour: Floats, reach: float) -> Indices:
    """Return how often each value stands in pixels at most so far off a colour, (3, 256).

    Args:
        channels: (3, count).
        colour: 0 to 255.
        reach: in the channel that is farthest off.
    """
    inside = np.ones(channels.shape[1], dtype=bool)
    for channel, middle in zip(channels, colour, strict=True):
        inside &= channel >= max(0, math.ceil(middle - reach))
        inside &= channel <= min(255, math.floor(middle + reach))
    return np.stack([np.bincount(channel[inside], minlength=256) for channel in channels])


def _medians(counts: Indices) -> Floats:
    """Return the median of each row of counted values."""
    up_to = np.cumsum(counts, axis=1)
    total = int(up_to[0, -1])
    middles = ((total - 1) // 2, total // 2)
    found = [[int(np.searchsorted(row, one, side="right")) for one in middles] for row in up_to]
    medians: Floats = np.mean(found, axis=1)
    return medians
