"""Is every sticker printed wherever its cut may fall? Asked of the raster that was drawn.

In: for each pixel of the sheet, which sticker's fill was laid on it last, noted while it was drawn
(``kit.render.raster``). Out: an ``Unprinted`` for each sticker that lacks its own fill somewhere
inside its cut line or in its bleed. White fills count as printed: noted is that the fill was
laid there, not what it looks like.

What must be printed is found again here, from the cut line alone: the pixels that it covers, and
those around them that the bleed reaches along x and y at once, as far as the sticker's printed
box goes. Half a pixel at its edge is the raster's own. Not done here: how wide the bleed has to be
(``kit.registration.tolerance``), and the sentence about it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kit.shapes import Contour, Window, flatten_contour, rect_around, window_centred
from kit.sheet import Placement
from palette.arrays import Floats, Mask, Pixels
from palette.memory import Remember, afresh
from patterns.units import MM_PER_INCH

CHORD_PX = 0.05  # how far a chord may leave an outline's arc
NUMBERS = 255  # stickers this many apart share a number; they never lie side by side


@dataclass(frozen=True, slots=True)
class Unprinted:
    """A sticker that is not printed as far as it should be.

    Attributes:
        number: its 0-based place in the sheet's order.
        share: how much of its inside and bleed lacks its fill, over 0 to 1.
    """

    number: int
    share: float


class InkMap:
    """Which sticker's fill lies on which pixel of a sheet."""

    def __init__(self, rows: int, cols: int) -> None:
        """Begin with bare paper."""
        self._numbers: Pixels = np.zeros((rows, cols), np.uint8)

    def lay(self, number: int, window: Window, shares: Floats | None = None) -> None:
        """Note that a sticker's fill was laid on a block: all of it, or where a share is over half.

        Args:
            number: the sticker's 0-based place in the sheet's order.
            window: the block.
            shares: (rows, cols) of the block, how much of each pixel was covered; None for all.
        """
        block = self._numbers[window.slices]
        if shares is None:
            block[...] = _key(number)
        else:
            block[shares > 0.5] = _key(number)

    def unprinted(
        self, placements: Sequence[Placement], dpi: float, remember: Remember = afresh
    ) -> tuple[Unprinted, ...]:
        """Return the stickers that lack their fill somewhere, in the sheet's order."""
        rows, cols = self._numbers.shape
        found = []
        for number, placement in enumerate(placements):
            window = window_centred(
                rect_around((placement.box, placement.bleed)), dpi, (rows, cols)
            )
            bare = self._numbers[window.slices] != _key(number)
            if not bare.any():
                continue
            needed = remember(_needed, placement, window, dpi, (rows, cols))
            lacking = np.count_nonzero(bare & needed)
            if lacking:
                found.append(Unprinted(number, lacking / np.count_nonzero(needed)))
        return tuple(found)


def _key(number: int) -> int:
    return number % NUMBERS + 1


def _needed(placement: Placement, window: Window, dpi: float, raster_px: tuple[int, int]) -> Mask:
    """Return the pixels of a window that a sticker's fill must cover."""
    from scipy.ndimage import maximum_filter

    inside = _inside(placement.outline, window, dpi)
    reach = max(0, math.floor(_bleed_mm(placement) * dpi / MM_PER_INCH - 0.5))
    around = maximum_filter(inside, 2 * reach + 1)
    printed = window_centred(placement.bleed, dpi, raster_px)
    top, left = printed.row - window.row, printed.col - window.col
    within = np.zeros_like(inside)
    within[top : top + printed.rows, left : left + printed.cols] = True
    needed: Mask = inside | (around & within)
    return needed


def _inside(outline: Contour, window: Window, dpi: float) -> Mask:
    """Return the pixels of a window whose middle lies inside an outline (even-odd rule)."""
    per_mm = dpi / MM_PER_INCH
    ring = np.array(flatten_contour(outline, CHORD_PX / per_mm)) * per_mm
    x, y = (ring - (window.col + 0.5, window.row + 0.5)).T
    ends_x, ends_y = np.roll(x, -1), np.roll(y, -1)
    # each side changes over what lies right of it in the rows whose middle it crosses
    first = np.ceil(np.minimum(y, ends_y)).astype(np.intp)
    counts = np.ceil(np.maximum(y, ends_y)).astype(np.intp) - first
    side = np.repeat(np.arange(len(x)), counts)
    row = first[side] + np.arange(side.size) - np.repeat(np.cumsum(counts) - counts, counts)
    share = (row - y[side]) / (ends_y - y)[side]
    col = np.ceil(x[side] + share * (ends_x - x)[side]).astype(np.intp)
    changes = np.zeros((window.rows, window.cols), np.uint8)
    seen = (row >= 0) & (row < window.rows) & (col < window.cols)
    np.add.at(changes, (row[seen], np.maximum(col[seen], 0)), 1)
    inside: Mask = np.cumsum(changes, axis=1, dtype=np.uint8) % 2 == 1
    return inside


def _bleed_mm(placement: Placement) -> float:
    """Return how far its print runs past its box on the side where nothing is in its way."""
    box, printed = placement.box, placement.bleed
    return max(
        box.x_mm - printed.x_mm,
        box.y_mm - printed.y_mm,
        printed.right_mm - box.right_mm,
        printed.bottom_mm - box.bottom_mm,
    )
