"""Where, and how plainly, does a mended join that was not called mended show?

In: a tile before and after one join was mended, (height, width, 3) sRGB uint8. Out: a ``Doubt``:
the worst place along that join, and whether it shows plainly or only has no like in the artwork.
The check of seams may well pass there: it asks what shows at the join, the judge of mending
(``patterns.mend.score.interior``) what in the whole mended band is nowhere else.

Not done here: judging again.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Pixels
from patterns.mend.axis import MOST_CUT_DE, AxisName, Candidate, orient, stagger_px
from patterns.mend.score import ALONG, PLAIN, SHOWN, Interior
from patterns.plane import Lattice


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a mended join is not called mended.

    Attributes:
        axis: the join.
        score: the judge's; up to 1 nothing shows that the artwork does not show as well.
        place_px: (from, to) along the join of the mended tile, where a patch looks like no other of
            the artwork; None where it is not a patch but an edge, a line or a cut.
        cut: whether the two sides differ strongly along the cut on which they meet.
        plain: whether it is clearly a fault, not a mere likeness that is missing.
    """

    axis: AxisName
    score: float
    place_px: tuple[int, int] | None
    cut: bool
    plain: bool


def describe_doubt(
    before: Pixels, after: Pixels, lattice: Lattice, axis: AxisName, candidate: Candidate
) -> Doubt:
    """Return what is doubtful about one join that was mended without success.

    Args:
        before: the tile before this join was mended, (height, width, 3) sRGB uint8.
        after: the finished tile, the other join mended too.
        lattice: how the finished tile repeats.
        axis: the join.
        candidate: what mending it gave.
    """
    mine = [step for step in candidate.steps if step.axis == axis]
    cut = any(step.worst_de > MOST_CUT_DE for step in mine)
    # what is no worse than the artwork was refused for another reason, such as a drift that stays
    plain = cut or not SHOWN < candidate.score <= PLAIN
    interior = candidate.interior
    if interior is None:
        levelled = any(step.kind == "drift" for step in mine)
        interior = Interior(orient(after if levelled else before, axis))
    band_px = max((step.width_px for step in mine), default=0)
    place = _place(interior, orient(after, axis), band_px, stagger_px(after, lattice, axis))
    return Doubt(axis, candidate.score, place, cut, plain)


def _place(interior: Interior, tile: Pixels, band_px: int, drop_px: int) -> tuple[int, int] | None:
    """Return the stretch of rows around the strangest patch, in pixels of the tile."""
    strange = interior.strange(tile, band_px, drop_px).max(axis=1) / interior.limit_de
    worst = int(np.argmax(strange))
    if strange[worst] <= SHOWN:
        return None
    usual = np.flatnonzero(strange <= SHOWN)
    first = max((int(row) + 1 for row in usual if row < worst), default=0)
    last = min((int(row) for row in usual if row > worst), default=len(strange))
    scale = len(tile) / len(strange)
    return round(first * scale), min(len(tile), round((last + ALONG - 1) * scale))
