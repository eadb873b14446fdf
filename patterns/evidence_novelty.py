"""Is what lies astride the join seen anywhere else in the tile?

A motif cut off leaves a shape that the artist drew nowhere: half a leaf with a straight side. In: the
lines of a whole tile. Out: for the join and for some interior cuts, how far their most striking
patches are from the nearest patch elsewhere inside the tile, mirrored and turned too, as a root
mean square in CIE76. A patch is told by 4 x 4 box means, so a shift of a pixel costs little.

Nearest-neighbour patches as a model of a picture's own look follow Efros and Leung, "Texture
synthesis by non-parametric sampling", ICCV 1999. Of little use on grain, where every patch is new.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patterns.evidence_steps import size, windowed

Array = NDArray[np.float32]
Rows = NDArray[np.intp]

GRID = 4
PATCHES = 6  # striking places looked at on each cut
CUTS = 8  # interior cuts compared with
KNOWN = 24_000  # patches of the tile to compare with, at most
DIRECTIONS = 20
_SEED = 20_240


@dataclass(frozen=True, slots=True)
class _Boxes:
    """Box means of a picture, and how to read a patch's descriptor from them."""

    means: Array
    box: int

    @property
    def side(self) -> int:
        return GRID * self.box

    def at(self, rows: Rows, columns: Rows) -> Array:
        """Return descriptors (n, GRID, GRID, 3) of the patches whose first corners are given."""
        steps = np.arange(GRID) * self.box
        r = rows[:, None, None] + steps[None, :, None]
        c = columns[:, None, None] + steps[None, None, :]
        found: Array = self.means[r, c]
        return found


def _boxes(lines: Array, box: int) -> _Boxes:
    means = lines
    for axis in (0, 1):
        moved = np.moveaxis(means, axis, -1)
        means = np.moveaxis(windowed(moved, box), -1, axis)
    return _Boxes(np.ascontiguousarray(means), box)


def _striking(lines: Array, row: int, side: int) -> Rows:
    """Return the first columns of the patches astride a cut that hold the greatest steps."""
    step = size(lines[row] - lines[row - 1])
    loud = windowed(step, side)
    columns = []
    for _ in range(min(PATCHES, 1 + 2 * len(loud) // side)):
        best = int(np.argmax(loud))
        columns.append(best)
        loud[max(0, best - side // 2) : best + side // 2] = -1.0
    return np.array(columns)


def _orientations(patches: Array) -> Array:
    """Return each patch as it is, mirrored both ways and turned by half, (4 * n, GRID * GRID * 3)."""
    views = (patches, patches[:, ::-1], patches[:, :, ::-1], patches[:, ::-1, ::-1])
    return np.concatenate([v.reshape(len(patches), -1) for v in views])


def _known(boxes: _Boxes, first: int, last: int) -> tuple[Array, Rows, Rows]:
    """Return the tile's own patches that hold any contrast, with their first corners."""
    rows, columns = np.arange(first, last), np.arange(boxes.means.shape[1] - 3 * boxes.box)
    a = boxes.means[first:last, : len(columns)]
    b = boxes.means[first + 3 * boxes.box : last + 3 * boxes.box, 3 * boxes.box :]
    c = boxes.means[first:last, 3 * boxes.box :]
    busy = np.maximum(np.abs(a - b), np.abs(a - c)).max(axis=-1) > 2.0
    r, q = np.nonzero(busy)
    if len(r) > KNOWN:
        pick = np.random.default_rng(_SEED).choice(len(r), KNOWN, replace=False)
        r, q = r[pick], q[pick]
    # flat patches are all alike: a coarse grid of them is enough
    flat_r, flat_q = np.nonzero(~busy[::8, ::8])
    r = np.concatenate([r, flat_r * 8])
    q = np.concatenate([q, flat_q * 8])
    at_rows, at_columns = rows[r], columns[q]
    return boxes.at(at_rows, at_columns).reshape(len(r), -1), at_rows, at_columns


def novelty(lines: Array, join: int, interior: Rows, side: int, box: int) -> Array:
    """Return the worst patch's distance to the nearest one elsewhere, join first.

    ``lines`` holds ``side`` of the neighbour's lines before and after the tile's own; patches are
    ``GRID * box`` lines square. Shape (1 + cuts, 2): the worst and the mean of its striking patches.
    """
    boxes = _boxes(lines, box)
    half = boxes.side // 2
    last = join - boxes.side + 1
    if last - side < boxes.side or boxes.means.shape[1] <= 3 * box + 1:
        return np.zeros((1, 2), dtype=np.float32)
    known, known_rows, known_columns = _known(boxes, side, last)
    cuts = [join, *_cuts(lines, interior).tolist()]
    places = [_striking(lines, row, boxes.side) for row in cuts]
    rows = np.repeat(np.array(cuts) - half, [len(p) for p in places])
    columns = np.concatenate(places)
    squared = _squared_distances(_orientations(boxes.at(rows, columns)), known)
    squared = squared.reshape(4, len(rows), -1).min(axis=0)
    near = (np.abs(known_rows[None] - rows[:, None]) < boxes.side) & (
        np.abs(known_columns[None] - columns[:, None]) < boxes.side
    )
    squared[near] = np.inf
    nearest = np.sqrt(np.maximum(squared.min(axis=1), 0.0) / GRID**2)
    by_cut = np.split(nearest, np.cumsum([len(p) for p in places])[:-1])
    return np.array([(n.max(), n.mean()) for n in by_cut], dtype=np.float32)


def _squared_distances(query: Array, known: Array) -> Array:
    """Return (queries, known) squared distances in the few directions that hold the variance."""
    middle = known.mean(axis=0)
    known, query = known - middle, query - middle
    _, vectors = np.linalg.eigh((known[::4].T @ known[::4]).astype(np.float64))
    basis = vectors[:, -DIRECTIONS:].astype(np.float32)
    k, q = known @ basis, query @ basis
    squared: Array = q @ (k.T * np.float32(-2.0))
    squared += np.einsum("ij,ij->i", k, k)
    # what the directions leave out of a query is novel by itself
    squared += np.einsum("ij,ij->i", query, query)[:, None]
    return squared


def _cuts(lines: Array, interior: Rows) -> Rows:
    """Return half the cuts where the tile steps most, half evenly spread."""
    if len(interior) <= CUTS:
        return interior
    step = size(lines[interior] - lines[interior - 1]).mean(axis=1)
    strongest = np.sort(np.argsort(step, kind="stable")[-CUTS // 2 :])
    spread = np.linspace(0, len(interior) - 1, CUTS // 2).astype(int)
    return interior[np.unique(np.concatenate([strongest, spread]))]
