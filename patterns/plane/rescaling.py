"""One tile at the size it will be printed, as a new tile that repeats.

In: a tile's pixels, the repeat in millimetres, the resolution wanted. Out: a tile of whole pixels,
with the resolution that makes its repeat exact (a whole number of pixels at exactly 300 dpi is
hardly ever exactly the repeat), and how much detail the artwork holds at that size.

The same sampling as the sheet's (``patterns.plane.resample``): the tile wraps, so nothing shows at
its joins that was not there before. Not done here: naming the resolution in a file.
"""

from __future__ import annotations

from dataclasses import dataclass

from palette.arrays import Pixels
from patterns.artwork_error import ArtworkError
from patterns.plane.lattice import STRAIGHT, Lattice
from patterns.plane.periodic import Plane
from patterns.units import MM_PER_INCH

MAX_SIDE_PX = 12_000


@dataclass(frozen=True, slots=True)
class RescaledTile:
    """A tile brought to a physical repeat.

    Attributes:
        pixels: (height, width, 3) sRGB uint8, one tile.
        dpi_x: the resolution at which its width is the repeat.
        dpi_y: the resolution at which its height keeps the artwork's proportions.
        effective_dpi: pixels to the inch that the artwork itself has at this repeat.
    """

    pixels: Pixels
    dpi_x: float
    dpi_y: float
    effective_dpi: float


def rescale(
    pixels: Pixels, repeat_mm: float, dpi: float, lattice: Lattice = STRAIGHT
) -> RescaledTile:
    """Bring a tile to a repeat at a resolution.

    Args:
        pixels: (height, width, 3) sRGB uint8, one tile.
        repeat_mm: width of one tile on paper.
        dpi: printer pixels to the inch.
        lattice: how tiles sit beside each other; a staggered one gets an even number of pixels
            along the side by half of which its tiles are moved, so that it stays staggered.

    Raises:
        ArtworkError: the repeat is not a positive length, or the tile would have over 12,000 px
            a side.
    """
    plane = Plane(pixels, repeat_mm, lattice)
    columns = _whole(repeat_mm * dpi / MM_PER_INCH, even=bool(lattice.slide))
    rows = _whole(plane.height_mm * dpi / MM_PER_INCH, even=bool(lattice.drop))
    tile = plane.one_tile(rows, columns)
    return RescaledTile(
        pixels=tile,
        dpi_x=columns * MM_PER_INCH / repeat_mm,
        dpi_y=rows * MM_PER_INCH / plane.height_mm,
        effective_dpi=plane.effective_dpi,
    )


def _whole(size_px: float, *, even: bool) -> int:
    step = 2 if even else 1
    whole = max(step, step * round(size_px / step))
    if whole > MAX_SIDE_PX:
        raise ArtworkError(
            f"a tile of {whole} px a side is more than {MAX_SIDE_PX} px",
            where="repeat",
            remedy="Choose a smaller repeat or a lower dpi.",
        )
    return whole
