"""One motif, lifted from artwork, laid on a ground over and over: an all-over.

In: a motif's pixels, the ground's colour, and how far apart copies lie, in millimetres. Out: an
``AllOver``, a figure. One repeat is laid together once, in the motif's own pixels; a copy goes on
at the other edge, so that nothing is cut and nothing shows where repeats meet. Upright copies are
the motif's pixels as they are, turned ones are sampled once (bicubic). What the printer's pixels
show of it is what they show of a tile (``patterns.plane``). Not done here: lifting the motif.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from palette.arrays import Floats32, Pixels
from palette.space import parse_hex
from patterns.coordinates.cells import Cells
from patterns.plane import Plane
from patterns.plane.linear_light import to_light
from patterns.units import MM_PER_INCH

MOST_PX = 1_200  # a motif's longer side; a larger one is reduced: 50 mm at 600 pixels an inch
COLUMN = math.sqrt(3.0) / 2.0  # of a step, so that a copy's six neighbours are equally far
GOLDEN_DEG = 137.50776405  # of turns by this no two are nearly alike
VISIBLE = 13  # of 255: paler is lost on paper


@dataclass(frozen=True, eq=False)
class AllOver:
    """Copies of one motif in a half-drop.

    Attributes:
        plane: one repeat as a tile.
        centre_mm: the middle of a copy.
        across_mm: the circle that holds a copy, however it is turned.
        dpi: the motif's pixels to the inch.
    """

    plane: Plane = field(repr=False)
    centre_mm: tuple[float, float]
    across_mm: float
    dpi: float

    @property
    def size_mm(self) -> tuple[float, float]:
        """One repeat's width and height."""
        return self.plane.repeat_mm, self.plane.height_mm

    @property
    def narrowest_mm(self) -> float:
        """A copy's width; how fine its own lines are, nothing here knows."""
        return self.across_mm

    def light(self, across: Cells, down: Cells, inks: Floats32) -> Floats32:
        """Return the light of pixels, (rows, columns, 3); the ground's ink is in the tile."""
        del inks
        shape = down.count, across.count
        dpi = MM_PER_INCH / across.pitch_mm
        light: Floats32 = to_light(
            self.plane.sample(across.start_mm, down.start_mm, 1.0, 1.0, dpi, shape=shape)
        )
        return light


def all_over(
    rgba: Pixels, ground: str, step_mm: float, spacing_mm: float, *, tossed: bool = False
) -> AllOver:
    """Return copies of a motif on a ground.

    Args:
        rgba: (rows, columns, 4) sRGB uint8 and alpha, not premultiplied; not all clear.
        ground: sRGB "#rrggbb".
        step_mm: from one copy's middle to the next one's in its column.
        spacing_mm: how much ground is between them at least; less than the step.
        tossed: whether each of the eight copies in a repeat is turned another way; else there are
            two, both upright.
    """
    motif = _centred(rgba)
    radius_px = _radius_px(motif)
    mm_per_px = (step_mm - spacing_mm) / (2.0 * radius_px)
    columns, rows = (4, 2) if tossed else (2, 1)
    wide_mm, high_mm = columns * COLUMN * step_mm, rows * step_mm
    shape = max(1, round(high_mm / mm_per_px)), max(1, round(wide_mm / mm_per_px))
    tile = np.broadcast_to(np.array(parse_hex(ground), np.uint8), (*shape, 3)).copy()
    middles = [
        ((i + 0.5 + (j % 2) / 2.0) / rows, (j + 0.5) / columns) for j, i in _cells(columns, rows)
    ]
    for number, (down, across) in enumerate(middles):
        turned = _turned(motif, number * GOLDEN_DEG) if tossed else motif
        _lay(tile, turned, down * shape[0], across * shape[1])
    plane = Plane(tile, wide_mm)
    centre = wide_mm * middles[0][1], plane.height_mm * middles[0][0]
    return AllOver(plane, centre, step_mm - spacing_mm, MM_PER_INCH / mm_per_px)


def _cells(columns: int, rows: int) -> list[tuple[int, int]]:
    return [(j, i) for j in range(columns) for i in range(rows)]


def _centred(rgba: Pixels) -> Pixels:
    """Return a motif of at most ``MOST_PX``, its sides odd, so that a pixel is its middle."""
    from PIL import Image

    high, wide = rgba.shape[:2]
    scale = min(1.0, MOST_PX / max(high, wide))
    if scale < 1.0:
        size = max(1, round(wide * scale)), max(1, round(high * scale))
        rgba = np.asarray(Image.fromarray(rgba).resize(size, Image.Resampling.BOX))
    high, wide = rgba.shape[:2]
    return np.pad(rgba, ((0, 1 - high % 2), (0, 1 - wide % 2), (0, 0)))


def _radius_px(rgba: Pixels) -> float:
    """Return how far from the middle anything of it can be seen."""
    seen = np.argwhere(rgba[..., 3] >= VISIBLE) - (np.array(rgba.shape[:2]) - 1) / 2.0
    return float(np.hypot(*seen.T).max()) + 0.5


def _turned(rgba: Pixels, angle_deg: float) -> Pixels:
    from PIL import Image

    picture = Image.fromarray(rgba)
    side = math.ceil(math.hypot(*picture.size)) | 1
    square = Image.new("RGBA", (side, side))
    square.paste(picture, ((side - picture.width) // 2, (side - picture.height) // 2))
    return np.asarray(square.rotate(angle_deg, Image.Resampling.BICUBIC))


def _lay(tile: Pixels, rgba: Pixels, row: float, column: float) -> None:
    """Lay a motif on a tile with its middle at a place, going on at the other edges."""
    high, wide = rgba.shape[:2]
    rows = (np.arange(high) + math.floor(row) - high // 2) % tile.shape[0]
    columns = (np.arange(wide) + math.floor(column) - wide // 2) % tile.shape[1]
    # a clear margin may be wider than the tile; what can be seen is not
    inside = rgba[..., 3] > 0
    y, x = np.nonzero(inside)
    share = rgba[y, x, 3, None].astype(np.float64) / 255.0
    under = tile[rows[y], columns[x]].astype(np.float64)
    tile[rows[y], columns[x]] = np.rint(under + share * (rgba[y, x, :3] - under)).astype(np.uint8)
