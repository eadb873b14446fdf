"""Does a join lie in plain stripes of the design: inside one, or on the line between two?

In: the joins of one axis. Out: which of the two, if any. Beside the cut, artwork that is ruled is
*still*: line after line is the same, as far as one can see, along the whole edge. Where the cut
lies inside such a stripe, both lines that meet are the same, and there is nothing to see, whatever
line of the design stands a few pixels further on: measures of how the tile goes on take that for a
fault. Where it lies between two stripes, what one sees is a hard line, and whether it is drawn
nobody can say by its looks: a crop of ruled artwork is other ruled artwork.

Lines are compared as means over ``SHORT`` pixels along the edge, so that a weave and noise say
little. A tone that runs slowly over the tile leaves lines still as well, and is told from a stripe
by its steps, which are small and go one way everywhere. No published source.

In plain stripes a tone that runs one way all over the tile can only jump back at a hard line: the
steps from line to line tell it, if those at hard lines are left out.

Where plain stripes are all of one width, those beside the join too, the line on it is one of many
at equal distances, and is drawn.

Not done here: whether the stripes keep their rhythm (``patterns.seams.rhythm``), what a maker is
asked.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from palette.arrays import Floats32, Pixels
from patterns.lab32 import norm
from patterns.seams.joins import Joins, Stack
from patterns.seams.step_measures import SHORT, running_mean, steady_slope

STILL_LINES = 4  # beside the cut
STILL_DE = 2.3  # CIE76: the just noticeable difference after Mahy and others, 1994
SLOPE_DE = 1.5  # CIE76 from edge to edge, in each part of the tile
SLOW_DE = 3.0  # CIE76 from edge to edge: a tone that runs over the stripes
HARD_DE = 0.75  # CIE76 from line to line, as means along the edge: what is no part of a slow tone
STILL_SHARE = 0.5  # of all lines: fewer that are still are no plain stripes
PARTS = 4  # of a tile, in each of which, but for one, there must be still lines
LEAST_STRIPES = 4  # two of them inside, and two at the edges
LEAST_WIDTH_PX = 16  # of a stripe
LINE_STEP = 4.0  # of 255: a line between two stripes
QUIET = 0.5  # of the least such line: away from them, by a quarter of a stripe, all is less
PLAIN = 6.0  # of 255: the most that colour changes in the stripes beside the join

Place = Literal["inside", "between", "drift"]


def place_in_stripes(joins: Joins, *, lossy: bool = False) -> Place | None:
    """Tell whether a join lies inside a plain stripe, between two, or in other artwork (None).

    It is "drift" where a tone runs over the stripes and may jump back at the line between two.

    Args:
        joins: of one axis.
        lossy: whether the file format loses detail; lines may then differ by half as much more.
    """
    unseen = STILL_DE * (1.5 if lossy else 1.0)
    stacks = [joins.whole] if joins.blocks is joins.whole else [joins.whole, joins.blocks]
    before, across, after = np.max([_changes(stack) for stack in stacks], axis=0)
    if across < unseen and min(before, after) < unseen:
        return "inside"
    if max(before, after) >= unseen:
        return None
    whole = joins.whole
    if slow_change(whole.lines[whole.side : -whole.side]) >= SLOW_DE:
        return "drift"
    return "between" if steady_slope(whole.lines, whole.interior) < SLOPE_DE else None


def slow_change(lines: Floats32) -> float:
    """Return how far a tone runs one way over plain stripes, CIE76; 0 where there are none.

    Args:
        lines: (count, along, 3) CIELAB of a tile, the first axis runs across the join.
    """
    steps = np.diff(lines.mean(axis=1), axis=0)
    still = np.convolve(norm(steps) > HARD_DE, np.ones(3), "same") == 0
    if still.mean() < STILL_SHARE:
        return 0.0
    whole = steps[still].mean(axis=0)
    along = steps @ (whole / (float(np.sqrt(whole @ whole)) + 1e-9))
    parts = [
        float(part[here].mean())
        for part, here in zip(
            np.array_split(along, PARTS), np.array_split(still, PARTS), strict=True
        )
        if here.any()
    ]
    return max(0.0, min(parts) * len(lines)) if len(parts) >= PARTS - 1 else 0.0


def _changes(stack: Stack) -> tuple[float, float, float]:
    """Return the most that lines change before the cut, across it and after it, CIE76."""
    near: Floats32 = stack.lines[stack.join - STILL_LINES : stack.join + STILL_LINES]
    means = running_mean(np.ascontiguousarray(near.transpose(0, 2, 1)), SHORT)
    step = norm(np.diff(means, axis=0).transpose(0, 2, 1)).max(axis=1)
    cut = STILL_LINES - 1
    return float(step[:cut].max()), float(step[cut]), float(step[cut + 1 :].max())


def run_evenly(pixels: Pixels, axis: int, shift: float = 0.0) -> bool:
    """Tell whether a tile is ruled in plain stripes of one width that goes on across its join.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        axis: 0 where the right edge meets the left, 1 where the bottom meets the top.
        shift: how far the neighbour is moved along the edge, a share of it.
    """
    lines = pixels.transpose(1, 0, 2) if axis == 0 else pixels
    count, along = lines.shape[:2]
    starts = np.arange(0, along, SHORT)
    widths = np.diff(np.append(starts, along)).astype(np.float32)
    means = np.add.reduceat(lines, starts, axis=1, dtype=np.float32) / widths[:, None]
    beside = np.concatenate([means[:STILL_LINES], means[-STILL_LINES:]])
    own = beside.reshape(2, -1, means.shape[2])
    if np.abs(own - own.mean(axis=1, keepdims=True)).max() > PLAIN:
        return False
    after = np.roll(means[:1], round(shift * len(starts)), axis=1)
    step = np.abs(np.diff(np.concatenate([means, after]), axis=0)).mean(axis=(1, 2))
    return any(
        _are_even(step, number) for number in range(LEAST_STRIPES, count // LEAST_WIDTH_PX + 1)
    )


def _are_even(step: Floats32, number: int) -> bool:
    """Tell whether steps stand at so many equal distances, and nowhere else."""
    width = len(step) / number
    at = np.rint(np.arange(1, number + 1) * width).astype(np.intp) - 1
    lines = np.max([np.roll(step, by)[at] for by in (-1, 0, 1)], axis=0)
    inside = np.abs(np.arange(len(step))[:, None] - at).min(axis=1) > width / 4.0
    inside[: int(width / 4.0)] = False  # beside the join as well
    least = float(lines.min())
    return least >= LINE_STEP and float(step[inside].max()) <= QUIET * least
