"""Where can this tile be let into itself so that nobody sees it?

In: a tile, (height, width, 3) sRGB uint8. Out: a narrower tile. Its right end is laid over its
left end, and the two are parted along the path on which they differ least, so that a motif is
shown whole or not at all, never as a ghost. How far they overlap is searched for: by no more than
is needed to hide the join.

The path is the cheapest closed curve that crosses every row once, cost: squared CIELAB difference
of the two layers at both pixels it parts, horizontal stretches included (minimum error boundary
cut, Efros and Freeman, "Image quilting for texture synthesis and transfer", SIGGRAPH 2001; the
cost of Kwatra and others, "Graphcut textures", SIGGRAPH 2003; solved exactly for such curves by
dynamic programming). A small step in tone that is left along the path is levelled to both sides.
Not done here: rows (turn the tile), lattices staggered across the join's direction.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patterns.joins import lab32
from patterns.light import Pixels
from patterns.mend_mix import mixed
from patterns.mend_small import reduced

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]
Array = NDArray[np.float32]

COARSE_PX = 176  # longer side of the tile while all overlaps are tried
LEAST_OVERLAP = 2
MOST_SHARE = 0.46
LOSS_DE = 6.0  # what the loss of the whole width would count for, in CIE76
RUN_PX = 9  # a difference shows when it goes on for about so many pixels
HIDDEN_DE = 3.0
TRIED = 4  # of those tried on the small copy, and as far apart as APART of the width
APART = 0.02
LEAST_SOFT_PX = 12
MOST_SOFT_PX = 6_000_000  # of an overlap that is mixed: a bound on memory
LEAST_LIKENESS = 0.6
MOST_RHYTHM = 0.7  # of the width: the rhythm has to be seen more than once
AT_ONCE = 24  # overlaps of the small copy
MOST_PX = 700_000  # of an overlap in which the path is found in full size
CLEAR_PX = 3  # a path keeps half of this away from what differs


@dataclass(frozen=True, slots=True)
class Cut:
    """A path between two layers.

    Attributes:
        column: (height,) first column of the overlap that shows the left end, for each row.
        worst_de: worst mean CIE76 of the layers over ``RUN_PX`` pixels of the path.
    """

    column: Indices
    worst_de: float


def let_in(
    pixels: Pixels, drop_px: int = 0, way: tuple[int, Cut] | None = None, *, soft: bool = False
) -> tuple[Pixels, int, float] | None:
    """Return (tile, overlap in pixels, ``join_de`` of the path), or None if it is too narrow.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
        way: what ``least_visible`` found, if it is known.
        soft: whether to mix both sides about the path, the more widely the coarser the detail:
            right for a watercolour, a ghost in anything with an outline.
    """
    way = way or next(iter(least_visible(pixels, drop_px)), None)
    if way is None or (soft and not LEAST_SOFT_PX <= way[0] <= MOST_SOFT_PX / len(pixels)):
        return None
    overlap, cut = way
    narrower = (mixed if soft else _laid)(pixels, overlap, drop_px, cut.column)
    return narrower, overlap, _path_de(narrower, overlap, cut.column)


def least_visible(pixels: Pixels, drop_px: int = 0) -> list[tuple[int, Cut]]:
    """Return (overlap in pixels, path) of some ways, best first: what shows, and what it costs.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    height, width = pixels.shape[:2]
    if width < 24 or height < 8:
        return []
    ways = []
    for group in _candidates(pixels, drop_px):
        found = [
            (cut.worst_de + LOSS_DE * overlap / width, overlap, cut)
            for overlap, cut in zip(group, _cuts(pixels, group, drop_px), strict=True)
        ]
        if found:
            ways.append(min(found, key=lambda each: each[:2])[1:])
    return ways


