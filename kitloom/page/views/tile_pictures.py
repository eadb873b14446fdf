"""Pictures for the page: tiles repeated, at true size, in print, with their seam.

In: studies, planes, presses. Out: JPEG bytes, always made again from pixels: what was dropped
is never handed back as it came. Those for moving things are coarse and quick: one *cell* of the
lattice, which the browser repeats, sizes and moves by itself.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kitloom.measure import TileStudy
from kitloom.report import draw_repeats, jpeg_bytes
from palette.press import Press
from palette.proof import proof_pixels
from patterns.plane import Lattice, Plane
from patterns.seams import seam_picture
from patterns.units import MM_PER_INCH

Pixels = NDArray[np.uint8]
THUMB_PX, REPEATED_PX, CELL_PX = 176, 560, 420


def thumb(study: TileStudy) -> bytes:
    """Return one tile, small."""
    return jpeg_bytes(_shrink(study.artwork.pixels, THUMB_PX))


def two_by_two(study: TileStudy) -> bytes:
    """Return the tile repeated two by two as its lattice places it."""
    return jpeg_bytes(draw_repeats(study.artwork.pixels, study.lattice, width_px=REPEATED_PX))


def as_large_as(study: TileStudy, pixels: Pixels, lattice: Lattice) -> bytes:
    """Return another tile's repeat over the window and at the scale of ``two_by_two``."""
    old = study.artwork
    plane = Plane(pixels, float(pixels.shape[1]), lattice)  # its own pixels, taken for millimetres
    wide, high = 2.0 * old.width_px, 2.0 * old.height_px
    shape = (max(1, round(REPEATED_PX * high / wide)), REPEATED_PX)
    dpi = REPEATED_PX / wide * MM_PER_INCH
    return jpeg_bytes(plane.sample(0.0, 0.0, wide, high, dpi, shape=shape))


def seam(study: TileStudy) -> bytes:
    """Return the tile with its joins inside and its faults ringed."""
    return jpeg_bytes(seam_picture(study.artwork.pixels, study.check))


def in_print(study: TileStudy, press: Press) -> bytes:
    """Return the tile repeated two by two as it will look on paper."""
    pixels = draw_repeats(study.artwork.pixels, study.lattice, width_px=REPEATED_PX)
    return jpeg_bytes(proof_pixels(pixels, press))


def whole(study: TileStudy) -> bytes:
    """Return the whole tile at a size to click colours in."""
    return jpeg_bytes(_shrink(study.artwork.pixels, REPEATED_PX), quality=92)


def cell(study: TileStudy) -> bytes:
    """Return the smallest picture that repeats straight: one tile, or two where they are moved."""
    return jpeg_bytes(_cell(_shrink(study.artwork.pixels, CELL_PX), study.lattice))


def cell_tiles(lattice: Lattice) -> tuple[int, int]:
    """Return how many tiles a cell holds across and down."""
    return (2 if lattice.drop else 1), (2 if lattice.slide else 1)


def true_size(plane: Plane, width_mm: float, height_mm: float, dpi: float) -> bytes:
    """Return a window of the plane, for a screen of that many pixels an inch."""
    return jpeg_bytes(plane.sample(0.0, 0.0, width_mm, height_mm, dpi), quality=90)


def _shrink(pixels: Pixels, width_px: int) -> Pixels:
    from PIL import Image

    image = Image.fromarray(np.ascontiguousarray(pixels))
    longest = max(image.size)
    if longest <= width_px:
        return pixels
    size = tuple(max(1, round(side * width_px / longest)) for side in image.size)
    small = image.resize((size[0], size[1]), Image.Resampling.LANCZOS, reducing_gap=2.0)
    return np.asarray(small)


def _cell(tile: Pixels, lattice: Lattice) -> Pixels:
    rows, cols = tile.shape[:2]
    if lattice.drop:
        return np.concatenate([tile, np.roll(tile, round(rows * lattice.drop), axis=0)], axis=1)
    if lattice.slide:
        return np.concatenate([tile, np.roll(tile, round(cols * lattice.slide), axis=1)], axis=0)
    return tile
