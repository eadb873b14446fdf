"""Where can this tile be let into itself so that nobody sees it?

In: a tile, (height, width, 3) sRGB uint8. Out: a narrower tile. Its right end is laid over its
left end, and the two are parted along the path on which they differ least, so that a motif is
shown whole or not at all, never as a ghost. How far they overlap is searched for: by no more than
is needed to hide the join.

The path is ``patterns.mend.remedies.boundary_cut``'s. A small step in tone that is left along it is
levelled to both sides. Not done here: rows (turn the tile), lattices staggered across the join's
direction.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from palette.arrays import Floats, Floats32, Indices, Pixels
from patterns.autocorrelation import autocorrelate
from patterns.lab32 import lab32
from patterns.mend.remedies.blending import blend_layers
from patterns.mend.remedies.boundary_cut import Cut, find_cuts
from patterns.mend.score import excess_de
from patterns.plane import reduce_in_bands

COARSE_PX = 176  # longer side of the tile while all overlaps are tried
LEAST_OVERLAP = 2
MOST_SHARE = 0.46
LOSS_DE = 6.0  # what the loss of the whole width would count for, in CIE76
RUN_PX = 9  # a difference shows when it goes on for about so many pixels
TRIED = 4  # of those tried on the small copy, and as far apart as APART of the width
APART = 0.02
LEAST_SOFT_PX = 12
MOST_SOFT_PX = 6_000_000  # of an overlap that is mixed: a bound on memory
LEAST_PEAK = 0.6  # of the autocorrelation: a rhythm
MOST_RHYTHM = 0.7  # of the width: the rhythm has to be seen more than once
AT_ONCE = 24  # overlaps of the small copy
MOST_PX = 700_000  # of an overlap in which the path is found in full size
SMALL_PX = 400  # height up to which overlaps are compared in full size


def let_in(
    pixels: Pixels, drop_px: int = 0, way: tuple[int, Cut] | None = None, *, soft: bool = False
) -> tuple[Pixels, int, float] | None:
    """Return (tile, overlap in pixels, worst CIE76 along the path), or None if it is too narrow.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
        way: what ``rank_overlaps`` found, if it is known.
        soft: whether to mix both sides about the path, the more widely the coarser the detail:
            right for a watercolour, a ghost in anything with an outline.
    """
    way = way or next(iter(rank_overlaps(pixels, drop_px)), None)
    if way is None or (soft and not LEAST_SOFT_PX <= way[0] <= MOST_SOFT_PX / len(pixels)):
        return None
    overlap, cut = way
    narrower = (blend_layers if soft else _lay_over)(pixels, overlap, drop_px, cut.column)
    return narrower, overlap, _path_de(narrower, overlap, cut.column)


def rank_overlaps(pixels: Pixels, drop_px: int = 0) -> Iterator[tuple[int, Cut]]:
    """Give (overlap in pixels, path) of some ways, likeliest first: what shows, and what it costs.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        drop_px: by how many pixels the right neighbour sits lower.
    """
    height, width = pixels.shape[:2]
    if width < 24 or height < 8:
        return
    for group in _candidates(pixels, drop_px):
        if group:
            overlap = _best_of(pixels, group, drop_px)
            every = _every(height * overlap, MOST_PX)
            yield overlap, _cuts_of(pixels, [overlap], drop_px, every)[0]


def _best_of(pixels: Pixels, group: Sequence[int], drop_px: int) -> int:
    """Return the overlap of a group whose path is best, as a copy of half the size tells."""
    if len(group) == 1:
        return group[0]
    height, width = pixels.shape[:2]
    every = 2 * _every(height * max(group), MOST_PX) if height > SMALL_PX else 1
    cuts = zip(group, _cuts_of(pixels, group, drop_px, every), strict=True)
    return min((cut.worst_de + LOSS_DE * overlap / width, overlap) for overlap, cut in cuts)[1]


def _every(size_px: int, most_px: int) -> int:
    return max(1, int(np.ceil(np.sqrt(size_px / most_px))))


def _cuts_of(pixels: Pixels, overlaps: Sequence[int], drop_px: int, every: int) -> list[Cut]:
    """Return the path of each overlap, found on a copy reduced by ``every``, in full size."""
    height, widest = len(pixels), max(overlaps)
    left = np.roll(pixels[:, :widest], drop_px, axis=0)
    whole = lab32(left) if every == 1 else None
    own = lab32(pixels[:, -widest:]) if every == 1 else None
    at_once = max(1, int(2 * MOST_PX * every**2 / (height * widest)))
    cuts: list[Cut] = []
    for start in range(0, len(overlaps), at_once):
        layers = []
        for overlap in overlaps[start : start + at_once]:
            if whole is not None and own is not None:
                layers.append((own[:, widest - overlap :], whole[:, :overlap]))
                continue
            size = max(4, round(height / every)), max(2, round(overlap / every))
            ends = pixels[:, pixels.shape[1] - overlap :], left[:, :overlap]
            layers.append(
                (lab32(reduce_in_bands(ends[0], *size)), lab32(reduce_in_bands(ends[1], *size)))
            )
        cuts += find_cuts(layers, max(2, RUN_PX // every))
    if every == 1:
        return cuts
    rows = np.minimum(np.arange(height) // every, len(cuts[0].column) - 1)
    return [
        Cut(np.minimum(cut.column[rows] * every, overlap), cut.worst_de)
        for overlap, cut in zip(overlaps, cuts, strict=True)
    ]


def _path_de(narrower: Pixels, overlap: int, column: Indices) -> float:
    """Return the worst break over a short run of the path in a tile that was let into itself."""
    width = narrower.shape[1]
    place = (width - overlap + column)[:, None] + np.arange(-2, 2)
    four = narrower[np.arange(len(column))[:, None], place % width]
    return float(excess_de(lab32(four)).max())


def _layers(lab: Floats32, overlap: int, drop_px: int) -> tuple[Floats32, Floats32]:
    return lab[:, -overlap:], np.roll(lab[:, :overlap], drop_px, axis=0)


def _candidates(pixels: Pixels, drop_px: int) -> list[list[int]]:
    """Return overlaps worth trying in full size, in groups, by trying all on a small copy.

    The first group keeps the rhythm, where the tile has one.
    """
    height, width = pixels.shape[:2]
    factor = max(1.0, max(height, width) / COARSE_PX)
    size = max(8, round(width / factor)), max(4, round(height / factor))
    small = reduce_in_bands(pixels, size[1], size[0]) if factor > 1.0 else pixels
    lab, drop = lab32(small), round(drop_px / factor)
    run = max(2, round(RUN_PX / factor))
    scores = {}
    overlaps = range(LEAST_OVERLAP, max(3, int(MOST_SHARE * size[0])) + 1)
    for some in (overlaps[start : start + AT_ONCE] for start in range(0, len(overlaps), AT_ONCE)):
        cuts = find_cuts([_layers(lab, overlap, drop) for overlap in some], run)
        for overlap, cut in zip(some, cuts, strict=True):
            scores[overlap] = cut.worst_de + LOSS_DE * overlap / size[0]
    rhythm = None if drop_px else find_rhythm_px(lab)
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


def find_rhythm_px(lab: Floats32) -> int | None:
    """Return the shortest shift to the right at which a tile is most like itself, or None."""
    shifts = range(4, int(MOST_RHYTHM * lab.shape[1]))
    if len(shifts) < 3:
        return None
    like = autocorrelate(lab, 0, shifts[-1]).table[0, shifts[-1] + shifts[0] :]
    peak = (like[1:-1] >= like[:-2]) & (like[1:-1] > like[2:]) & (like[1:-1] > LEAST_PEAK)
    peaks = np.flatnonzero(peak) + 1
    if not peaks.size:
        return None
    best = like[peaks].max()
    return int(shifts[int(peaks[like[peaks] >= best - 0.05][0])])


def _lay_over(pixels: Pixels, overlap: int, drop_px: int, column: Indices) -> Pixels:
    """Return the tile with its ends laid over each other along a path."""
    width = pixels.shape[1]
    right = pixels[:, width - overlap :]
    left = np.roll(pixels[:, :overlap], drop_px, axis=0)
    half = _half_step(right, left, column)
    place = np.arange(overlap)[None, :]
    end = np.empty_like(left)
    for start in range(0, len(pixels), 256):
        rows = slice(start, start + 256)
        before, after = _share_step(overlap, column[rows])
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


def _share_step(overlap: int, column: Indices) -> tuple[Floats, Floats]:
    """Return the share of it to add to the right layer, and to take from the left one."""
    away = np.arange(overlap)[None, :] - column[:, None]
    reach = 24.0
    before = np.clip(1.0 + (away + 1) / np.clip(column, 1, reach)[:, None], 0.0, 1.0)
    after = np.clip(1.0 - away / np.clip(overlap - column, 1, reach)[:, None], 0.0, 1.0)
    return before, after
