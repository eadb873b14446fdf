"""What is printed at this place of the paper? A tile as a plane without end, in millimetres.

In: a tile's pixels, the repeat (width of one tile on paper), how tiles sit beside each other, and
by how much the pattern is turned. Out: printer pixels of any window of the plane, sRGB uint8. The
corner of one tile is at 0, 0; x runs to the right, y down.

Printer pixel i of a window has its centre at exactly x_mm + (i + 1/2) x 25.4 / dpi. Nothing is
rounded to tile or printer pixels, so a repeat of 17.3 mm is 17.3 mm at the far edge of the sheet
too. What a printer pixel shows, ``patterns.plane.resample`` says where it is larger than a tile
pixel, and ``patterns.plane.enlargement`` where it is smaller.

A tile with much more detail than the printer has is first cut into cells of at least a third of
a printer pixel, once for all windows. Windows of one plane asked for in a row share that work.
Not done here: choosing a repeat, reading files.
"""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass, field

import numpy as np

from palette.arrays import Floats32, Pixels
from patterns.artwork_error import ArtworkError
from patterns.plane.array_cache import ArrayCache
from patterns.plane.enlargement import enlarge
from patterns.plane.lattice import STRAIGHT, Lattice
from patterns.plane.linear_light import to_light, to_srgb8
from patterns.plane.reduction import reduce_light
from patterns.plane.resample import Axis, resample
from patterns.plane.spill import release_memory
from patterns.units import MM_PER_INCH

CELLS_PER_PRINTER_PIXEL = 3
FINER = 0.75  # turning: of a printer pixel; finer aliases, coarser blurs
TILE_LIGHT = ArrayCache(24 * 2**20)  # of tiles, kept between windows


