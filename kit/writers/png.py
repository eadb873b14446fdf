"""The page as a picture: at print resolution for other programs, and a small preview for people.

``print_png`` is what the print PDF shows, letters as pixels too, with its physical resolution set
(pHYs) and marked as sRGB, or as nothing where it is in the printer's own numbers. ``preview_png``
shows the stickers as they come off the sheet: cut to their outlines, with a soft shadow on pale
backing paper, about ``PREVIEW_DPI``; page size kept, no cut lines. Chunks are those of the PNG
recommendation (W3C, third edition).
"""

from __future__ import annotations

import struct
import zlib
from typing import TYPE_CHECKING

import numpy as np

from kit.render import Page, deflate_png_rows
from kit.shapes import area_coverage, bounding_box, window_touched
from kit.sheet import Sheet
from patterns.artwork import KEYWORD, WORDS
from patterns.plane import reduce_blocks
from patterns.units import MM_PER_INCH

if TYPE_CHECKING:
    from PIL.Image import Image

PREVIEW_DPI = 120.0
BACKING = (238, 236, 231)  # the pale, warm grey of siliconised backing paper
SHADOW_MM, SHADOW_DOWN_MM, SHADOW_DEPTH = 0.7, 0.5, 0.34


def print_png(page: Page) -> bytes:
    """Return the print raster as a PNG with its resolution in pixels per metre.

    It lies on the cut lines as it is, whatever ``print_scale`` says: a machine that reads the marks
    of its own program's print makes up for the print's size itself.
    """
    rows, cols = page.sheet.raster_px
    stream = page.sent_printed_flate
    return png_file(rows, cols, stream, page.sheet.dpi, srgb=page.printer is None)


def preview_png(page: Page) -> bytes:
    """Return the preview; one pixel of it is a whole number of print pixels."""
    step = max(1, round(page.sheet.dpi / PREVIEW_DPI))
    shown = np.asarray(preview(page, step))
    return png_file(shown.shape[0], shown.shape[1], deflate_png_rows(shown), page.sheet.dpi / step)


def png_file(rows: int, cols: int, stream: bytes, dpi: float, *, srgb: bool = True) -> bytes:
    """Return an 8-bit RGB PNG around a zlib stream of filtered rows; ``srgb`` says it is that."""
    per_metre = round(dpi / MM_PER_INCH * 1000.0)
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", struct.pack(">2I5B", cols, rows, 8, 2, 0, 0, 0)),
            _chunk(b"sRGB", b"\0") if srgb else b"",  # rendering intent: perceptual
            _chunk(b"tEXt", f"{KEYWORD}\0{WORDS}".encode("latin-1")),  # a sheet is not artwork
            _chunk(b"pHYs", struct.pack(">2IB", per_metre, per_metre, 1)),
            _chunk(b"IDAT", stream),
            _chunk(b"IEND", b""),
        )
    )


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def preview(page: Page, step: int) -> Image:
    """Return the stickers on backing paper, every pixel the mean of step x step print pixels."""
    from PIL import Image

    small = Image.fromarray(reduce_blocks(page.printed, step))
    dpi = page.sheet.dpi / step
    stickers = _stickers(page.sheet, (small.height, small.width), dpi)
    return Image.composite(small, _backing(stickers, dpi), stickers)


def _stickers(sheet: Sheet, size: tuple[int, int], dpi: float) -> Image:
    """Return a grey picture, white inside the cut lines."""
    from PIL import Image

    shares = np.zeros(size, dtype=np.uint8)
    for placement in sheet.placements:
        window = window_touched(bounding_box(placement.outline), dpi, size)
        inside = np.rint(area_coverage(placement.outline, dpi, window) * 255.0).astype(np.uint8)
        np.maximum(shares[window.slices], inside, out=shares[window.slices])
    return Image.fromarray(shares)


def _backing(stickers: Image, dpi: float) -> Image:
    """Return the backing paper with the stickers' shadow: their shape, lower down and blurred."""
    from PIL import Image, ImageChops, ImageFilter

    per_mm = dpi / MM_PER_INCH
    blurred = stickers.filter(ImageFilter.GaussianBlur(SHADOW_MM * per_mm))
    shadow = ImageChops.offset(blurred, 0, round(SHADOW_DOWN_MM * per_mm))
    bands = [
        shadow.point([round(paper * (1.0 - SHADOW_DEPTH * depth / 255.0)) for depth in range(256)])
        for paper in BACKING
    ]
    return Image.merge("RGB", bands)
