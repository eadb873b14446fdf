"""What lies between the pixels of a tile that repeats without end?

In: a tile and where the printer's pixels, smaller than the tile's, fall on its two axes. Out: the
printer's pixels as linear light.

Cubic convolution (Keys, "Cubic convolution interpolation for digital image processing", IEEE Trans.
ASSP 29(6), 1981, a = -1/2), along one axis after the other, each value held between the two it lies
between: nothing gets lighter or darker than it was drawn, so sharp edges have no halos. The price
is that a crest between two pixels is cut flat. Not done here: making smaller
(``patterns.resample``).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from patterns.light import Light, Pixels, to_light
from patterns.resample import Axis, Indices, sparse


def enlarge(tile: Pixels, first: Axis, second: Axis, shift: float = 0.0) -> Light:
    """Return a periodic picture's linear light on a finer grid.

    Args:
        tile: (first.cells, second.cells, 3) sRGB uint8.
        first: the axis along which tiles of odd number are moved; its pitch is 1 or less.
        second: the axis along which they are moved, likewise.
        shift: by how many cells.

    Returns:
        (first.count, second.count, 3), never lighter or darker than the tile.
    """
    axes = [second, second.moved(shift)] if shift else [second]
    index, weight = _cubic(first)
    rows, position = np.unique(index % (first.cells * len(axes)), return_inverse=True)
    lines = np.empty((len(rows), second.count, 3), dtype=np.float32)
    for parity, axis in enumerate(axes):
        chosen = rows // first.cells == parity
        lines[chosen] = _along_columns(tile.take(rows[chosen] % first.cells, axis=0), axis)
    return _between(lines, position.reshape(index.shape), weight)


def _along_columns(part: Pixels, axis: Axis) -> Light:
    """Return (rows, axis.count, 3) of (rows, axis.cells, 3)."""
    index, weight = _cubic(axis)
    columns, position = np.unique(index % axis.cells, return_inverse=True)
    turned = np.ascontiguousarray(to_light(part.take(columns, axis=1)).transpose(1, 0, 2))
    return _between(turned, position.reshape(index.shape), weight).transpose(1, 0, 2)


def _between(lines: Light, position: Indices, weight: Light) -> Light:
    """Return for each row of positions the mean of its four lines, held within the middle two."""
    flat = lines.reshape(len(lines), -1)
    out: Light = sparse(position, weight, len(lines)) @ flat
    before, after = flat[position[:, 1]], flat[position[:, 2]]
    np.clip(out, np.minimum(before, after), np.maximum(before, after), out=out)
    return out.reshape(len(position), *lines.shape[1:])


@lru_cache(maxsize=256)
def _cubic(axis: Axis) -> tuple[Indices, Light]:
    """Return the four nearest cells (not wrapped) and Keys' weights, both (count, 4)."""
    centre = axis.start + (np.arange(axis.count) + 0.5) * axis.pitch - 0.5
    first = np.floor(centre)
    t = (centre - first)[:, None]
    weight = np.hstack(
        [
            ((-0.5 * t + 1.0) * t - 0.5) * t,
            (1.5 * t - 2.5) * t * t + 1.0,
            ((-1.5 * t + 2.0) * t + 0.5) * t,
            (0.5 * t - 0.5) * t * t,
        ]
    ).astype(np.float32)
    index = (first[:, None] + np.arange(-1, 3)).astype(np.intp)
    index.setflags(write=False)
    weight.setflags(write=False)
    return index, weight
