"""A space in which a straight line to grey keeps its hue: OKLab, for moving colours.

CIELAB's blues turn purple when they lose chroma; OKLab's do not. It is used wherever a colour has
to move and keep its character. Differences are still judged in CIEDE2000.

Inputs and outputs are arrays (..., 3): CIELAB (D50) on one side; OKLab times 100 on the other
(white is L 100, a and b reach about 35). Source: Ottosson, "A perceptual color space for image
processing", 2020, with the matrices for XYZ (D65) as in CSS Color Module Level 4, section 9.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from palette.arrays import Floats
from palette.space.lab import D50_TO_D65, by_matrix, lab_to_xyz, xyz_to_lab

_TO_CONES = np.array(
    [
        [0.8190224379967030, 0.3619062600528904, -0.1288737815209879],
        [0.0329836539323885, 0.9292868615863434, 0.0361446663506424],
        [0.0481771893596242, 0.2642395317527308, 0.6335478284694309],
    ]
)
_TO_OPPONENT = np.array(
    [
        [0.2104542683093140, 0.7936177747023054, -0.0040720430116193],
        [1.9779985324311684, -2.4285922420485799, 0.4505937096174110],
        [0.0259040424655478, 0.7827717124575296, -0.8086757549230774],
    ]
)
_CONES = _TO_CONES @ D50_TO_D65
_FROM_CONES = np.linalg.inv(_CONES)
_FROM_OPPONENT = np.linalg.inv(_TO_OPPONENT)


def lab_to_oklab(lab: ArrayLike) -> Floats:
    """Return OKLab times 100 of CIELAB (D50), shape (..., 3)."""
    cones = by_matrix(lab_to_xyz(lab), _CONES)
    return by_matrix(100.0 * np.cbrt(cones), _TO_OPPONENT)


def oklab_to_lab(ok: ArrayLike) -> Floats:
    """Return CIELAB (D50) of OKLab times 100, shape (..., 3)."""
    cones = by_matrix(np.asarray(ok, dtype=np.float64) / 100.0, _FROM_OPPONENT) ** 3
    return xyz_to_lab(by_matrix(cones, _FROM_CONES))


def to_polar(ok: Floats) -> Floats:
    """Return lightness, chroma and hue in radians, 0 to 2 pi, of rectangular OKLab, (..., 3)."""
    hue = np.arctan2(ok[..., 2], ok[..., 1]) % (2.0 * np.pi)
    return np.stack([ok[..., 0], np.hypot(ok[..., 1], ok[..., 2]), hue], axis=-1)


def from_polar(lch: Floats) -> Floats:
    """Return rectangular OKLab of lightness, chroma and hue in radians, (..., 3)."""
    light, chroma, hue = np.moveaxis(lch, -1, 0)
    return np.stack([light, chroma * np.cos(hue), chroma * np.sin(hue)], axis=-1)
