"""Is this pixel a colour that someone chose, or only the blur between two of them?

Anti-aliasing, JPEG's halved chroma and soft brushes leave pixels along every outline whose colour
nobody chose; counted as colours they become false members of a palette. A pixel is *fringe* when,
across a row or a column, its neighbours one or three pixels to either side differ clearly, and it
lies between them in luma and in chroma and is near to neither. A line of its own colour, however
thin, has the same colour on both sides and is never fringe; nor is a slow wash.

Inputs are sRGB uint8 planes (3, n); output is 0 or 1 a pixel. Luma and chroma are YCoCg, the
integer transform of Malvar and Sullivan, "YCoCg-R: a color space with RGB reversibility and low
dynamic range", JVT-I014, 2003. The limits are ours, in code values of 0 to 255.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Mask, Pixels

REACH_PX = 3
_STEPS = ((0, 1), (1, 0), (0, REACH_PX), (REACH_PX, 0))
_APART = 24  # the two sides differ by at least this in some channel
_NEAR = 9  # this near to a side, a pixel belongs to it
_SLACK = 4  # grain and rounding may carry a mixture this far out of the box between the sides


def fringe_flags(here: Pixels, moved: Callable[[int, int], Pixels]) -> NDArray[np.uint32]:
    """Flag the pixels that only lead over from one colour to another.

    Args:
        here: (3, n) sRGB uint8 pixels, a plane for each channel.
        moved: gives for (dy, dx) the (3, n) pixels that lie so many rows and columns further on.

    Returns:
        (n,) uint32, 1 for fringe and 0 for body.
    """
    flags = np.zeros(here.shape[1], dtype=np.uint32)
    for dy, dx in _STEPS:
        before, after = moved(-dy, -dx), moved(dy, dx)
        difference = np.maximum(before, after) - np.minimum(before, after)
        edge = np.flatnonzero(difference.max(axis=0) >= _APART)
        flags[edge] |= lies_between(*(one.take(edge, axis=1) for one in (here, before, after)))
    return flags


def lies_between(here: Pixels, before: Pixels, after: Pixels) -> Mask:
    """Say for each of (3, n) sRGB uint8 colours if it lies between two others, near neither."""
    p, a, b = _ycocg(here), _ycocg(before), _ycocg(after)
    inside = (p >= np.minimum(a, b) - _SLACK) & (p <= np.maximum(a, b) + _SLACK)
    near_a = (np.abs(p - a) <= _NEAR).all(axis=0)
    near_b = (np.abs(p - b) <= _NEAR).all(axis=0)
    flags: Mask = inside.all(axis=0) & ~near_a & ~near_b
    return flags


def _ycocg(planes: Pixels) -> NDArray[np.int16]:
    red, green, blue = planes.astype(np.int16)
    chroma_green = green - (red + blue) // 2
    return np.stack([green - chroma_green // 2, red - blue, chroma_green])
