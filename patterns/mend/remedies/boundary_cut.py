"""Along which path do two layers of one place differ least?

In: pairs of layers as CIELAB, (height, overlap, 3), that go round at top and bottom. Out: for each
pair the cheapest closed curve that crosses every row once. Cost: squared CIELAB difference of the
two layers at both pixels it parts, horizontal stretches included (minimum error boundary cut, Efros
and Freeman, "Image quilting for texture synthesis and transfer", SIGGRAPH 2001; the cost of Kwatra
and others, "Graphcut textures", SIGGRAPH 2003; solved by dynamic programming). Not done here: how
far the layers overlap.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32, Indices
from patterns.lab32 import de76

CLEAR_PX = 3  # a path keeps half of this away from what differs


@dataclass(frozen=True, slots=True)
class Cut:
    """A path between two layers.

    Attributes:
        column: (height,) first column of the overlap that shows the left end, for each row.
        worst_de: worst mean CIE76 of the layers over some pixels of the path.
    """

    column: Indices
    worst_de: float


def find_cuts(layers: Sequence[tuple[Floats32, Floats32]], run: int) -> list[Cut]:
    """Return the cheapest closed path of each pair of layers of one place.

    Args:
        layers: pairs of one height, (height, overlap, 3) CIELAB: shown before the path, and from it
            on. All are taken as one array, for speed.
        run: length in pixels over which a difference counts.
    """
    if not layers:
        return []
    most = max(right.shape[1] for right, _ in layers)
    each = [_costs(right, left, most) for right, left in layers]
    across, along = (np.stack(costs, axis=1) for costs in zip(*each, strict=True))
    start, every = len(across) // 2, np.arange(len(layers))
    first = _paths(across, along, None)[start]
    from_middle = _paths(np.roll(across, -start, axis=0), np.roll(along, -start, axis=0), first)
    columns = np.roll(from_middle, start, axis=0)
    return [
        Cut(columns[:, i], _worst_run(columns[:, i], across[:, i], along[:, i], run)) for i in every
    ]


def _costs(right: Floats32, left: Floats32, most: int) -> tuple[Floats, Floats]:
    """Return what crossing a row costs at each column, and going along it up to there.

    Both (height, most + 1); columns beyond the overlap can never be crossed.
    """
    from scipy.ndimage import maximum_filter

    differs = de76(right, left).astype(np.float64)
    # a path beside a contour would leave slivers of it: keep a pixel away where there is room
    differs = maximum_filter(differs, size=CLEAR_PX, mode=("wrap", "nearest"))
    padded = np.pad(differs, ((0, 0), (1, 1)), mode="edge")
    across = ((padded[:, :-1] + padded[:, 1:]) / 2.0) ** 2
    between = ((differs + np.roll(differs, -1, axis=0)) / 2.0) ** 2
    along = np.pad(np.cumsum(between, axis=1), ((0, 0), (1, 0)))
    beyond = ((0, 0), (0, most + 1 - across.shape[1]))
    return np.pad(across, beyond, constant_values=np.inf), np.pad(along, beyond, mode="edge")


def _paths(across: Floats, along: Floats, first: Indices | None) -> Indices:
    """Return (rows, paths): the cheapest columns; with ``first``, of paths that close there.

    Args:
        across: (rows, paths, columns).
        along: likewise.
        first: (paths,) the column of the first row.
    """
    rows, paths, columns = across.shape
    every = np.arange(paths)
    cost = across[0].copy()
    if first is not None:
        cost[:] = np.inf
        cost[every, first] = across[0, every, first]
    came = np.empty((rows, paths, columns), dtype=np.int32)
    for row in range(1, rows):
        step, came[row] = _cheapest_step(cost, along[row - 1])
        cost = step + across[row]
    if first is not None:
        cost = cost + np.abs(along[-1] - along[-1, every, first][:, None])
    columns_by_row = np.empty((rows, paths), dtype=np.intp)
    columns_by_row[-1] = np.argmin(cost, axis=1)
    for row in range(rows - 1, 0, -1):
        columns_by_row[row - 1] = came[row, every, columns_by_row[row]]
    return columns_by_row


def _cheapest_step(cost: Floats, along: Floats) -> tuple[Floats, Indices]:
    """Return for each column the least cost of coming to it from any, and from which.

    Going from column i to j costs |along[j] - along[i]|, so two sweeps find the least for all.
    """
    here = np.arange(cost.shape[1])
    forward, backward = cost - along, (cost + along)[:, ::-1]
    least_f = np.minimum.accumulate(forward, axis=1)
    least_b = np.minimum.accumulate(backward, axis=1)
    from_f = np.maximum.accumulate(np.where(forward == least_f, here, 0), axis=1)
    from_b = np.maximum.accumulate(np.where(backward == least_b, here, 0), axis=1)
    by_f, by_b = least_f + along, least_b[:, ::-1] - along
    source = np.where(by_f <= by_b, from_f, len(here) - 1 - from_b[:, ::-1])
    return np.minimum(by_f, by_b), source


def _worst_run(column: Indices, across: Floats, along: Floats, run: int) -> float:
    """Return the worst mean difference over ``run`` pixels that follow each other on the path."""
    rows, then = np.arange(len(column)), np.roll(column, -1)
    low, many = np.minimum(column, then), np.abs(column - then)
    before = np.cumsum(many) - many  # steps along rows above, each of one pixel
    met = np.empty(len(column) + int(many.sum()))
    crossing = rows + before
    met[crossing] = across[rows, column]
    row = np.repeat(rows, many)
    step = np.arange(len(row)) - before[row]
    met[crossing[row] + 1 + step] = along[row, low[row] + step + 1] - along[row, low[row] + step]
    differences = np.sqrt(np.maximum(met, 0.0))
    run = min(run, len(differences))
    wrapped = np.concatenate([differences, differences[: run - 1]])
    return float(np.convolve(wrapped, np.ones(run) / run, "valid").max())
