"""How much light does paper give back? sRGB pixels as linear light, and back to sRGB.

In: sRGB uint8, shape (rows, columns, 3). Out: linear light as float32, 0 to 65535, of the same
shape, and back.

Colours are mixed as light wherever artwork is made smaller or larger. Reflectance adds linearly on
paper: a printer pixel half covered by a black line gives back half the light, which is sRGB 188,
not the 128 that a mean of the stored numbers gives. Mixing the stored numbers makes thin dark lines
bolder and thin light lines on dark ground fainter than drawn. No negative weights are left
standing, so the known price of linear light, dark halos about light lines, is not paid.

Source: IEC 61966-2-1 by way of ``palette.space.lab``. Not done here: colour under another white.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Floats, Floats32, Pixels
from palette.space import compand, linear

MANY = 2**14
FULL = 65535.0  # light of white; fine enough that 1/255 of sRGB near black is 20 steps


@cache
def _light_of_code() -> Floats32:
    table = (linear(np.arange(256) / 255.0) * FULL).astype(np.float32)
    table.setflags(write=False)
    return table


@cache
def _code_of_light() -> Pixels:
    levels = np.arange(int(FULL) + 1) / FULL
    table = np.rint(compand(levels) * 255.0).astype(np.uint8)
    table.setflags(write=False)
    return table


@lru_cache(maxsize=16)
def _light_of_pair(weight: float) -> Floats:
    """Return the weighted light of two codes at once, two float32 in the place of a float64."""
    table = _light_of_code() * np.float32(weight)
    pair = np.arange(2**16, dtype=np.uint16).view(np.uint8).reshape(-1, 2)
    both: Floats = table.take(pair).view(np.float64).ravel()
    both.setflags(write=False)
    return both


def to_light(pixels: NDArray[Any], weight: float = 1.0) -> Floats32:
    """Return linear light, 0 to ``FULL``, of sRGB uint8 of any shape, times a weight.

    Many codes are looked up two at a time, which takes half as long.
    """
    if pixels.size < MANY or pixels.size % 2 or not pixels.flags.c_contiguous:
        light = _light_of_code().take(pixels)
        return light if weight == 1.0 else light * np.float32(weight)
    pairs = pixels.reshape(-1).view(np.uint16)
    both = _light_of_pair(weight).take(pairs, mode="clip")  # quicker than to raise; none is outside
    return both.view(np.float32).reshape(pixels.shape)


def to_srgb8(light: Floats32) -> Pixels:
    """Return sRGB uint8 of linear light of any shape; values outside 0 to ``FULL`` are clipped."""
    level = np.clip(light + np.float32(0.5), np.float32(0.0), np.float32(FULL))
    codes: Pixels = _code_of_light().take(level.astype(np.uint16))
    return codes
