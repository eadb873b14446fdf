"""Which fills are heavy with ink? A relative measure of how much a fill lays down.

In: a fill's colour bins, or colours in CIELAB (D50); and a ``Press``. Out: total area coverage, the
sum of the ink shares C, M, Y and K, 0 to 4 (printers say 0 to 400 %). Where the press knows its
inks (a CMYK profile) they are its own; else they are estimated: each ink as the complement of one
sRGB channel, with half of their common part printed black.

``share_of_black`` tells them as shares of what a fill of plain black takes, so that a figure says
something where the amounts are only estimated.

Good for comparing fills of one kit and for a note, not for more: what a home printer lays down is
up to its driver. Source: total area coverage as in ISO 12647-1:2013; grey component
replacement by half is common practice, no published source.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats
from palette.press import InkPress, Press
from palette.proof.assess import Bins
from palette.space import lab_to_srgb

HEAVY = 2.4  # uncoated and matt sticker paper takes 2.0 to 2.6 (value from memory)


def coverage(lab: Floats, press: Press, printed: Floats | None = None) -> Floats:
    """Return the total area coverage, 0 to 4, of (n, 3) colours, shape (n,).

    Args:
        lab: the colours asked for.
        press: what prints.
        printed: the press's ``to_print`` of them, (n, 3), where it was asked before.
    """
    if isinstance(press, InkPress):
        sums: Floats = press.inks(lab).sum(axis=1)
        return sums
    inks = 1.0 - lab_to_srgb(press.to_print(lab) if printed is None else printed)
    black = 0.5 * inks.min(axis=1)
    total: Floats = (inks - black[:, None]).sum(axis=1) + black
    return total


def mean_coverage(bins: Bins, press: Press, printed: Floats | None = None) -> float:
    """Return the mean total area coverage, 0 to 4, over a fill's area (as ``coverage``)."""
    return float((coverage(bins.lab, press, printed) * bins.weight).sum())


def share_heavy(bins: Bins, press: Press, limit: float = HEAVY) -> float:
    """Return the share of a fill's area, 0 to 1, with more ink than the limit."""
    return float(bins.weight[coverage(bins.lab, press) > limit].sum())


def share_of_black(total: float, press: Press) -> float:
    """Return a total area coverage as a share of what a fill of plain black takes."""
    return total / float(coverage(np.zeros((1, 3)), press)[0])
