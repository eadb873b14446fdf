"""Pictures of what printing does to a tile: before and after, where it shifts, what is too thin.

In: pixels and a press. Out: pixels, for PNG files and the report. The paper's white stands around
them, because a colour is only seen against its paper.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from palette.detail import ThinStroke
from palette.press import Press
from palette.proof import proof_pixels, shift_map

Pixels = NDArray[np.uint8]

GAP_PX = 24
_RING = (15, 92, 92)
_VISIBLE, _STRONG = 3.0, 6.0
# a tile's grey under them; ochre for what moves visibly, brick for what moves strongly
_OCHRE, _BRICK = (226, 170, 60), (176, 74, 40)


def before_after_print(pixels: Pixels, press: Press) -> Pixels:
    """Return the tile as it is seen, and beside it as it prints, on white."""
    return side_by_side([pixels, proof_pixels(pixels, press)])


def where_it_shifts(pixels: Pixels, press: Press) -> Pixels:
    """Return the tile in grey with what moves over 3 in ochre and over 6 in brick (CIEDE2000)."""
    shift = shift_map(pixels, press)
    grey = pixels.mean(axis=2, keepdims=True) * 0.35 + 255.0 * 0.65
    shown = np.repeat(grey, 3, axis=2)
    shown[shift >= _VISIBLE] = _OCHRE
    shown[shift >= _STRONG] = _BRICK
    rounded: Pixels = np.rint(shown).astype(np.uint8)
    return rounded


def thin_ringed(
    pixels: Pixels, strokes: Sequence[ThinStroke], width_px: int | None = None
) -> Pixels:
    """Return the tile, paler, with a ring around every stroke that is too thin.

    Args:
        pixels: the tile.
        strokes: its thin strokes.
        width_px: how wide the picture is to be; None for as wide as the tile.
    """
    from PIL import Image, ImageDraw

    picture = Image.fromarray(np.ascontiguousarray(pixels))
    scale = 1.0 if width_px is None else min(1.0, width_px / pixels.shape[1])
    side = (round(pixels.shape[1] * scale), max(1, round(pixels.shape[0] * scale)))
    if scale < 1.0:
        picture = picture.resize(side, Image.Resampling.BOX, reducing_gap=2.0)
    picture = Image.blend(picture, Image.new("RGB", side, "white"), 0.3)
    pen = ImageDraw.Draw(picture)
    width = max(2, side[0] // 300)
    for left, top, right, bottom in _merged([_around(s, scale, 3 * width) for s in strokes]):
        halo = (left - width, top - width, right + width, bottom + width)
        pen.rounded_rectangle(halo, radius=5 * width, outline="white", width=3 * width)
        pen.rounded_rectangle(
            (left, top, right, bottom), radius=4 * width, outline=_RING, width=width
        )
    return np.asarray(picture)


Box = tuple[int, int, int, int]


def _around(stroke: ThinStroke, scale: float, away_px: int) -> Box:
    return (
        round(stroke.x_px * scale) - away_px,
        round(stroke.y_px * scale) - away_px,
        round((stroke.x_px + stroke.width_px) * scale) + away_px,
        round((stroke.y_px + stroke.height_px) * scale) + away_px,
    )


def _merged(boxes: Sequence[Box]) -> list[Box]:
    """Boxes that overlap become one, so that rings do not cross each other."""
    apart: list[Box] = []
    for box in boxes:
        left, top, right, bottom = box
        while near := [
            b for b in apart if b[0] < right and left < b[2] and b[1] < bottom and top < b[3]
        ]:
            apart = [b for b in apart if b not in near]
            left, top = min(left, *(b[0] for b in near)), min(top, *(b[1] for b in near))
            right, bottom = max(right, *(b[2] for b in near)), max(bottom, *(b[3] for b in near))
        apart.append((left, top, right, bottom))
    return apart


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
