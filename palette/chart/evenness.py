"""Does the ink lie evenly over the sheet? By the patches that the others do not predict.

In: where patches lie and a ``ChartFit``, which holds by how much each colour was missed when it was
left out. Out: ``Evenness``. Neighbours on the chart are far apart in colour, so what a fit misses
has nothing to do with where a patch lies; where neighbours are missed alike, the ink is heavier
there or the light was. A patch's miss in lightness counts as a share of its depth, because ink that
is a tenth heavier moves a dark patch more.

Source: Moran, "Notes on continuous stochastic phenomena", Biometrika 37, 1950, for the products of
neighbours. The limits are kitloom's choice: common practice, no published source. Not done here:
bands finer than a patch (``palette.scan.print_faults``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Pixels
from palette.press import ChartFit

UNEVEN = 0.01  # of a patch's depth: from 0.012 for ink 5 % heavier here and lighter there
SURE = 3.5  # standard deviations of what chance gives
_PALE = 80.0  # L*: paler patches have too little ink to tell
_NEIGHBOURS = 1.8  # times the distance between patches: the eight around
_WILD = 4.0  # times the median: what lies farther out is a scratch or a poor fit


@dataclass(frozen=True, slots=True)
class Evenness:
    """How evenly a print lies.

    Attributes:
        share: by how much of its depth a patch is heavier or lighter along with its neighbours.
        patchy: whether that is more than chance and worth telling.
    """

    share: float
    patchy: bool


def evenness_of(rgb: Pixels, centres_mm: Floats, fit: ChartFit) -> Evenness:
    """Return how evenly a chart's ink lies.

    Args:
        rgb: (n, 3) uint8 sent, of the patches that the fit was made of.
        centres_mm: (n, 2) where they lie.
        fit: what was made of them.
    """
    light, missed = fit.left_out(rgb)
    inked = light < _PALE
    if inked.sum() < 16:
        return Evenness(0.0, patchy=False)
    share = missed[inked, 0] / (100.0 - light[inked])
    share -= np.median(share)
    usual = max(float(np.median(np.abs(share))), 1e-9)
    share = np.clip(share, -_WILD * usual, _WILD * usual)
    apart = np.hypot(*(centres_mm[inked][:, None] - centres_mm[inked][None]).transpose(2, 0, 1))
    np.fill_diagonal(apart, np.inf)
    a, b = np.nonzero(np.triu(apart < _NEIGHBOURS * apart.min()))
    together = float((share[a] * share[b]).mean())
    chance = float(share.var()) / np.sqrt(len(a))
    size = float(np.sqrt(max(together, 0.0)))
    return Evenness(size, patchy=size > UNEVEN and together > SURE * chance)
