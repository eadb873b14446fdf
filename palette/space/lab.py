"""What colour is this pixel? sRGB to CIELAB and back.

Every Lab value in kitloom is CIELAB under D50, 2 degree observer, as print measures colour
(ISO 13655), reached from sRGB's D65 by the Bradford transform. Inputs and outputs are arrays whose
last axis has length 3; L* runs 0 to 100, a* and b* about -128 to 127, sRGB floats 0 to 1.

Sources: IEC 61966-2-1 (sRGB primaries and transfer function); CIE 15:2004 (CIELAB); the Bradford
matrix as in ICC.1:2022 annex E; white points from their chromaticities as in CSS Color Module
Level 4, section 9 (D50 0.3457, 0.3585; D65 0.3127, 0.3290). Not done here: other RGB spaces, which
are converted to sRGB when artwork is opened.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palette.arrays import Floats, Pixels
from palette.errors import PaletteError

_EPSILON = 216 / 24389  # CIE 15:2004, the junction of cube root and straight line
_KAPPA = 24389 / 27


def _white(x: float, y: float) -> Floats:
    return np.array([x / y, 1.0, (1.0 - x - y) / y])


D50 = _white(0.3457, 0.3585)
D65 = _white(0.3127, 0.3290)
_BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)


D65_TO_D50: Floats = (
    np.linalg.inv(_BRADFORD) @ np.diag((_BRADFORD @ D50) / (_BRADFORD @ D65)) @ _BRADFORD
)
D50_TO_D65 = np.linalg.inv(D65_TO_D50)


def _rgb_to_xyz_d50() -> Floats:
    """Derive the matrix from primaries and whites instead of quoting rounded digits."""
    primaries = np.stack([_white(0.64, 0.33), _white(0.30, 0.60), _white(0.15, 0.06)], axis=1)
    to_d65 = primaries * np.linalg.solve(primaries, D65)
    adapted: Floats = D65_TO_D50 @ to_d65
    return adapted


_TO_XYZ = _rgb_to_xyz_d50()
_FROM_XYZ = np.linalg.inv(_TO_XYZ)


def linear(srgb: ArrayLike) -> Floats:
    """Undo sRGB's transfer function: 0 to 1 in, linear light 0 to 1 out, any shape."""
    v = np.asarray(srgb, dtype=np.float64)
    return np.where(v <= 0.04045, v / 12.92, ((np.maximum(v, 0.0) + 0.055) / 1.055) ** 2.4)


def compand(light: ArrayLike) -> Floats:
    """Apply sRGB's transfer function: linear light 0 to 1 in, sRGB 0 to 1 out, any shape."""
    v = np.clip(np.asarray(light, dtype=np.float64), 0.0, 1.0)
    return np.where(v <= 0.0031308, v * 12.92, 1.055 * v ** (1 / 2.4) - 0.055)


@cache
def _linear_table() -> Floats:
    table = linear(np.arange(256) / 255.0)
    table.setflags(write=False)
    return table


def linear_srgb(srgb: NDArray[Any]) -> Floats:
    """Return linear light for sRGB given as uint8 (0 to 255) or as floats (0 to 1)."""
    return _linear_table()[srgb] if srgb.dtype == np.uint8 else linear(srgb)


def by_matrix(colours: ArrayLike, matrix: NDArray[np.floating[Any]]) -> Floats:
    """Return each colour, (..., 3), times a 3 x 3 matrix: the same bits for one as for many.

    A product by BLAS would round a colour alone otherwise than among others, and each processor
    in its own way.
    """
    values = np.asarray(colours, dtype=np.float64)
    first, second, third = values[..., 0], values[..., 1], values[..., 2]
    return np.stack([first * a + second * b + third * c for a, b, c in matrix], axis=-1)


def srgb_to_xyz(srgb: NDArray[Any]) -> Floats:
    """Return XYZ (D50, Y of white 1.0) of sRGB uint8 or 0-to-1 floats, shape (..., 3)."""
    return by_matrix(linear_srgb(srgb), _TO_XYZ)


def xyz_to_srgb(xyz: ArrayLike) -> Floats:
    """Return sRGB floats 0 to 1, clipped, of XYZ (D50), shape (..., 3)."""
    return compand(by_matrix(xyz, _FROM_XYZ))


def xyz_to_lab(xyz: ArrayLike) -> Floats:
    """Return CIELAB (D50) of XYZ (D50, Y of white 1.0), shape (..., 3)."""
    t = np.asarray(xyz, dtype=np.float64) / D50
    f = np.where(t > _EPSILON, np.cbrt(t), (_KAPPA * t + 16.0) / 116.0)
    return np.stack(
        [
            116.0 * f[..., 1] - 16.0,
            500.0 * (f[..., 0] - f[..., 1]),
            200.0 * (f[..., 1] - f[..., 2]),
        ],
        axis=-1,
    )


def lab_to_xyz(lab: ArrayLike) -> Floats:
    """Return XYZ (D50, Y of white 1.0) of CIELAB (D50), shape (..., 3)."""
    values = np.asarray(lab, dtype=np.float64)
    fy = (values[..., 0] + 16.0) / 116.0
    f = np.stack([fy + values[..., 1] / 500.0, fy, fy - values[..., 2] / 200.0], axis=-1)
    xyz: Floats = np.where(f**3 > _EPSILON, f**3, (116.0 * f - 16.0) / _KAPPA) * D50
    return xyz


def srgb_to_lab(srgb: NDArray[Any]) -> Floats:
    """Return CIELAB (D50) of sRGB given as uint8 (0 to 255) or as floats (0 to 1)."""
    return xyz_to_lab(srgb_to_xyz(srgb))


def lab_to_srgb(lab: ArrayLike) -> Floats:
    """Return sRGB floats 0 to 1 of CIELAB (D50); colours outside sRGB are clipped per channel."""
    return xyz_to_srgb(lab_to_xyz(lab))


def lab_to_srgb8(lab: ArrayLike) -> Pixels:
    """Return sRGB uint8 of CIELAB (D50); colours outside sRGB are clipped per channel."""
    return np.rint(lab_to_srgb(lab) * 255.0).astype(np.uint8)


def parse_hex(text: str, *, where: str = "colour") -> Pixels:
    """Return the uint8 triple of "#rrggbb" or "#rgb".

    Raises:
        PaletteError: the text is neither.
    """
    match = re.fullmatch(r"#?([0-9a-fA-F]{6}|[0-9a-fA-F]{3})", text.strip())
    if match is None:
        raise PaletteError(
            f'"{text}" is not a colour', where=where, remedy='Write it like "#3b5b7a".'
        )
    digits = match[1] if len(match[1]) == 6 else "".join(c * 2 for c in match[1])
    return np.frombuffer(bytes.fromhex(digits), dtype=np.uint8)


def hex_of(srgb8: ArrayLike) -> str:
    """Return "#rrggbb" of one uint8 triple."""
    r, g, b = (int(v) for v in np.asarray(srgb8))
    return f"#{r:02x}{g:02x}{b:02x}"


def triple_of(lab: Iterable[float]) -> tuple[float, float, float]:
    """Return one colour's three values as a tuple.

    Raises:
        ValueError: they are not three.
    """
    lightness, a, b = (float(value) for value in lab)
    return lightness, a, b


def hex_to_lab(text: str) -> Floats:
    """Return CIELAB (D50), shape (3,), of "#rrggbb"."""
    return srgb_to_lab(parse_hex(text))