@dataclass(frozen=True, eq=False)
class Plane:
    """A tile repeated without end.

    Attributes:
        pixels: (height, width, 3) sRGB uint8, one tile.
        repeat_mm: width of one tile on paper.
        lattice: how tiles sit beside each other.
        turn_deg: by how much the pattern is turned about 0, 0, clockwise.
    """

    pixels: Pixels
    repeat_mm: float
    lattice: Lattice = STRAIGHT
    turn_deg: float = 0.0
    _key: Hashable = field(default_factory=object, init=False, repr=False)

    def __post_init__(self) -> None:
        """Refuse what has no plane, and keep the tile from being changed under way.

        Raises:
            ArtworkError: the repeat is not a positive length, or the tile is not (h, w, 3) uint8.
        """
        if not (math.isfinite(self.repeat_mm) and self.repeat_mm > 0.0):
            raise ArtworkError(
                f"{self.repeat_mm} mm is not a repeat",
                where="repeat",
                remedy="Give the width of one tile on paper, above 0 mm.",
            )
        if self.pixels.ndim != 3 or self.pixels.shape[2] != 3 or not self.pixels.size:
            raise ArtworkError(
                f"a tile of shape {self.pixels.shape} has no colours",
                where="tile",
                remedy="Give rows, columns and three colour channels.",
            )
        view = self.pixels.view()
        view.setflags(write=False)
        object.__setattr__(self, "pixels", view)

    @property
    def height_mm(self) -> float:
        """Height of one tile on paper; it follows the tile's proportions."""
        return float(self.repeat_mm * self.pixels.shape[0] / self.pixels.shape[1])

    @property
    def effective_dpi(self) -> float:
        """Tile pixels to the inch at this repeat."""
        return float(self.pixels.shape[1] * MM_PER_INCH / self.repeat_mm)

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
        rows, columns = shape or (
            max(1, round(height_mm * dpi / MM_PER_INCH)),
            max(1, round(width_mm * dpi / MM_PER_INCH)),
        )
        pixels = self._sample((x_mm, y_mm), (rows, columns), MM_PER_INCH / dpi)
        release_memory(self.pixels)
        return pixels

    def _sample(
        self, corner_mm: tuple[float, float], shape: tuple[int, int], pixel_mm: float
    ) -> Pixels:
        (x_mm, y_mm), (rows, columns) = corner_mm, shape
        quarters = self.turn_deg / 90.0
        if quarters % 1.0:
            return self._turn(x_mm, y_mm, pixel_mm, rows, columns)
        turns = int(quarters) % 4
        # the window's far edge after each quarter turn becomes its near one
        for _ in range(turns):
            x_mm, y_mm, rows, columns = y_mm, -x_mm - columns * pixel_mm, columns, rows
        return np.ascontiguousarray(
            np.rot90(self._upright(x_mm, y_mm, (pixel_mm, pixel_mm), rows, columns), -turns)
        )

    def one_tile(self, rows: int, columns: int) -> Pixels:
        """Return exactly one tile, not turned, as that many pixels, (rows, columns, 3)."""
        pixel_mm = self.repeat_mm / columns, self.height_mm / rows
        return np.ascontiguousarray(self._upright(0.0, 0.0, pixel_mm, rows, columns))

    def _upright(
        self, x_mm: float, y_mm: float, pixel_mm: tuple[float, float], rows: int, columns: int
    ) -> Pixels:
        """Sample without turning; printer pixels may differ in width and height."""
        height, width = self.pixels.shape[:2]
        pitch_x = pixel_mm[0] * width / self.repeat_mm
        pitch_y = pixel_mm[1] * height / self.height_mm
        across = Axis(width, x_mm / pixel_mm[0] * pitch_x, pitch_x, columns)
        down = Axis(height, y_mm / pixel_mm[1] * pitch_y, pitch_y, rows)
        if self.lattice.drop:  # odd tiles along x are moved along y: x comes first
            return self._draw(across, down, self.lattice.drop, swap=True).transpose(1, 0, 2)
        return self._draw(down, across, self.lattice.slide, swap=False)

    def _draw(self, first: Axis, second: Axis, shift: float, *, swap: bool) -> Pixels:
        rows, columns = _coarse_cells(first), _coarse_cells(second)
        if (rows, columns) == (first.cells, second.cells):
            tile = TILE_LIGHT.get((self._key, "swapped"), self._swap) if swap else self.pixels
            draw = enlarge if max(first.pitch, second.pitch) < 1.0 else resample
            return to_srgb8(draw(tile, first, second, shift * columns))
        coarse = TILE_LIGHT.get(
            (self._key, rows, columns, swap), lambda: self._coarse(rows, columns, swap=swap)
        )
        first, second = first.coarser(rows), second.coarser(columns)
        return to_srgb8(resample(coarse, first, second, shift * columns))

    def _swap(self) -> Pixels:
        return np.ascontiguousarray(self.pixels.transpose(1, 0, 2))

    def _coarse(self, first: int, second: int, *, swap: bool) -> Floats32:
        if not swap:
            return reduce_light(self.pixels, first, second)
        return np.ascontiguousarray(reduce_light(self.pixels, second, first).transpose(1, 0, 2))

    def _turn(self, x_mm: float, y_mm: float, pixel_mm: float, rows: int, columns: int) -> Pixels:
        """Interpolate at each printer pixel's own place in an upright window about them all."""
        from scipy.ndimage import map_coordinates

        angle = math.radians(self.turn_deg)
        x = x_mm + (np.arange(columns) + 0.5) * pixel_mm
        y = y_mm + (np.arange(rows)[:, None] + 0.5) * pixel_mm
        fine_mm = FINER * pixel_mm
        along = (x * math.cos(angle) + y * math.sin(angle)) / fine_mm
        down = (y * math.cos(angle) - x * math.sin(angle)) / fine_mm
        left, top = math.floor(along.min()) - 1, math.floor(down.min()) - 1
        size = math.ceil(down.max()) - top + 2, math.ceil(along.max()) - left + 2
        upright = self._upright(left * fine_mm, top * fine_mm, (fine_mm, fine_mm), *size)
        light = to_light(upright)
        place = np.stack([down - top - 0.5, along - left - 0.5])
        channels = [
            map_coordinates(light[..., i], place, order=1, mode="nearest") for i in range(3)
        ]
        return to_srgb8(np.stack(channels, axis=-1))


def _coarse_cells(axis: Axis) -> int:
    """Return into how many cells an axis may be cut without loss that the printer could show."""
    together = int(axis.pitch / CELLS_PER_PRINTER_PIXEL)
    return axis.cells if together < 2 else math.ceil(axis.cells / together)
