"""What colour is each pixel of a large picture? CIELAB in float32, and CIE76 differences of it.

In: sRGB uint8, shape (..., 3). Out: CIELAB (D50), exact to about 0.01, by tables: a tenth of the
time and half the memory of ``palette.space.srgb_to_lab``, which is exact and in float64. Seams,
mending and repeats compare tens of thousands of pixels with each other and use this one; what is
shown, named or printed uses the other. Not done here: CIEDE2000 (``palette.space.de2000``).
"""

from __future__ import annotations

from functools import cache

import numpy as np

from palette.arrays import Floats32, Pixels
from palette.space import D50, linear, srgb_to_xyz

BAND_PX = 1 << 14  # pixels at a time, so that what lies between stays in the processor's cache
ROOT_STEPS = 1 << 18  # cube roots are looked up: steps so fine that CIELAB is off by 0.015 at most


@cache
def _light() -> Floats32:
    """Return linear light, 0 to 1, of each of the 256 codes."""
    table: Floats32 = linear(np.arange(256) / 255.0).astype(np.float32)
    table.setflags(write=False)
    return table


@cache
def _to_steps() -> Floats32:
    """Return the matrix from linear light to XYZ over white, in steps of the table of roots."""
    matrix = srgb_to_xyz(np.eye(3)).T / D50[:, None]
    steps: Floats32 = (matrix.T * ROOT_STEPS).astype(np.float32)
    steps.setflags(write=False)
    return steps


@cache
def _roots() -> Floats32:
    """Return CIELAB's f(t) for t from 0 to a little over 1 in ``ROOT_STEPS`` a unit."""
    t = np.arange(ROOT_STEPS + 64) / ROOT_STEPS
    f = np.where(t > 216 / 24389, np.cbrt(t), t * (24389 / 27 / 116) + 16 / 116)
    table: Floats32 = f.astype(np.float32)
    table.setflags(write=False)
    return table


def lab32(pixels: Pixels) -> Floats32:
    """Return CIELAB (D50) in float32 of sRGB uint8, shape (..., 3); exact to about 0.01."""
    flat = pixels.reshape(-1, 3)
    lab = np.empty(flat.shape, dtype=np.float32)
    for first in range(0, len(flat), BAND_PX):
        band = slice(first, first + BAND_PX)
        t = _light().take(flat[band]) @ _to_steps()
        f = _roots().take((t + np.float32(0.5)).astype(np.int32), mode="clip")
        lab[band, 0] = 116.0 * f[:, 1] - 16.0
        lab[band, 1] = 500.0 * (f[:, 0] - f[:, 1])
        lab[band, 2] = 200.0 * (f[:, 1] - f[:, 2])
    return lab.reshape(pixels.shape)


def de76(one: Floats32, other: Floats32) -> Floats32:
    """Return CIE76, (...), of two arrays of CIELAB, (..., 3); either may be broadcast."""
    return norm(one - other)


def norm(vectors: Floats32) -> Floats32:
    """Return the length, (...), of vectors of three, (..., 3)."""
    root: Floats32 = np.sqrt(squared_norm(vectors))
    return root


def squared_norm(vectors: Floats32) -> Floats32:
    """Return the square of the length, (...), of vectors of three, (..., 3)."""
    x, y, z = vectors[..., 0], vectors[..., 1], vectors[..., 2]  # five times as quick as a sum
    squared: Floats32 = x * x + y * y + z * z
    return squared
