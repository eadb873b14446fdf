"""What lies at this exact place of a tile that repeats without end?

In: a tile and, for each of its two axes, where the printer's pixels fall on it (first edge and
pitch in tile pixels, neither of them whole). Out: the printer's pixels.

Each printer pixel is the mean over exactly its own area, taken from both edges of the tile where
it lies across a join. Weights are never negative, so there are no halos.

Colours are mixed as linear light (see ``patterns.plane.linear_light``). Weights are separable and
periodic: there is no tiled copy, and no place where a rounding could add up. A staggered lattice
stays separable too: tiles of odd number along the first axis use second-axis weights of their own.
Not done here: printer pixels smaller than the tile's (``patterns.plane.enlargement``), millimetres
and turning (``patterns.plane.periodic``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from palette.arrays import Floats32, Indices, Pixels
from patterns.plane.linear_light import to_light

BAND = 2**17  # light values worked on at a time; a few of them fit the second-level cache


@dataclass(frozen=True, slots=True)
class Axis:
    """Where output pixels fall along one axis of a periodic picture.

    Attributes:
        cells: period in picture pixels.
        start: first edge of the first output pixel, in picture pixels.
        pitch: picture pixels to one output pixel.
        count: output pixels.
    """

    cells: int
    start: float
    pitch: float
    count: int

    def shift(self, cells: float) -> Axis:
        """Return the axis as a picture moved that far towards higher coordinates meets it."""
        return replace(self, start=self.start - cells)

    def coarser(self, cells: int) -> Axis:
        """Return the same places on the same picture cut into fewer, larger pixels."""
        scale = cells / self.cells
        return replace(self, cells=cells, start=self.start * scale, pitch=self.pitch * scale)


@lru_cache(maxsize=256)
def _area(axis: Axis) -> tuple[Indices, Floats32]:
    """Return the cells (not wrapped) that each output pixel covers, and the share of each in it.

    Both have shape (count, taps), read-only; each row of shares sums to 1.
    """
    edges = (axis.start + np.arange(axis.count, dtype=np.float64) * axis.pitch)[:, None]
    cell = np.floor(edges) + np.arange(math.ceil(axis.pitch) + 1)
    covered = np.minimum(edges + axis.pitch, cell + 1.0) - np.maximum(edges, cell)
    share = np.maximum(covered, 0.0)
    weight = (share / share.sum(axis=1, keepdims=True)).astype(np.float32)
    index = cell.astype(np.intp)
    index.setflags(write=False)
    weight.setflags(write=False)
    return index, weight


def resample(tile: Pixels | Floats32, first: Axis, second: Axis, shift: float = 0.0) -> Floats32:
    """Return a periodic picture's linear light on another grid.

    Works in bands that fit the processor's cache; no whole copy of the tile as light is made.

    Args:
        tile: (first.cells, second.cells, 3), sRGB uint8 or linear light.
        first: the axis along which tiles of odd number are moved.
        second: the axis along which they are moved.
        shift: by how many cells.

    Returns:
        (first.count, second.count, 3).
    """
    index, weight = _area(first)
    out = np.zeros((first.count, second.count, 3), dtype=np.float32)
    if not shift:
        _add_lines(out, tile, np.arange(first.count), weight, (first, second))
        return out
    odd = (index // first.cells) % 2 == 1
    for axis, here in ((second, ~odd), (second.shift(shift), odd)):
        share = np.where(here, weight, np.float32(0.0))
        lines = np.flatnonzero(share.any(axis=1))
        _add_lines(out, tile, lines, share, (first, axis))
    return out


def _add_lines(
    out: Floats32,
    tile: Pixels | Floats32,
    lines: Indices,
    weight: Floats32,
    axes: tuple[Axis, Axis],
) -> None:
    """Add to some lines of ``out`` what these weights of their first axis' taps contribute."""
    first, second = axes
    index, _ = _area(first)
    columns = _window(second)
    across = _across(second)
    step = max(4, int(BAND / (len(columns) * 3 * max(1.0, second.pitch))))
    for start in range(0, len(lines), step):
        band = lines[start : start + step]
        rows, position = np.unique(index[band] % first.cells, return_inverse=True)
        part = _light_part(tile, rows, columns)
        down = sparse(position.reshape(index[band].shape), weight[band], len(rows))
        drawn = (down @ part).reshape(-1, len(columns), 3).transpose(1, 0, 2)
        both = across @ drawn.reshape(len(columns), -1)
        out[band] += both.reshape(second.count, -1, 3).transpose(1, 0, 2)


@lru_cache(maxsize=256)
def _window(axis: Axis) -> Indices:
    """Return the wrapped cells that an axis draws on, in order: a part of the period, or all."""
    index, _ = _area(axis)
    low, high = int(index[0, 0]), int(index[-1, -1]) + 1
    cells = np.arange(low, min(high, low + axis.cells)) % axis.cells
    cells = np.sort(cells) if high - low >= axis.cells else cells
    cells.setflags(write=False)
    return cells


def _light_part(tile: Pixels | Floats32, rows: Indices, columns: Indices) -> Floats32:
    """Return (rows, columns * 3) linear light of the cells named."""
    part = tile.take(rows, axis=0)
    if len(columns) < tile.shape[1]:
        part = part.take(columns, axis=1)
    light = to_light(part) if part.dtype == np.uint8 else part.astype(np.float32, copy=False)
    return light.reshape(len(rows), -1)


@lru_cache(maxsize=256)
def _across(axis: Axis) -> Any:
    """Return the sparse (count, cells in the window) weights of a whole axis."""
    index, weight = _area(axis)
    cells = _window(axis)
    return sparse((index - cells[0]) % axis.cells, weight, len(cells))


def sparse(position: Indices, weight: Floats32, size: int) -> Any:
    """Return the (rows of positions, size) matrix with these weights at these columns."""
    from scipy.sparse import csr_array

    # the width that scipy would convert them to, after looking at every one
    pointer = np.arange(0, position.size + 1, position.shape[1], dtype=np.int32)
    column = position.ravel().astype(np.int32)
    return csr_array((weight.ravel(), column, pointer), shape=(len(position), size))
