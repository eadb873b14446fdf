"""A tile on a coarse grid that repeats without end: what offsets are reckoned on.

In: one tile as an array, its size on paper in millimetres, its lattice. Out: a ``Field``: one whole
period of the plane, straight even where the lattice is not (a half-drop or half-brick plane
repeats straight every two tiles), about ``CELLS_PER_MM`` cells a millimetre, their number along
each side even and quick to transform.

Not done here: pixels to print (``patterns.plane.periodic``); a quarter of a millimetre is fine
enough to choose a window by, not to print it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Floats, Pixels
from patterns.plane import STRAIGHT, Lattice

CELLS_PER_MM = 4.0
MOST_CELLS = 512  # a side of a tile; larger tiles get larger cells


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """One period of a plane.

    Attributes:
        values: (rows, cols) or (rows, cols, channels) float64, read-only; cell (0, 0) is the
            tile's top left corner.
        pitch_mm: a cell's width and height.
    """

    values: Floats
    pitch_mm: tuple[float, float]


def periodic_field(
    tile: NDArray[np.floating] | Pixels,
    width_mm: float,
    height_mm: float,
    lattice: Lattice = STRAIGHT,
) -> Field:
    """Return the field of a tile: a motif mask (0 to 1), or its colours in channels.

    Args:
        tile: (height, width) or (height, width, channels).
        width_mm: the tile's width on paper.
        height_mm: its height on paper.
        lattice: how tiles sit beside each other.
    """
    rows, cols = _cells(height_mm), _cells(width_mm)
    values = _average(_average(np.asarray(tile, dtype=np.float64), rows, 0), cols, 1)
    if lattice.drop:  # the next tile to the right sits lower
        values = np.concatenate([values, np.roll(values, round(lattice.drop * rows), 0)], axis=1)
    if lattice.slide:  # the next tile below sits further right
        values = np.concatenate([values, np.roll(values, round(lattice.slide * cols), 1)], axis=0)
    values.setflags(write=False)
    return Field(values, (width_mm / cols, height_mm / rows))


def _cells(side_mm: float) -> int:
    """Return an even number of cells with no prime factor over 5, at least as many as wished."""
    from scipy.fft import next_fast_len

    count = max(4, min(math.ceil(side_mm * CELLS_PER_MM), MOST_CELLS))
    return 2 * int(next_fast_len(math.ceil(count / 2), real=True))


def _average(values: Floats, cells: int, axis: int) -> Floats:
    """Return the mean of the values over each of ``cells`` equal stretches of one axis, exactly."""
    size = values.shape[axis]
    total = np.concatenate(
        [np.zeros_like(values.take([0], axis)), np.cumsum(values, axis=axis)], axis=axis
    )
    at = np.arange(cells + 1) * (size / cells)
    low = np.minimum(at.astype(np.intp), size - 1)
    rest = (at - low).reshape([-1 if i == axis else 1 for i in range(values.ndim)])
    summed = total.take(low, axis) + rest * values.take(low, axis)
    means: Floats = np.diff(summed, axis=axis) * (cells / size)
    return means


def fold_over(band: Floats, rows: int, cols: int) -> Floats:
    """Return the band laid over one period, what sticks out coming in on the other side."""
    down, across = -(-band.shape[0] // rows), -(-band.shape[1] // cols)
    padded = np.zeros((down * rows, across * cols))
    padded[: band.shape[0], : band.shape[1]] = band
    folded: Floats = padded.reshape(down, rows, across, cols).sum(axis=(0, 2))
    return folded


def correlate(band: Floats, mask: Floats) -> Floats:
    """Return for every offset o the sum over p of band[p] · mask[o + p], wrapping round."""
    product = np.conj(np.fft.rfft2(band)) * np.fft.rfft2(mask)
    summed: Floats = np.fft.irfft2(product, s=(mask.shape[0], mask.shape[1]))
    return summed
