"""A plain ground, and what is laid on it with the soft shadow of paper.

In: pixels and how far they cover. Out: a picture that they lie on. Depths, distances and colours
are chosen by eye.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Pixels
from palette.space import parse_hex

# of a square picture; shops ask for that much (common practice, no published source)
SIDE_PX = 2000
GROUND = "#ece7dd"  # of the table
_SHADOW = np.array([58.0, 48.0, 36.0])
# two shadows: close under the edge, and wide: (down, blur) in mm for paper as thick as 1, depth
_SHADOWS = ((0.25, 0.3, 0.26), (1.1, 1.5, 0.17))


def ground(colour: str = GROUND) -> Pixels:
    """Return the empty picture."""
    return np.full((SIDE_PX, SIDE_PX, 3), parse_hex(colour), dtype=np.uint8)


def lay(
    picture: Pixels,
    pixels: Pixels,
    shares: Floats,
    at: tuple[int, int],
    *,
    per_mm: float,
    height: float = 1.0,
) -> None:
    """Lay something on the picture, its shadow first.

    Args:
        picture: changed in place.
        pixels: (rows, cols, 3), or one colour (3,).
        shares: (rows, cols), 0 to 1: how far it covers.
        at: row and column of its first pixel in the picture; what lies outside is left out.
        per_mm: pixels a millimetre.
        height: how far above the ground it lies: the shadow grows with it; 0 for none.
    """
    for down, blur, depth in _SHADOWS if height > 0.0 else ():
        sigma = blur * height * per_mm
        room = int(np.ceil(3.0 * sigma))
        shadow = _blurred(np.pad(shares, room), sigma) * depth
        row = at[0] - room + round(down * height * per_mm)
        _blend(picture, np.broadcast_to(_SHADOW, (*shadow.shape, 3)), shadow, (row, at[1] - room))
    _blend(picture, np.broadcast_to(pixels, (*shares.shape, 3)), shares, at)


def _blurred(shares: Floats, sigma: float) -> Floats:
    from scipy.ndimage import gaussian_filter

    blurred: Floats = gaussian_filter(shares, sigma, mode="constant", truncate=3.0)
    return blurred


def _blend(picture: Pixels, pixels: Floats | Pixels, shares: Floats, at: tuple[int, int]) -> None:
    top, left = max(at[0], 0), max(at[1], 0)
    bottom = min(at[0] + shares.shape[0], picture.shape[0])
    right = min(at[1] + shares.shape[1], picture.shape[1])
    if bottom <= top or right <= left:
        return
    inner = np.s_[top - at[0] : bottom - at[0], left - at[1] : right - at[1]]
    share = shares[inner][..., None]
    block = picture[top:bottom, left:right]
    block[...] = np.rint(block * (1.0 - share) + pixels[inner] * share).astype(np.uint8)
