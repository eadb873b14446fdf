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

Not done here: whether the stripes keep their rhythm (``patterns.seams.rhythm``), what a maker is
asked.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from palette.arrays import Floats32
from patterns.lab32 import norm
from patterns.seams.joins import Joins, Stack
from patterns.seams.step_measures import SHORT, running_mean, steady_slope

STILL_LINES = 4  # beside the cut
STILL_DE = 2.3  # CIE76: the just noticeable difference after Mahy and others, 1994
SLOPE_DE = 1.5  # CIE76 from edge to edge, in each part of the tile

Place = Literal["inside", "between"]


def place_in_stripes(joins: Joins, *, lossy: bool = False) -> Place | None:
    """Tell whether a join lies inside a plain stripe, between two, or in other artwork (None).

    Args:
        joins: of one axis.
        lossy: whether the file format loses detail; lines may then differ by half as much more.
    """
    unseen = STILL_DE * (1.5 if lossy else 1.0)
    stacks = [joins.whole] if joins.blocks is joins.whole else [joins.whole, joins.blocks]
    before, across, after = np.max([_changes(stack) for stack in stacks], axis=0)
    if across < unseen and min(before, after) < unseen:
        return "inside"
    slope = steady_slope(joins.whole.lines, joins.whole.interior)
    return "between" if max(before, after) < unseen and slope < SLOPE_DE else None


def _changes(stack: Stack) -> tuple[float, float, float]:
    """Return the most that lines change before the cut, across it and after it, CIE76."""
    near: Floats32 = stack.lines[stack.join - STILL_LINES : stack.join + STILL_LINES]
    means = running_mean(np.ascontiguousarray(near.transpose(0, 2, 1)), SHORT)
    step = norm(np.diff(means, axis=0).transpose(0, 2, 1)).max(axis=1)
    cut = STILL_LINES - 1
    return float(step[:cut].max()), float(step[cut]), float(step[cut + 1 :].max())
