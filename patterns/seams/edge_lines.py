"""Does a thin line of one colour run along a tile's edge, as a frame drawn round it leaves it?

In: a tile, (height, width, 3) sRGB uint8. Out: how wide such a line is on each side, in pixels.
What can be known: it is of one colour along the whole side, the artwork begins along most of it at
once where it ends, and no such line runs inside the tile: where one does, it belongs to the design.
No published source.

Not done here: telling whether the tile closes without it (``patterns.seams.check``); a border as
wide as ``patterns.seams.border`` looks for, round artwork that closes with it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats32, Mask, Pixels
from patterns.lab32 import lab32, norm

MOST_PX = 12
LEAST_SHARE = 16  # of the side across: a line is narrower
OTHER_DE = (6.0, 14.0)  # CIE76 from the line's colour on, exactly kept or in a lossy file
FULL = (0.985, 0.9)  # of a line that is of that colour
BEGINS = 0.5  # of the first line inside that is of another
MIXED_PX = (1, 2)  # lines in which it may be mixed with the artwork
SCREENED = 8  # of the pixels along a side, one in so many tells most sides


@dataclass(frozen=True, slots=True)
class EdgeLines:
    """Lines of one colour along a tile's edges.

    Attributes:
        x: (left, right): how wide each is, in pixels; 0 where there is none.
        y: (top, bottom), likewise.
        frame: whether all four are there, and of one colour.
    """

    x: tuple[int, int]
    y: tuple[int, int]
    frame: bool


def find_edge_lines(pixels: Pixels, *, lossy: bool = False) -> EdgeLines:
    """Return the lines of one colour along a tile's edges.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        lossy: whether the file format loses detail.
    """
    turned = pixels.transpose(1, 0, 2)
    sides = (pixels, pixels[::-1], turned, turned[::-1])
    found = [_line(side, lossy=lossy) for side in sides]
    colours = [colour for wide, colour in found if wide]
    alike = all(float(norm(one - colours[0]).max()) <= OTHER_DE[lossy] for one in colours)
    top, bottom, left, right = (wide for wide, _ in found)
    frame = len(colours) == len(sides) and alike
    return EdgeLines((left, right), (top, bottom), frame)


def crop_lines(pixels: Pixels, x: tuple[int, int], y: tuple[int, int]) -> Pixels:
    """Return a tile without so many pixels on its (left, right) and (top, bottom)."""
    height, width = pixels.shape[:2]
    return np.ascontiguousarray(pixels[y[0] : height - y[1], x[0] : width - x[1]])


def _line(side: Pixels, *, lossy: bool) -> tuple[int, Floats32]:
    """Return how many lines, from the first inwards, are of one colour, and that colour."""
    most = min(MOST_PX, len(side) // LEAST_SHARE)
    colour = np.median(lab32(side[:1]), axis=1, keepdims=True).astype(np.float32)
    # nearly every side is told by a few pixels of its first line
    if most < 1 or not _bare(side[:1, ::SCREENED], colour, lossy=lossy)[0]:
        return 0, colour
    bare = _bare(side[: most + 1], colour, lossy=lossy)
    wide = int(np.argmin(bare))
    if bare.all() or not wide:
        return 0, colour
    at = wide + MIXED_PX[lossy]
    begins = float(_other(side[at : at + 1], colour, lossy=lossy).mean())
    if begins < BEGINS or _bare(side[at:-at], colour, lossy=lossy).any():
        return 0, colour
    return wide, colour


def _bare(lines: Pixels, colour: Floats32, *, lossy: bool) -> Mask:
    """Return which lines are of that colour."""
    return np.asarray(_other(lines, colour, lossy=lossy).mean(axis=1) <= 1.0 - FULL[lossy])


def _other(lines: Pixels, colour: Floats32, *, lossy: bool) -> Mask:
    """Return which pixels are not of that colour."""
    return np.asarray(norm(lab32(lines) - colour) > OTHER_DE[lossy])
