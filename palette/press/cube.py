"""What does a whole picture look like in print? A press as a cube of colours, for pixels.

A picture has millions of pixels, a press takes microseconds a colour: so the press is asked once
for 33 x 33 x 33 sRGB colours, and Pillow interpolates between them. In and out: sRGB uint8,
(height, width, 3). A cube takes 4 MB; those of the last few presses are cached.

Source: three-dimensional look-up with trilinear interpolation, as in any colour management system.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np

from palette.arrays import Floats, Pixels
from palette.press.protocol import Press
from palette.space import de2000, lab_to_srgb, srgb_to_lab

SIDE = 33
CACHED_PRESSES = 4  # of each kind of cube: a surface or two, a profile, a chart
SHIFT_SCALE = 10.0  # one step of a shift picture is a tenth of a unit


class ColourCube:
    """A table of SIDE x SIDE x SIDE answers, each three numbers 0 to 1, ready for a picture."""

    def __init__(self, answer: Callable[[Floats], Floats]) -> None:
        """Ask for the answers, (n, 3) CIELAB (D50) to (n, 3) numbers 0 to 1, at all nodes."""
        from PIL import ImageFilter

        self._answers = answer(srgb_to_lab(cube_nodes())).reshape(SIDE, SIDE, SIDE, 3)
        self._answers.setflags(write=False)
        # Pillow counts red fastest, the cube is asked with blue fastest
        flat: Any = self._answers.transpose(2, 1, 0, 3).astype(np.float32).reshape(-1)
        self._filter = ImageFilter.Color3DLUT(SIDE, flat)

    def apply(self, pixels: Pixels) -> Pixels:
        """Return the picture, sRGB uint8, looked up colour by colour."""
        from PIL import Image

        image = Image.fromarray(np.ascontiguousarray(pixels)).filter(self._filter)
        return np.asarray(image, dtype=np.uint8)

    def look_up(self, srgb: Floats) -> Floats:
        """Return the same for (n, 3) sRGB colours 0 to 1, without rounding to 8 bits."""
        return look_up(self._answers, srgb)


def look_up(table: Floats, srgb: Floats) -> Floats:
    """Return (n, 3) between a (SIDE, SIDE, SIDE, 3) table's nodes at sRGB colours 0 to 1."""
    from scipy.ndimage import map_coordinates

    at = srgb.T * (SIDE - 1)
    columns = [map_coordinates(table[..., i], at, order=1, mode="nearest") for i in range(3)]
    return np.stack(columns, axis=-1)


@lru_cache(CACHED_PRESSES)
def print_cube(press: Press) -> ColourCube:
    """Return the cube from sRGB to the printed colour, sRGB."""
    return ColourCube(lambda _: lab_to_srgb(_printed(press)))


@lru_cache(CACHED_PRESSES)
def shift_cube(press: Press) -> ColourCube:
    """Return the cube from sRGB to ten times the shift, as a grey."""
    scale = SHIFT_SCALE / 255.0
    return ColourCube(lambda lab: np.repeat(de2000(lab, _printed(press))[:, None] * scale, 3, 1))


@lru_cache(CACHED_PRESSES)
def _printed(press: Press) -> Floats:
    """Return what a press prints at the nodes, which both of its cubes are made from."""
    printed = press.to_print(srgb_to_lab(cube_nodes()))
    printed.setflags(write=False)
    return printed


def cube_nodes() -> Floats:
    """Return the cube's nodes, (SIDE ** 3, 3) sRGB 0 to 1, blue fastest."""
    steps = np.linspace(0.0, 1.0, SIDE)
    nodes = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1)
    return nodes.reshape(-1, 3)
