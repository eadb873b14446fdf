"""A coordinate as a plane without end: a drawn figure in colours, sampled like a tile.

In: a figure in millimetres and the colours of its inks. Out: printer pixels of any window, sRGB
uint8. Nothing is drawn in between at another resolution: each pixel shows the exact mean of the
light in its area, as a tile's does (``patterns.plane.linear_light``). Turned by other than quarter
turns, stripes and cloth are as exact; of other figures a pixel is then the mean of ``FINER`` x
``FINER`` parts, each of them exact but upright.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from palette.arrays import Floats32, Pixels
from palette.space import parse_hex
from patterns.coordinates.cells import Cells
from patterns.coordinates.weave import Weave
from patterns.plane import STRAIGHT, Lattice, Plane, to_srgb8
from patterns.plane.linear_light import to_light
from patterns.units import MM_PER_INCH

FINER = 4  # turning: parts of a printer pixel along each side
BAND_ROWS = 128  # as much is drawn at a time, which stays in the processor's cache
BLOCK_PX = 96  # turning: likewise, along each side


class Figure(Protocol):
    """What is drawn: shapes in inks that repeat, in millimetres from 0, 0."""

    @property
    def size_mm(self) -> tuple[float, float]:
        """One repeat's width and height."""
        ...

    @property
    def centre_mm(self) -> tuple[float, float]:
        """A point about which it looks the same on both sides, or a gradient's middle."""
        ...

    @property
    def narrowest_mm(self) -> float:
        """The width of the finest thing in it."""
        ...

    def light(self, across: Cells, down: Cells, inks: Floats32) -> Floats32:
        """Return the mean light in each pixel, (rows, columns, 3), of inks (n, 3)."""
        ...


