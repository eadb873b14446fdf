"""Where does an outline of the design lie along the join, and curve off it as outlines do?

In: the joins of one axis. Out: which columns of the edge such outlines take up, and the joins
without them. A petal or leaf that just touches the tile's edge makes as loud a step there as one
cut off straight, over as many pixels. What tells them apart is how the outline comes and goes. One
that touches bends towards the join and off it again, or crosses it at a flat angle: a parabola
through what is seen of it on either side foretells where it lies on the join. One cut off meets the
join at a corner on either side, and the parabola would lie beyond, by about as much as was cut off.
A straight side of a motif that lies along the join from corner to corner looks like one cut off.

The outline is followed to the left and to the right, where colour leaves that of the plainer side
by half, to a part of a line. Not done here: what it means for the verdict. No published source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from palette.arrays import Floats, Floats32, Mask
from patterns.lab32 import de76, norm
from patterns.seams.joins import Joins, Stack

LOUD_DE = 6.0  # CIE76 across the join: what speaks for a seam in drawn artwork
PLAIN_SHARE = 0.25  # of that step: the most by which the plainer side varies along the stretch
FLAT = 0.3  # lines more than where it is nearest to the join: up to there it lies on it
MOST_SLOPE = 2.0  # lines a column: what is steeper does not lie along the join
LEAST_FLANK, LEAST_SHARE = 3, 0.25  # columns seen on either side, also of those on the join
LONE_FLANK = 8  # the same where the outline turns a corner of its own on the other side
FLANK, FLANK_SHARE = 6, 1.5  # columns to look at on either side, or of those on the join
LEAVES = 1.0  # lines from the join, which a flank reaches
LEAST_LOUD = 6  # columns; what crosses the join at an angle makes less of a step
NEAR = 4.0  # lines from the join: where the measures still see the outline
STRAY = 0.6  # lines: root mean square off the parabola


def outline_columns(joins: Joins, beyond: float) -> Mask:
    """Return along which columns of the whole tile's stack outlines lie on the join, (along,).

    Args:
        joins: of one axis.
        beyond: how many lines beyond the join an outline may be foretold to lie; so much of it
            may have been cut away.
    """
    columns = _columns_of(joins.whole, beyond)
    if joins.blocks is not joins.whole:
        fine = _columns_of(joins.blocks, beyond)
        starts = np.arange(len(columns)) * len(fine) // len(columns)
        columns |= np.logical_or.reduceat(fine, starts)
    return columns


def leave_out(joins: Joins, columns: Mask) -> Joins:
    """Return joins without some columns of the whole tile's edge, (along,), and all beside them.

    Interior cuts lose the same columns. ``length_px`` stays that of the whole edge.
    """
    whole = replace(joins.whole, lines=joins.whole.lines[:, ~columns])
    if joins.blocks is joins.whole:
        return replace(joins, whole=whole, blocks=whole)
    along = joins.blocks.lines.shape[1]
    kept = ~columns[np.arange(along) * len(columns) // along]
    return replace(
        joins, whole=whole, blocks=replace(joins.blocks, lines=joins.blocks.lines[:, kept])
    )


def _columns_of(stack: Stack, beyond: float) -> Mask:
    """Return along which columns of one stack outlines lie on its join, (along,)."""
    near = stack.lines[stack.join - stack.side : stack.join + stack.side]
    columns = np.zeros(near.shape[1], dtype=bool)
    for start, end in _stretches(de76(near[stack.side - 1], near[stack.side]) > LOUD_DE):
        if end - start < LEAST_LOUD:
            continue
        first, outline = _follow(near, start, end)
        if len(outline) and _bends_by(outline, beyond):
            columns[first : first + len(outline)] |= np.abs(outline) <= NEAR
    return columns


def _stretches(loud: Mask) -> Iterator[tuple[int, int]]:
    """Yield from where up to where something holds, the end left out."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], loud.astype(int), [0]])))
    yield from zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)


def _follow(near: Floats32, start: int, end: int) -> tuple[int, Floats]:
    """Return the first column of the outline on the join there, and its height a column.

    Heights are in lines from the join, up on the plainer side; none where there is no outline.
    """
    nothing = start, np.zeros(0)
    side = len(near) // 2
    sides = near[side - 1 :: -1], near[side:]
    grounds = [np.median(lines[1:4, start:end], axis=(0, 1)).astype(np.float32) for lines in sides]
    spreads = [
        float(norm(lines[1:4, start:end] - ground).mean())
        for lines, ground in zip(sides, grounds, strict=True)
    ]
    plainer = int(spreads[1] <= spreads[0])
    off = norm(near - grounds[plainer])
    off = off if plainer else off[::-1]  # the plainer side comes last
    most = float(np.median(off[side - 3 : side, start:end], axis=1).max())
    if most < LOUD_DE or spreads[plainer] > PLAIN_SHARE * most:
        return nothing
    middle = (start + end) // 2
    right = _heights(off[:, middle:], most / 2.0, 0.0)
    left = _heights(off[:, middle::-1], most / 2.0, 0.0)
    if len(right) < end - middle or len(left) <= middle - start:
        return nothing
    return middle + 1 - len(left), np.concatenate([left[:0:-1], right])


def _heights(off: Floats32, half: float, height: float) -> Floats:
    """Follow an outline from the first column on; return its heights as far as it is seen."""
    heights = []
    inside = off >= half
    for column in range(off.shape[1]):
        at = np.flatnonzero(inside[:-1, column] & ~inside[1:, column])
        if not len(at):
            break
        upper, lower = off[at, column], off[at + 1, column]
        found = at + (upper - half) / (upper - lower) + 0.5 - 0.5 * len(off)
        best = float(found[np.argmin(np.abs(found - height))])
        if abs(best - height) > MOST_SLOPE:
            break
        height = best
        heights.append(height)
    return np.array(heights)


def _bends_by(outline: Floats, beyond: float) -> bool:
    """Tell whether an outline comes to the join and leaves it without a corner."""
    off = np.abs(outline)
    on_join = off <= off.min() + FLAT
    at = np.flatnonzero(on_join)
    first, last = int(at[0]), int(at[-1]) + 1
    count = last - first
    flank = max(FLANK, FLANK_SHARE * count)
    along = np.arange(len(outline)) - 0.5 * (first + last)
    seen = (off <= NEAR) & ~on_join & (np.abs(along) < flank + 0.5 * count)
    left, right = _flank(off[:first], seen[:first]), _flank(off[last:], seen[last:])
    both = min(left, right) >= max(LEAST_FLANK, LEAST_SHARE * count)
    if not both and max(left, right) < max(LONE_FLANK, count):
        return False
    parabola = np.polynomial.Polynomial.fit(along[seen], outline[seen], 2)
    misses = np.abs(parabola(along) - outline)
    stray = float(np.sqrt(np.square(misses[seen]).mean()))
    return stray <= STRAY and float(misses[first:last].max()) <= beyond


def _flank(off: Floats, seen: Mask) -> int:
    """Return how many columns are seen of an outline on one side, if it leaves the join there."""
    return int(seen.sum()) if off[seen].max(initial=0.0) >= LEAVES else 0
