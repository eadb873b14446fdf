"""Stickers as they come off the sheet: their pixels, and how far each covers what lies under it.

In: a sheet, its planes and a scale. Out: a ``CutOut`` for each sticker, whole pixels of the sheet's
own raster, so that nothing is resampled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from kit.compose import Kit
from kit.render import render_page
from kit.shapes import Window, area_coverage, bounding_box, window_touched
from kit.sheet import Placement, Sheet
from palette.arrays import Floats, Pixels
from patterns.units import MM_PER_INCH


@dataclass(frozen=True, eq=False)
class CutOut:
    """One sticker.

    Attributes:
        pixels: (rows, cols, 3) sRGB uint8.
        shares: (rows, cols), 0 to 1: how far it covers each pixel.
        at: row and column of its first pixel on its sheet's raster.
        on_its_side: whether it lies turned by a quarter, clockwise, on its sheet.
    """

    pixels: Pixels
    shares: Floats
    at: tuple[int, int]
    on_its_side: bool = False

    def upright(self) -> CutOut:
        """Return it as it is meant to be read."""
        if not self.on_its_side:
            return self
        return CutOut(np.rot90(self.pixels), np.rot90(self.shares), self.at)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a sticker is found: its sheet and its number on it, with its size in mm, upright."""

    sheet: int
    number: int
    wide_mm: float
    high_mm: float


def different(kit: Kit) -> list[Place]:
    """Return one sticker of each look, in the kit's order: another word alone is no other look."""
    found: dict[object, Place] = {}
    for sheet, spots in enumerate(kit.layout.sheets):
        for number, spot in enumerate(spots):
            placed, choice = kit.sheets[sheet].placements[number], kit.choices[spot.index]
            size = placed.box.width_mm, placed.box.height_mm
            wide, high = reversed(size) if spot.on_its_side else size
            drawing = placed.picture.alpha.tobytes() if placed.picture else b""
            look = (placed.kind, choice, round(wide, 2), round(high, 2), drawing)
            found.setdefault(look, Place(sheet, number, wide, high))
    return list(found.values())


def cut_outs(
    kit: Kit, sheet: int, numbers: list[int], per_mm: float
) -> Iterator[tuple[int, CutOut]]:
    """Yield stickers of a sheet by their number on it, drawn at so many pixels a millimetre."""
    whole = kit.sheets[sheet]
    placements = tuple(whole.placements[number] for number in numbers)
    bare = Sheet(whole.title, whole.width_mm, whole.height_mm, per_mm * MM_PER_INCH, placements)
    for number, one in zip(numbers, _cut(bare, kit), strict=True):
        yield number, replace(one, on_its_side=kit.layout.sheets[sheet][number].on_its_side)


def _cut(sheet: Sheet, kit: Kit) -> Iterator[CutOut]:
    printed = render_page(sheet, kit.planes).printed
    for placement in sheet.placements:
        window = window_of(placement, sheet)
        shares = area_coverage(placement.outline, sheet.dpi, window)
        yield CutOut(printed[window.slices], shares, (window.row, window.col))


def window_of(placement: Placement, sheet: Sheet) -> Window:
    """Return the pixels of the sheet's raster that a sticker touches."""
    return window_touched(bounding_box(placement.outline), sheet.dpi, sheet.raster_px)