@dataclass(frozen=True)
class Coordinate:
    """A drawn pattern that goes with bought ones.

    Attributes:
        figure: what is drawn.
        colours: of its inks in turn, sRGB "#rrggbb".
        turn_deg: by how much it is turned about 0, 0, clockwise.
        scale: how large it is drawn, about 0, 0; 1 is the figure's own size.
    """

    figure: Figure
    colours: tuple[str, ...]
    turn_deg: float = 0.0
    scale: float = 1.0

    @property
    def repeat_mm(self) -> float:
        """One repeat's width on paper."""
        return self.figure.size_mm[0] * self.scale

    @property
    def height_mm(self) -> float:
        """One repeat's height on paper."""
        return self.figure.size_mm[1] * self.scale

    @property
    def lattice(self) -> Lattice:
        """How its repeats sit beside each other: straight, whatever is in them."""
        return STRAIGHT

    def sample(
        self,
        x_mm: float,
        y_mm: float,
        width_mm: float,
        height_mm: float,
        dpi: float,
        *,
        shape: tuple[int, int] | None = None,
    ) -> Pixels:
        """Return the printer pixels of a window, (rows, columns, 3) sRGB uint8.

        Args:
            x_mm: left edge of the window.
            y_mm: its top edge.
            width_mm: its width; the window has as many whole pixels as are nearest to it.
            height_mm: its height, likewise.
            dpi: printer pixels to the inch.
            shape: (rows, columns) to use instead of the nearest whole numbers.
        """
        pixel_mm = MM_PER_INCH / dpi
        rows, columns = shape or (
            max(1, round(height_mm / pixel_mm)),
            max(1, round(width_mm / pixel_mm)),
        )
        # a figure drawn larger is its own figure under smaller pixels
        x_mm, y_mm, pixel_mm = (one / self.scale for one in (x_mm, y_mm, pixel_mm))
        quarters = self.turn_deg / 90.0
        if quarters % 1.0:
            return self._turned(x_mm, y_mm, pixel_mm, rows, columns)
        turns = int(quarters) % 4
        # the window's far edge after each quarter turn becomes its near one
        for _ in range(turns):
            x_mm, y_mm, rows, columns = y_mm, -x_mm - columns * pixel_mm, columns, rows
        upright = self._upright(Cells(x_mm, pixel_mm, columns), Cells(y_mm, pixel_mm, rows))
        return np.ascontiguousarray(np.rot90(upright, -turns))

    def one_tile(self, rows: int, columns: int, *, repeats: tuple[int, int] = (1, 1)) -> Pixels:
        """Return exactly one repeat, not turned, as that many pixels, (rows, columns, 3).

        Or as many whole repeats across and down as are asked for.
        """
        wide, high = (n * mm for n, mm in zip(repeats, self.figure.size_mm, strict=True))
        return self._upright(Cells(0.0, wide / columns, columns), Cells(0.0, high / rows, rows))

    def _upright(self, across: Cells, down: Cells) -> Pixels:
        """Return pixels, not turned, drawn some rows at a time, which stay in the processor."""
        out = np.empty((down.count, across.count, 3), np.uint8)
        for top in range(0, down.count, BAND_ROWS):
            band = out[top : top + BAND_ROWS]
            rows = Cells(down.start_mm + top * down.pitch_mm, down.pitch_mm, len(band))
            band[...] = to_srgb8(self._light(across, rows))
        return out

    def _light(self, across: Cells, down: Cells) -> Floats32:
        return self.figure.light(across, down, self._inks())

    def _inks(self) -> Floats32:
        return to_light(np.array([parse_hex(one) for one in self.colours], dtype=np.uint8))

    def _turned(self, x_mm: float, y_mm: float, pixel_mm: float, rows: int, columns: int) -> Pixels:
        out = np.empty((rows, columns, 3), np.uint8)
        for top in range(0, rows, BLOCK_PX):
            for left in range(0, columns, BLOCK_PX):
                block = out[top : top + BLOCK_PX, left : left + BLOCK_PX]
                corner = x_mm + left * pixel_mm, y_mm + top * pixel_mm
                block[...] = to_srgb8(self._turned_block(*corner, pixel_mm, *block.shape[:2]))
        return out

    def _turned_block(
        self, x_mm: float, y_mm: float, pixel_mm: float, rows: int, columns: int
    ) -> Floats32:
        angle = math.radians(self.turn_deg)
        if isinstance(self.figure, Weave) and self.figure.adds_up:
            across, down = Cells(x_mm, pixel_mm, columns), Cells(y_mm, pixel_mm, rows)
            return self.figure.turned_light(across, down, angle, self._inks())
        return self._light_of_parts(x_mm, y_mm, pixel_mm, rows, columns)

    def _light_of_parts(
        self, x_mm: float, y_mm: float, pixel_mm: float, rows: int, columns: int
    ) -> Floats32:
        """Return the mean light of the upright parts at the middles of each turned pixel's."""
        fine_mm = pixel_mm / FINER
        angle = math.radians(self.turn_deg)
        cos, sin = math.cos(angle), math.sin(angle)
        x = (x_mm + (np.arange(columns) + 0.5 / FINER) * pixel_mm) / fine_mm
        y = (y_mm + (np.arange(rows)[:, None] + 0.5 / FINER) * pixel_mm) / fine_mm
        along, below = x * cos + y * sin, y * cos - x * sin
        reach = 2 * FINER
        left, top = math.floor(along.min()) - reach, math.floor(below.min()) - reach
        wide = math.ceil(along.max()) + reach - left
        high = math.ceil(below.max()) + reach - top
        across, down = Cells(left * fine_mm, fine_mm, wide), Cells(top * fine_mm, fine_mm, high)
        parts = self._light(across, down).reshape(-1, 3)
        light: Floats32 = np.zeros((rows, columns, 3), np.float32)
        for j in range(FINER):
            for i in range(FINER):
                column = (along + (i * cos + j * sin) - left).astype(np.intp)
                row = (below + (j * cos - i * sin) - top).astype(np.intp)
                light += parts.take(row * wide + column, axis=0)
        return light / np.float32(FINER**2)


AnyPlane = Plane | Coordinate  # what a sticker may show
