"""Small pictures for people: thumbnails, tiles repeated, colours as blocks, as PNG bytes."""

from __future__ import annotations

import base64
import math
from io import BytesIO
from typing import Any

import numpy as np
from numpy.typing import NDArray

from patterns.artwork import KEYWORD, WORDS
from patterns.plane import Lattice, reduce_to

Pixels = NDArray[np.uint8]

TALLEST = 6  # a tile's height over its width in a small picture


def picture_bytes(pixels: Pixels, *, dpi: tuple[float, float] | None = None) -> bytes:
    """Return a picture for people as a PNG file that folders of artwork leave out."""
    return png_bytes(pixels, dpi=dpi, words=WORDS)


def png_bytes(pixels: Pixels, *, dpi: tuple[float, float] | None = None, words: str = "") -> bytes:
    """Return pixels (h, w, 3) as a PNG file in sRGB.

    With its physical resolution, and what kitloom says of it, where given.
    """
    from PIL import Image, PngImagePlugin

    out = BytesIO()
    chunks = PngImagePlugin.PngInfo()
    chunks.add(b"sRGB", b"\0")  # rendering intent: perceptual
    if words:
        chunks.add_text(KEYWORD, words)
    extra: dict[str, Any] = {"dpi": dpi} if dpi else {}
    Image.fromarray(np.ascontiguousarray(pixels)).save(out, "PNG", pnginfo=chunks, **extra)
    return out.getvalue()


def jpeg_bytes(pixels: Pixels, *, quality: int = 88) -> bytes:
    """Return pixels (h, w, 3) as a JPEG file; for reports, where size matters."""
    from PIL import Image

    out = BytesIO()
    # optimize=True would save 3 %, but fails on busy pictures that outgrow Pillow's buffer
    Image.fromarray(np.ascontiguousarray(pixels)).save(out, "JPEG", quality=quality, subsampling=0)
    return out.getvalue()


def fair(width_px: int, pictures: int, full_size: int) -> int:
    """Return how wide each of many pictures may be, so that a large kit's report stays small."""
    return max(160, round(width_px * math.sqrt(min(1.0, full_size / pictures))))


def data_uri(content: bytes) -> str:
    """Return a PNG or JPEG file as a data URI, for files that must stand alone."""
    kind = "png" if content.startswith(b"\x89PNG") else "jpeg"
    return f"data:image/{kind};base64,{base64.b64encode(content).decode('ascii')}"


def draw_repeats(pixels: Pixels, lattice: Lattice, *, width_px: int) -> Pixels:
    """Return the tile repeated two by two as its lattice places it, reduced to a width.

    A tile more than ``TALLEST`` times as high as wide is narrower, or it would fill gigabytes.
    Reduced by areas, which do not reach over the tile's edge: no join shows that is not there.
    """
    height, width = pixels.shape[:2]
    tallest = TALLEST * width_px // 2
    cols = max(1, min(width_px // 2, round(tallest * width / height)))
    rows = max(1, min(tallest, round(width_px * height / width / 2)))
    tile = reduce_to(pixels, rows, cols, gap=2.0)
    right = np.roll(tile, round(rows * lattice.drop), axis=0)
    top = np.concatenate([tile, right], axis=1)
    below = np.roll(top, round(cols * lattice.slide), axis=1)
    return np.concatenate([top, below], axis=0)
