"""Does a clean tile go on across its own join at all, or does its grain only hide that it doesn't?

In: (height, width, 3) sRGB uint8 and an axis. Out: the share of *strangers* that fit as well as the
line that really comes next: pairs of lines out of the tile's interior that do not belong together.
0 for a tile that goes on, also where its join fits as its interior's cuts do; about a half where
the line after the join is as strange as any other.
Cork, stucco and woven paper are sold with such joins, and nobody sees them. But cropping such a
tile changes nothing that could be measured: its crop and itself are alike, so that no verdict can
call one a seam and the other seamless. The benchmark tells them apart from tiles that do go on.

The fit is the error of foresight (``patterns.seams.foresight``) over the line's own variance.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Pixels
from patterns.plane import STRAIGHT
from patterns.seams.foresight import foresight_figures
from patterns.seams.joins import build_joins
from patterns.seams.step_measures import Sides

STRANGER = 0.1  # from this share on the join does not go on
STRANGERS = 240


def strangers_as_good(pixels: Pixels, axis: str) -> float:
    """Return the share of strange pairs of lines that fit as well as the join's, 0 to 1."""
    stack = build_joins(pixels, STRAIGHT)["xy".index(axis)].whole
    inside = stack.interior[:: max(1, len(stack.interior) // 64)]
    rng = np.random.default_rng(1)
    before, after = rng.choice(stack.interior, (2, STRANGERS))
    apart = np.abs(before - after) > 0.03 * len(stack.interior) + 2
    before, after = before[apart], after[apart]
    sides = Sides(stack.lines, np.concatenate([[stack.join], inside, before]), stack.side)
    beyond = Sides(stack.lines, np.concatenate([[stack.join], inside, after]), stack.side)
    sides.b = beyond.b
    fit = foresight_figures(sides, slice(1, 1 + len(inside)))["strange_both"]
    if fit[0] <= np.quantile(fit[1 : 1 + len(inside)], 0.95):
        return 0.0
    return float((fit[1 + len(inside) :] <= fit[0]).mean())
