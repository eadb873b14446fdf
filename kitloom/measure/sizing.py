"""Which repeat suits a sticker, so large that the press holds the lines?

In: pixels, the half box and the dpi. Out: an ``AutoRepeat``. Where lines are too thin at the repeat
that suits the motifs (``patterns.motifs``), it is enlarged until they hold, as far as motifs allow.
Where no crisp repeat holds them, it is left as it suits: that finding is the maker's to weigh.
"""

from __future__ import annotations

import math

import numpy as np

from palette.arrays import Pixels
from palette.proof import TileStrokes
from patterns.motifs import AutoRepeat, auto_repeat
from patterns.units import MM_PER_INCH

NEAR = 1.01  # the repeat from which lines hold is found to within this
SIZES_BEYOND = 4  # that are tried, up to the largest crisp one


def suiting_repeat(pixels: Pixels, half_box_mm: tuple[float, float], dpi: float) -> AutoRepeat:
    """Return the repeat at which a tile suits a sticker and its lines hold, if any does.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
        half_box_mm: width and height of the sticker.
        dpi: the least effective resolution.
    """
    found = auto_repeat(pixels, *half_box_mm, dpi)

    tile = TileStrokes(pixels)

    def holds(repeat_mm: float) -> bool:
        return not tile.strokes_at(pixels.shape[1] * MM_PER_INCH / repeat_mm)

    small, large = found.repeat_mm, found.most_mm
    if large <= small or holds(small):
        return found
    if not holds(large):
        beyond = np.geomspace(large, found.crisp_mm, SIZES_BEYOND + 1)[1:]
        # where they hold at a larger size, as near to it as motifs allow
        return found.at(large) if any(holds(float(size)) for size in beyond) else found
    while large > NEAR * small:
        middle = math.sqrt(small * large)
        small, large = (small, middle) if holds(middle) else (middle, large)
    return found.at(large)