def _cuts(pixels: Pixels, overlaps: list[int], drop_px: int) -> list[Cut]:
    """Return the path of each overlap; where that is many pixels, found on a reduced copy."""
    every = int(np.ceil(np.sqrt(len(pixels) * max(overlaps, default=0) / MOST_PX)))
    if every <= 1:
        layers = []
        for overlap in overlaps:
            left = np.roll(pixels[:, :overlap], drop_px, axis=0)
            layers.append((lab32(pixels[:, -overlap:]), lab32(left)))
        return least_cost_cuts(layers, RUN_PX)
    cuts = []
    rows = np.arange(len(pixels)) // every
    for overlap in overlaps:
        right, left = pixels[::every, -overlap::every], pixels[:, :overlap:every]
        left = np.roll(left, drop_px, axis=0)[::every]
        cut = least_cost_cut(lab32(right), lab32(left), max(2, RUN_PX // every))
        cuts.append(Cut(np.minimum(cut.column[rows] * every, overlap), cut.worst_de))
    return cuts


def join_de(pixels: Pixels, drop_px: int = 0) -> float:
    """Return the worst mean CIE76 over a short run of the join, beyond its neighbours' own."""
    lowered = np.roll(pixels[:, :2], drop_px, axis=0)
    return _excess_de(np.concatenate([pixels[:, -2:], lowered], axis=1))


def _excess_de(four: Pixels) -> float:
    """Return the worst run of what the middle two of four columns differ by, over the outer two.

    Texture and contours that lie along the line differ inside as well; that much is not held
    against it.
    """
    lab = lab32(four)
    steps = np.sqrt(np.square(np.diff(lab, axis=1)).sum(axis=2))
    excess = np.maximum(steps[:, 1] - np.maximum(steps[:, 0], steps[:, 2]), 0.0)
    run = min(RUN_PX, len(excess))
    wrapped = np.concatenate([excess, excess[: run - 1]])
    return float(np.convolve(wrapped, np.ones(run) / run, "valid").max())


def _path_de(narrower: Pixels, overlap: int, column: Indices) -> float:
    """Return the same of the path inside a tile that was let into itself."""
    width = narrower.shape[1]
    place = (width - overlap + column)[:, None] + np.arange(-2, 2)
    return _excess_de(narrower[np.arange(len(column))[:, None], place % width])


def _layers(lab: Array, overlap: int, drop_px: int) -> tuple[Array, Array]:
    return lab[:, -overlap:], np.roll(lab[:, :overlap], drop_px, axis=0)


def _candidates(pixels: Pixels, drop_px: int) -> list[list[int]]:
    """Return overlaps worth trying in full size, in groups, by trying all on a small copy.

    The first group keeps the rhythm, where the tile has one.
    """
    height, width = pixels.shape[:2]
    factor = max(1.0, max(height, width) / COARSE_PX)
    size = max(8, round(width / factor)), max(4, round(height / factor))
    lab, drop = lab32(reduced(pixels, size) if factor > 1.0 else pixels), round(drop_px / factor)
    run = max(2, round(RUN_PX / factor))
    scores = {}
    overlaps = range(LEAST_OVERLAP, max(3, int(MOST_SHARE * size[0])) + 1)
    for some in (overlaps[start : start + AT_ONCE] for start in range(0, len(overlaps), AT_ONCE)):
        cuts = least_cost_cuts([_layers(lab, overlap, drop) for overlap in some], run)
        for overlap, cut in zip(some, cuts, strict=True):
            scores[overlap] = cut.worst_de + LOSS_DE * overlap / size[0]
    rhythm = None if drop_px else rhythm_px(lab)
    chosen = []
    if rhythm is not None and size[0] % rhythm in scores:
        chosen.append(size[0] % rhythm)
    for overlap in sorted(scores, key=lambda each: (scores[each], each)):
        if len(chosen) < TRIED and all(abs(overlap - c) > APART * size[0] for c in chosen):
            chosen.append(overlap)
    # the small copy knows the overlap to about a pixel of its own
    reach = sorted(np.linspace(-1.0, 1.0, 7), key=abs) if factor > 1.0 else [0.0]
    groups = []
    for place, overlap in enumerate(chosen):
        fine = dict.fromkeys(round((overlap + shift) * width / size[0]) for shift in reach)
        group = [o for o in fine if LEAST_OVERLAP <= o <= MOST_SHARE * width]
        in_rhythm = place == 0 and rhythm is not None and group
        groups.append([_most_alike(pixels, group)] if in_rhythm else group)
    return groups


def _most_alike(pixels: Pixels, group: list[int]) -> int:
    """Return the overlap, about those of a group, whose layers are most alike all over."""

    def off(overlap: int) -> float:
        right, left = pixels[::8, -overlap:].astype(np.int16), pixels[::8, :overlap]
        return float(np.square((right - left).astype(np.float64)).mean())

    return min(range(min(group), max(group) + 1), key=off)


def rhythm_px(lab: Array) -> int | None:
    """Return the shortest shift to the right at which a tile is most like itself, or None.

    Likeness is 1 less the mean squared difference over twice the variance, as in
    ``patterns.repeats``, but within the tile and across the join only.
    """
    width = lab.shape[1]
    spread = 2.0 * float(np.square(lab - lab.mean(axis=(0, 1))).sum(axis=2).mean())
    shifts = range(4, int(MOST_RHYTHM * width))
    if spread <= 0.0 or len(shifts) < 3:
        return None
    off = [np.square(lab[:, shift:] - lab[:, :-shift]).sum(axis=2).mean() for shift in shifts]
    like = 1.0 - np.array(off) / spread
    peak = (like[1:-1] >= like[:-2]) & (like[1:-1] > like[2:]) & (like[1:-1] > LEAST_LIKENESS)
    found = np.flatnonzero(peak) + 1
    if not found.size:
        return None
    best = like[found].max()
    return int(shifts[int(found[like[found] >= best - 0.05][0])])


def least_cost_cut(right: Array, left: Array, run: int) -> Cut:
    """Return the cheapest closed path between two layers of the same place.

    Args:
        right: (height, overlap, 3) CIELAB, shown before the path.
        left: (height, overlap, 3) CIELAB, shown from the path on.
        run: length in pixels over which a difference counts.
    """
    return least_cost_cuts([(right, left)], run)[0]


def least_cost_cuts(layers: Sequence[tuple[Array, Array]], run: int) -> list[Cut]:
    """Return the same of several pairs of layers of one height: as one array, for speed."""
    if not layers:
        return []
    most = max(right.shape[1] for right, _ in layers)
    each = [_costs(right, left, most) for right, left in layers]
    across, along = (np.stack(costs, axis=1) for costs in zip(*each, strict=True))
    start, every = len(across) // 2, np.arange(len(layers))
    first = _paths(across, along, None)[start]
    turned = _paths(np.roll(across, -start, axis=0), np.roll(along, -start, axis=0), first)
    columns = np.roll(turned, start, axis=0)
    return [
        Cut(columns[:, i], _worst_run(columns[:, i], across[:, i], along[:, i], run)) for i in every
    ]


def _costs(right: Array, left: Array, most: int) -> tuple[Floats, Floats]:
    """Return what crossing a row costs at each column, and going along it up to there.

    Both (height, most + 1); columns beyond the overlap can never be crossed.
    """
    from scipy.ndimage import maximum_filter

    differs = np.sqrt(np.square(right - left, dtype=np.float64).sum(axis=2))
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
    found = np.empty((rows, paths), dtype=np.intp)
    found[-1] = np.argmin(cost, axis=1)
    for row in range(rows - 1, 0, -1):
        found[row - 1] = came[row, every, found[row]]
    return found


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


def _laid(pixels: Pixels, overlap: int, drop_px: int, column: Indices) -> Pixels:
    """Return the tile with its ends laid over each other along a path."""
    width = pixels.shape[1]
    right = pixels[:, width - overlap :]
    left = np.roll(pixels[:, :overlap], drop_px, axis=0)
    half = _half_step(right, left, column)
    place = np.arange(overlap)[None, :]
    end = np.empty_like(left)
    for start in range(0, len(pixels), 256):
        rows = slice(start, start + 256)
        before, after = _levelling(overlap, column[rows])
        own = right[rows] + half[rows] * before[..., None]
        other = left[rows] - half[rows] * after[..., None]
        shown = np.where((place < column[rows, None])[..., None], own, other)
        end[rows] = np.rint(np.clip(shown, 0.0, 255.0)).astype(np.uint8)
    return np.concatenate([pixels[:, overlap : width - overlap], end], axis=1)


def _half_step(right: Pixels, left: Pixels, column: Indices) -> Floats:
    """Return (height, 1, 3): half of the small step in tone along the path."""
    from scipy.ndimage import uniform_filter1d

    near = np.clip(column[:, None] + np.arange(-2, 2), 0, right.shape[1] - 1)
    rows = np.arange(len(column))[:, None]
    step = np.median(left[rows, near].astype(np.float64) - right[rows, near], axis=1)
    step = uniform_filter1d(step, RUN_PX, axis=0, mode="wrap")
    step = np.where(np.abs(step).max(axis=1, keepdims=True) < 16.0, step, 0.0)  # not a motif's
    return np.asarray(step[:, None] / 2.0)


def _levelling(overlap: int, column: Indices) -> tuple[Floats, Floats]:
    """Return the share of it to add to the right layer, and to take from the left one."""
    away = np.arange(overlap)[None, :] - column[:, None]
    reach = 24.0
    before = np.clip(1.0 + (away + 1) / np.clip(column, 1, reach)[:, None], 0.0, 1.0)
    after = np.clip(1.0 - away / np.clip(overlap - column, 1, reach)[:, None], 0.0, 1.0)
    return before, after
