"""Pictures of what printing does to a tile: before and after, where it shifts, what is too thin.

In: pixels and a press. Out: pixels, for PNG files and the report. The paper's white is around
them, because a colour is only seen against its paper.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from palette.press import Press
from palette.proof import ThinStroke, proof_pixels, shift_map
from patterns.plane import reduce_to

Pixels = NDArray[np.uint8]

GAP_PX = 24
_INK = (47, 51, 54)
_RING = (15, 92, 92)
_VISIBLE, _STRONG = 3.0, 6.0
# a tile's grey under them; ochre for what moves visibly, brick for what moves strongly
_OCHRE, _BRICK = (226, 170, 60), (176, 74, 40)


def before_after_print(pixels: Pixels, press: Press) -> Pixels:
    """Return the tile as it is seen, and beside it as it prints, on white."""
    return side_by_side([pixels, proof_pixels(pixels, press)])


def before_after_repair(pixels: Pixels, repaired: Pixels, press: Press) -> Pixels:
    """Return four labelled pictures: a tile and its repair, each on screen and in print."""
    told = {
        "screen": pixels,
        "plain print": proof_pixels(pixels, press),
        "repaired file": repaired,
        "repaired, in print": proof_pixels(repaired, press),
    }
    return add_labels(side_by_side(list(told.values())), list(told), pixels.shape[1])


def add_labels(row: Pixels, words: Sequence[str], width_px: int) -> Pixels:
    """Return pictures of one width beside each other with a line of words above each.

    Args:
        row: what ``side_by_side`` made of them.
        words: one text a picture.
        width_px: how wide each picture is.
    """
    from PIL import Image, ImageDraw, ImageFont

    # as large as the longest text allows, and never out of proportion to the picture
    size = max(8.0, min(width_px / 12.0, 48.0))
    face = ImageFont.load_default(size)
    high = round(1.6 * size)
    sheet = Image.new("RGB", (row.shape[1], row.shape[0] + high), "white")
    sheet.paste(Image.fromarray(row), (0, high))
    pen = ImageDraw.Draw(sheet)
    for place, text in enumerate(words):
        at = GAP_PX + place * (width_px + GAP_PX)
        pen.text((at, GAP_PX / 2 + high), text, fill=_INK, font=face, anchor="ls")
    return np.asarray(sheet)


def where_it_shifts(pixels: Pixels, press: Press) -> Pixels:
    """Return the tile in grey with what moves over 3 in ochre and over 6 in brick (CIEDE2000)."""
    shift = shift_map(pixels, press)
    grey = pixels.mean(axis=2, keepdims=True) * 0.35 + 255.0 * 0.65
    shown = np.repeat(grey, 3, axis=2)
    shown[shift >= _VISIBLE] = _OCHRE
    shown[shift >= _STRONG] = _BRICK
    rounded: Pixels = np.rint(shown).astype(np.uint8)
    return rounded


def thin_ring(pixels: Pixels, strokes: Sequence[ThinStroke], width_px: int | None = None) -> Pixels:
    """Return the tile, paler, with a ring on every stroke that is too thin, where it shows most.

    Args:
        pixels: the tile.
        strokes: its thin strokes.
        width_px: how wide the picture is to be; None for as wide as the tile.
    """
    from PIL import Image, ImageDraw

    scale = 1.0 if width_px is None else min(1.0, width_px / pixels.shape[1])
    side = (round(pixels.shape[1] * scale), max(1, round(pixels.shape[0] * scale)))
    small = pixels if scale == 1.0 else reduce_to(pixels, side[1], side[0], gap=2.0)
    picture = Image.fromarray(np.ascontiguousarray(small))
    picture = Image.blend(picture, Image.new("RGB", side, "white"), 0.3)
    pen = ImageDraw.Draw(picture)
    radius, width = max(12, side[0] // 30), max(2, side[0] // 230)
    for x, y in _apart([(s.at_px[0] * scale, s.at_px[1] * scale) for s in strokes], 1.5 * radius):
        for reach, tone, line in ((radius + width, "white", 3 * width), (radius, _RING, width)):
            pen.ellipse((x - reach, y - reach, x + reach, y + reach), outline=tone, width=line)
    return np.asarray(picture)


Point = tuple[float, float]


def _apart(points: Sequence[Point], least_px: float) -> list[Point]:
    """Points without those near an earlier one, so that rings do not crowd."""
    kept: list[Point] = []
    for x, y in points:
        if all(math.hypot(x - a, y - b) >= least_px for a, b in kept):
            kept.append((x, y))
    return kept


def side_by_side(pictures: Sequence[Pixels]) -> Pixels:
    """Return pictures of any sizes beside each other on white."""
    rows = max(picture.shape[0] for picture in pictures) + 2 * GAP_PX
    columns = sum(picture.shape[1] + GAP_PX for picture in pictures) + GAP_PX
    sheet = np.full((rows, columns, 3), 255, dtype=np.uint8)
    left = GAP_PX
    for picture in pictures:
        height, width = picture.shape[:2]
        sheet[GAP_PX : GAP_PX + height, left : left + width] = picture
        left += width + GAP_PX
    return sheet
