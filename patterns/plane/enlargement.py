"""What lies between the pixels of a tile that repeats without end?

In: a tile and where the printer's pixels, smaller than the tile's, fall on its two axes. Out: the
printer's pixels as linear light.

Cubic convolution (Keys, "Cubic convolution interpolation for digital image processing", IEEE Trans.
ASSP 29(6), 1981, a = -1/2), each value held between the lightest and the darkest of the four pixels
that it lies between: nothing gets lighter or darker than it was drawn, so sharp edges have no
halos, and it is the same whichever axis comes first. The price is that a crest between two pixels
is cut flat. Not done here: making smaller (``patterns.plane.resample``).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from palette.arrays import Floats, Floats32, Indices, Pixels
from patterns.plane.linear_light import to_light
from patterns.plane.resample import BAND, Axis, sparse


def enlarge(tile: Pixels, first: Axis, second: Axis, shift: float = 0.0) -> Floats32:
    """Return a periodic picture's linear light on a finer grid.

    Args:
        tile: (first.cells, second.cells, 3) sRGB uint8.
        first: the axis along which tiles of odd number are moved; its pitch is 1 or less.
        second: the axis along which they are moved, likewise.
        shift: by how many cells.

    Returns:
        (first.count, second.count, 3), never lighter or darker than the tile.
    """
    axes = [second, second.shift(shift)] if shift else [second]
    index, weight = _cubic(first)
    rows, position = np.unique(index % (first.cells * len(axes)), return_inverse=True)
    shape = len(rows), second.count, 3
    lines, low, high = (np.empty(shape, dtype=np.float32) for _ in range(3))
    for parity, axis in enumerate(axes):
        chosen = rows // first.cells == parity
        part = tile.take(rows[chosen] % first.cells, axis=0)
        lines[chosen], low[chosen], high[chosen] = _along_columns(part, axis)
    before, after = (position.reshape(index.shape)[:, place] for place in (1, 2))
    out: Floats32 = sparse(position.reshape(index.shape), weight, len(rows)) @ lines.reshape(
        len(rows), -1
    )
    out = out.reshape(first.count, second.count, 3)
    step = max(1, BAND // (3 * second.count))
    for start in range(0, first.count, step):  # some lines at a time: a bound on memory
        part = slice(start, start + step)
        least = np.minimum(low[before[part]], low[after[part]])
        most = np.maximum(high[before[part]], high[after[part]])
        np.clip(out[part], least, most, out=out[part])
    return out


def _along_columns(part: Pixels, axis: Axis) -> tuple[Floats32, Floats32, Floats32]:
    """Return three times (rows, axis.count, 3): between columns, and the lesser and greater one."""
    index, weight = _cubic(axis)
    columns, position = np.unique(index % axis.cells, return_inverse=True)
    place = position.reshape(index.shape)
    columns_first = to_light(part.take(columns, axis=1).transpose(1, 0, 2))
    flat = np.ascontiguousarray(columns_first).reshape(len(columns), -1)
    between: Floats32 = sparse(place, weight, len(columns)) @ flat
    before, after = flat[place[:, 1]], flat[place[:, 2]]
    parts = between, np.minimum(before, after), np.maximum(before, after)
    shape = axis.count, len(part), 3
    between, low, high = (each.reshape(shape).transpose(1, 0, 2) for each in parts)
    return between, low, high


def cubic_weights(t: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Return Keys' weights of four pixels in a row, so far, 0 to 1, past the middle of the second.

    Each has the shape of ``t``.
    """
    return (
        ((-0.5 * t + 1.0) * t - 0.5) * t,
        (1.5 * t - 2.5) * t * t + 1.0,
        ((-1.5 * t + 2.0) * t + 0.5) * t,
        (0.5 * t - 0.5) * t * t,
    )


@lru_cache(maxsize=256)
def _cubic(axis: Axis) -> tuple[Indices, Floats32]:
    """Return the four nearest cells (not wrapped) and Keys' weights, both (count, 4)."""
    centre = axis.start + (np.arange(axis.count) + 0.5) * axis.pitch - 0.5
    first = np.floor(centre)
    t = (centre - first)[:, None]
    weight = np.hstack(cubic_weights(t)).astype(np.float32)
    index = (first[:, None] + np.arange(-1, 3)).astype(np.intp)
    index.setflags(write=False)
    weight.setflags(write=False)
    return index, weight
