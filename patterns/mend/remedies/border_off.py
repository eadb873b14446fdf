"""Is the tile inside a border of one colour whole by itself? Then the border can go.

In: a tile with a border all round (``patterns.seams.border``), (height, width, 3) sRGB uint8. Out:
the tiles that are left without it, the largest first: a side may be a line narrower than another,
and the line in which border and artwork are mixed goes with it. No pixel that is left is changed.
Not done here: telling whether what is left meets itself.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from palette.arrays import Pixels
from patterns.lab32 import de76, lab32

BARE_DE = 6.0  # mean CIE76 from the border's colour of a line that is border alone
MIXED_PX = 2  # lines at most in which it is mixed with the artwork


def take_border_off(pixels: Pixels, border_px: int) -> Iterator[tuple[Pixels, int]]:
    """Give (tile, widest side taken off in pixels), the largest tile first.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        border_px: how wide the border is, at least 1.
    """
    turned = pixels.transpose(1, 0, 2)
    sides = (pixels, pixels[::-1], turned, turned[::-1])
    top, bottom, left, right = (_bare_lines(side[:border_px], pixels[:1, :1]) for side in sides)
    height, width = pixels.shape[:2]
    for more in range(MIXED_PX + 1):
        inner = pixels[top + more : height - bottom - more, left + more : width - right - more]
        yield np.ascontiguousarray(inner), max(top, bottom, left, right) + more


def _bare_lines(lines: Pixels, colour: Pixels) -> int:
    """Return how many of a side's lines, from the edge inwards, are border alone."""
    off = de76(lab32(lines), np.broadcast_to(lab32(colour), (*lines.shape[:2], 3))).mean(axis=1)
    return int(np.argmin([*(off <= BARE_DE), False]))
