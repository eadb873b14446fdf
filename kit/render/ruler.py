"""The printed ruler: a maker lays her own beside it and sees whether the printer kept the scale.

In: the raster, a box in millimetres and a caption. Draws a line as long as the box is wide (or, of
the ruler down, high) with a tick each millimetre, longer ones at 5 and 10, the length in figures
behind it, and the caption above the ticks.
Why: a scale error of 0.1 % moves a cut at the far edge of a sheet by over 0.1 mm.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from kit.shapes import Rect
from palette.arrays import Pixels
from patterns.units import MM_PER_INCH

if TYPE_CHECKING:
    from PIL.Image import Image

INK = 64  # dark grey: black ink alone stays crisp
LINE_MM = 0.15
TEXT_MM = 2.2
TICK_MM = {10: 1.8, 5: 1.3, 1: 0.8}  # with words above them as high as the ruler's band


def draw_ruler(raster: Pixels, box: Rect, dpi: float, caption: str) -> None:
    """Draw the ruler into the raster along the bottom of ``box``; ticks point up."""
    per_mm = dpi / MM_PER_INCH
    baseline = box.bottom_mm
    for mm in range(int(box.width_mm + 1e-6) + 1):
        tall = next(tall for step, tall in TICK_MM.items() if mm % step == 0)
        x = box.x_mm + mm
        _bar(raster, Rect(x - LINE_MM / 2, baseline - tall, LINE_MM, tall), per_mm)
    line = Rect(box.x_mm - LINE_MM / 2, baseline - LINE_MM, box.width_mm + LINE_MM, LINE_MM)
    _bar(raster, line, per_mm)
    _write(raster, f"{box.width_mm:g} mm", box.right_mm + 1.0, baseline, per_mm)
    if caption:
        _write(raster, caption, box.x_mm + 1.0, baseline - max(TICK_MM.values()) - 0.4, per_mm)


def draw_ruler_down(raster: Pixels, box: Rect, dpi: float, caption: str) -> None:
    """Draw the ruler into the raster along the left of ``box``; ticks and words point right."""
    wide_mm = raster.shape[1] * MM_PER_INCH / dpi
    # the page turned left, so that what runs down runs across
    turned = Rect(box.y_mm, wide_mm - box.right_mm, box.height_mm, box.width_mm)
    draw_ruler(np.rot90(raster), turned, dpi, caption)


def _bar(raster: Pixels, bar: Rect, per_mm: float) -> None:
    """Fill a rectangle of the ruler, at least a pixel each way; its place is kept to half one."""
    # size first, then place, so that all ticks come out equally wide
    wide, tall = (max(1, round(side * per_mm)) for side in (bar.width_mm, bar.height_mm))
    left = round(bar.centre_mm[0] * per_mm - wide / 2.0)
    top = round(bar.bottom_mm * per_mm) - tall
    raster[max(top, 0) : max(top + tall, 0), max(left, 0) : max(left + wide, 0)] = INK


def _write(raster: Pixels, words: str, x_mm: float, baseline_mm: float, per_mm: float) -> None:
    """Write words with their baseline at ``baseline_mm``, clipped by the raster."""
    picture, above = _picture(words, TEXT_MM * per_mm)
    glyphs = np.asarray(picture, dtype=np.float32)[..., None] / 255.0
    row, col = round(baseline_mm * per_mm) - above, round(x_mm * per_mm)
    if row < 0 or col < 0:
        return
    block = raster[row : row + glyphs.shape[0], col : col + glyphs.shape[1]]
    glyphs = glyphs[: block.shape[0], : block.shape[1]]
    block[...] = np.rint(block * (1.0 - glyphs) + INK * glyphs).astype(np.uint8)


def _picture(words: str, size_px: float) -> tuple[Image, int]:
    """Return words as a grey picture in Pillow's own face, and the rows above their baseline."""
    from PIL import Image, ImageDraw, ImageFont

    face = ImageFont.load_default(max(4.0, size_px))
    box = ImageDraw.Draw(Image.new("L", (1, 1))).textbbox((0, 0), words, font=face, anchor="ls")
    above, below = math.ceil(-box[1]), math.ceil(box[3])
    picture = Image.new("L", (math.ceil(box[2]) + 1, above + below + 1), 0)
    ImageDraw.Draw(picture).text((0, above), words, fill=255, font=face, anchor="ls")
    return picture, above
