"""Words on the colour chart, straight into its raster.

In: a raster, words, the point of their baseline in millimetres and their em. The face is the one
that stickers are lettered in (``kit.letters.typeface``), in its regular and its bold weight, set by
Pillow.

Not done here: fitting words to a place; what they say (the front door passes it in).
"""

from __future__ import annotations

import math
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, Literal

import numpy as np

from kit.letters import font_bytes
from palette.arrays import Pixels
from patterns.units import MM_PER_INCH

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont

Anchor = Literal["left", "middle", "right"]

INK = 38  # the dark grey of lettered stickers
SOFT = 110


def write_words(
    raster: Pixels,
    words: str,
    at_mm: tuple[float, float],
    size_mm: float,
    dpi: float,
    *,
    anchor: Anchor = "left",
    bold: bool = False,
    grey: int = INK,
) -> None:
    """Write one line with its baseline at a point; what leaves the raster is cut off."""
    from PIL import Image, ImageDraw

    per_mm = dpi / MM_PER_INCH
    face = _face(bold, round(size_mm * per_mm))
    left, top, right, bottom = face.getbbox(words, anchor="ls")
    above, wide = math.ceil(-top) + 1, math.ceil(right) + 2
    picture = Image.new("L", (wide, above + math.ceil(bottom) + 2), 0)
    ImageDraw.Draw(picture).text((0, above), words, fill=255, font=face, anchor="ls")
    share = np.asarray(picture, dtype=np.float32)[..., None] / 255.0
    back = {"left": 0.0, "middle": (right + left) / 2.0, "right": float(right)}[anchor]
    row, col = round(at_mm[1] * per_mm) - above, round(at_mm[0] * per_mm - back)
    share = share[max(-row, 0) :, max(-col, 0) :]
    row, col = max(row, 0), max(col, 0)
    block = raster[row : row + share.shape[0], col : col + share.shape[1]]
    share = share[: block.shape[0], : block.shape[1]]
    block[...] = np.rint(block * (1.0 - share) + grey * share).astype(np.uint8)


def wrap(words: str, width_mm: float, size_mm: float) -> list[str]:
    """Return the words as lines that are not wider than a width."""
    face = _face(bold=False, size_px=100)
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and face.getlength(longer) / 100.0 * size_mm > width_mm:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


@cache
def _face(bold: bool, size_px: int) -> FreeTypeFont:
    from PIL import ImageFont

    data = font_bytes("Bold" if bold else "Regular")
    return ImageFont.truetype(BytesIO(data), max(4, size_px))
