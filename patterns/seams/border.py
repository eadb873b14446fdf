"""Does a border of one colour run all round a tile and cut its artwork off?

In: a tile, (height, width, 3) sRGB uint8. Out: how wide the border is, in pixels. A scan or an
export leaves it; its edges agree perfectly, and on paper it is a lattice of lines. What can be
known: it is of one colour and one width on all four sides, and where it ends artwork begins at
once, along a good part of each side, and varies there. A motif on bare ground has no such sides,
and a tile with bands of that colour inside has them by design. No published source.

Not done here: borders so wide that the picture is a framed one (``patterns.covers``).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats32, Mask, Pixels
from patterns.lab32 import lab32, norm

MOST_PX = 16
LEAST_SHARE = 16  # of the shorter side: a border is narrower
OTHER_DE = (6.0, 14.0)  # CIE76 from the border's colour on, exactly kept or in a lossy file
FULL = (0.985, 0.9)  # of a line that is of that colour
SOFT_PX = (1, 2)  # lines in which border and artwork are mixed, and by which its sides may differ
CUT_SHARE = 0.08  # of the first line inside
FURTHER_PX, AS_WIDE = 5, 0.7  # of what is artwork so much further in: a curve begins narrower
VARIED_DE = 4.0  # standard deviation along the first line inside


def border_px(pixels: Pixels, *, lossy: bool = False) -> int:
    """Return how wide the border is that cuts a tile's artwork off; 0 where there is none.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        lossy: whether the file format loses detail.
    """
    most = min(MOST_PX, min(pixels.shape[:2]) // LEAST_SHARE)
    turned = pixels.transpose(1, 0, 2)
    sides = [part[: most + FURTHER_PX + 3] for part in (pixels, pixels[::-1], turned, turned[::-1])]
    colour = lab32(pixels[:1, :1])

    def bare(lines: Floats32) -> Mask:
        return np.asarray(_other(lines, colour, lossy=lossy).mean(axis=1) <= 1.0 - FULL[lossy])

    # nearly every tile is told by its first line
    if most < 1 or not all(bare(lab32(side[:1]))[0] for side in sides):
        return 0
    labs = [lab32(side) for side in sides]
    widths = [int(np.argmin([*bare(lab), False])) for lab in labs]
    width = max(widths)
    if width > most or width - min(widths) > SOFT_PX[lossy]:
        return 0
    if not all(_is_cut_off(lab, colour, width, lossy=lossy) for lab in labs):
        return 0
    inner = lab32(pixels[2 * most : -2 * most, 2 * most : -2 * most])
    banded = any(bare(lab).any() for lab in (inner, inner.transpose(1, 0, 2)))
    return 0 if banded else width


def _other(lines: Floats32, colour: Floats32, *, lossy: bool) -> Mask:
    """Return which pixels are not of the border's colour."""
    return np.asarray(norm(lines - colour) > OTHER_DE[lossy])


def _is_cut_off(lines: Floats32, colour: Floats32, width: int, *, lossy: bool) -> bool:
    """Whether artwork begins at once where the border ends."""
    at = width + SOFT_PX[lossy]
    first, further = lines[at, at:-at], lines[at + FURTHER_PX, at:-at]
    share, beyond = (
        float(_other(line[None], colour, lossy=lossy).mean()) for line in (first, further)
    )
    varied = float(np.sqrt(first.var(axis=0).sum()))
    return share >= max(CUT_SHARE, AS_WIDE * beyond) and varied >= VARIED_DE
