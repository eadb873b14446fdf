"""The sheet as pixels: every sticker's artwork, panels, marks and words.

In: a ``Sheet`` and the planes of its patterns. Out: a ``Page``: the raster, sRGB, at the sheet's
resolution, with its words and cuts, and the stickers that it leaves bare. Not done here: cut lines
in it (they are never printed).
"""

from kit.render.flate import deflate_png_rows
from kit.render.ink_map import Unprinted
from kit.render.picture import mix
from kit.render.raster import FRAME_INK, PatternPlane, blend, render_sheet
from kit.render.raster_page import (
    CutPage,
    Page,
    PrinterNumbers,
    render_and_check,
    render_page,
)
from kit.render.ruler import INK as RULER_LEVEL

__all__ = [
    "FRAME_INK",
    "RULER_LEVEL",
    "CutPage",
    "Page",
    "PatternPlane",
    "PrinterNumbers",
    "Unprinted",
    "blend",
    "deflate_png_rows",
    "mix",
    "render_and_check",
    "render_page",
    "render_sheet",
]
