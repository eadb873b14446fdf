"""Are there lines too thin to print? Strokes narrower than a press can hold, at this repeat.

In: sRGB pixels of a tile and its resolution on paper in pixels per inch. Out: places, in pixels,
of dark strokes on light ground under 0.18 mm (0.5 pt) and light strokes on dark ground under
0.35 mm (1 pt): a reversed line is closed from both sides by ink that spreads.

A stroke is what a morphological opening (or closing, for light on dark) by a square of the least
width takes away, with at least ``MIN_CONTRAST`` of lightness and a length of six times the limit:
shorter ones are tips of leaves and corners of gaps, where a little lost shows less.
The tile is treated as it repeats. One pixel at 300 per inch is 0.085 mm; tiles of 2,400 per inch
and more are reduced first, as no printer has dots that fine.

Sources: grey opening and closing, Serra 1982; the two widths are print-house guidance, common
practice, no published standard, and none of it made for home inkjets. Not done here: text.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

import numpy as np

from palette.arrays import Mask, Pixels
from palette.inch import MM_PER_INCH
from palette.space import D50, srgb_to_xyz, xyz_to_lab

Kind = Literal["positive", "reversed"]

POSITIVE_MM = 0.18
REVERSED_MM = 0.35
_LIMITS_MM: dict[Kind, float] = {"positive": POSITIVE_MM, "reversed": REVERSED_MM}
MIN_CONTRAST = 25.0  # in L*: fainter strokes are texture
LEAST_LENGTH = 6  # in limits
MAX_PLACES = 20
FINEST_DPI = 1200.0  # a tile at twice this is reduced first: then 0.18 mm are 9 pixels
_BAND = 2**16  # pixels


@dataclass(frozen=True, slots=True)
class ThinStroke:
    """One place where a stroke may break up or fill in.

    Attributes:
        kind: "positive" for dark on light, "reversed" for light on dark.
        x_px: left edge of its box.
        y_px: top edge of its box.
        width_px: width of its box.
        height_px: height of its box.
        limit_mm: the least width that holds.
        contrast: its greatest difference in L* from what surrounds it.
        at_px: the point (x, y) on it where that is, to be shown by.
        holds_dpi: at so many pixels per inch and at fewer, no stroke of the tile is too thin;
            0 where nobody asked.
    """

    kind: Kind
    x_px: int
    y_px: int
    width_px: int
    height_px: int
    limit_mm: float
    contrast: float
    at_px: tuple[int, int]
    holds_dpi: float = 0.0


def thin_strokes(pixels: Pixels, dpi: float) -> tuple[ThinStroke, ...]:
    """Return the thin strokes of a tile, the longest first, at most ``MAX_PLACES`` of each kind.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        dpi: pixels per inch on paper, at the repeat it is printed with.
    """
    return _strokes_of(pixels)(dpi)


def judge_strokes(pixels: Pixels, dpi: float) -> tuple[ThinStroke, ...]:
    """Return the thin strokes (``thin_strokes``), each with the resolution at which all hold."""
    strokes_at = _strokes_of(pixels)
    strokes = strokes_at(dpi)
    if not strokes:
        return ()
    holds = _holding_dpi(strokes_at, dpi)
    return tuple(replace(stroke, holds_dpi=holds) for stroke in strokes)


def _strokes_of(pixels: Pixels) -> Callable[[float], tuple[ThinStroke, ...]]:
    """Return what finds a tile's thin strokes at so many pixels an inch, and nothing twice."""
    light = cache(lambda step: _lightness(_reduce(pixels, step)))
    narrower = cache(lambda kind, step, least_px: _narrower(light(step), kind, least_px))

    def strokes_at(dpi: float) -> tuple[ThinStroke, ...]:
        step = _step(pixels, dpi)
        strokes = [
            one
            for kind, limit_mm in _LIMITS_MM.items()
            for one in narrower(kind, step, math.ceil(limit_mm / MM_PER_INCH * dpi / step - 1e-6))
        ]
        return tuple(one if step == 1 else _in_full_pixels(one, step) for one in strokes)

    return strokes_at


def _holding_dpi(strokes_at: Callable[[float], tuple[ThinStroke, ...]], dpi: float) -> float:
    """Return the finest resolution under ``dpi`` from which downwards all strokes hold.

    A limit is a whole number of pixels, so what is lost changes only where it passes the next one.
    """
    steps = (
        whole * MM_PER_INCH / limit_mm
        for limit_mm in _LIMITS_MM.values()
        for whole in range(1, math.ceil(limit_mm / MM_PER_INCH * dpi))
    )
    holds = 0.0
    for step in sorted(steps):
        if step >= dpi or strokes_at(step):
            break
        holds = step
    return holds


def _step(pixels: Pixels, dpi: float) -> int:
    """Return by how much a tile may be reduced that is much finer than any printer."""
    step = max(1, int(dpi / FINEST_DPI))
    while pixels.shape[0] % step or pixels.shape[1] % step:  # a part of a pixel would not repeat
        step -= 1
    return step


def _reduce(pixels: Pixels, step: int) -> Pixels:
    from PIL import Image

    if step == 1:
        return pixels
    return np.asarray(Image.fromarray(np.ascontiguousarray(pixels)).reduce(step))


def _in_full_pixels(stroke: ThinStroke, step: int) -> ThinStroke:
    """Return a stroke's box and place in the pixels of the tile that was reduced."""
    x, y = stroke.at_px
    return replace(
        stroke,
        x_px=stroke.x_px * step,
        y_px=stroke.y_px * step,
        width_px=stroke.width_px * step,
        height_px=stroke.height_px * step,
        at_px=(x * step + step // 2, y * step + step // 2),
    )


def _lightness(pixels: Pixels) -> Pixels:
    """Return L* in steps of 1/2.55, (height, width): bytes are quick to open and close.

    The formulas are ``palette.space``'s, as tables: ``srgb_to_lab`` itself would take 24 bytes and
    three cube roots a pixel, of which this keeps one byte.
    """
    grey = np.arange(256, dtype=np.uint8)[:, None].repeat(3, axis=1)
    y_of_grey = srgb_to_xyz(grey)[:, 1].astype(np.float32)
    weights = srgb_to_xyz(np.eye(3))[:, 1].astype(np.float32)
    steps = np.linspace(0.0, 1.0, 4096)
    l_of_y = np.rint(2.55 * xyz_to_lab(steps[:, None] * D50)[:, 0]).astype(np.uint8)
    coded = np.empty(pixels.shape[:2], dtype=np.uint8)
    rows = max(1, _BAND // pixels.shape[1])
    for top in range(0, len(pixels), rows):  # bands that stay in the processor's cache
        y = y_of_grey.take(pixels[top : top + rows]) @ weights
        coded[top : top + rows] = l_of_y.take(np.rint(y * 4095.0).astype(np.int32))
    return coded


def _opening(light: Pixels, size: int, *, close: bool) -> Pixels:
    """Return the grey opening of a periodic picture by a square, or its closing."""
    first, second = (np.maximum, np.minimum) if close else (np.minimum, np.maximum)
    before = size // 2
    inner = _sweep(light, size, first, before)
    return _sweep(inner, size, second, size - 1 - before)


def _sweep(light: Pixels, size: int, extreme: np.ufunc, before: int) -> Pixels:
    """Return the extreme over a square that reaches ``before`` pixels up and left of each pixel.

    The reach doubles from pass to pass, so a square of any size takes few of them.
    """
    pad = ((before, size - 1 - before), (before, size - 1 - before))
    values = np.pad(light, pad, mode="wrap")
    for axis in (0, 1):
        reach = 1
        while reach < size:
            more = min(reach, size - reach)
            length = values.shape[axis] - more
            here, there = [slice(None)] * 2, [slice(None)] * 2
            here[axis], there[axis] = slice(0, length), slice(more, length + more)
            values = extreme(values[tuple(here)], values[tuple(there)])
            reach += more
    return values


def _narrower(light: Pixels, kind: Kind, least_px: int) -> tuple[ThinStroke, ...]:
    """Return the strokes of one kind that are narrower than so many pixels."""
    from scipy import ndimage

    if least_px < 2:
        return ()  # nothing drawn in whole pixels is thinner
    if kind == "positive":
        lost = _opening(light, least_px, close=True) - light
    else:
        lost = light - _opening(light, least_px, close=False)
    plain = lost > MIN_CONTRAST * 2.55
    if not plain.any():
        return ()
    marks, _ = ndimage.label(plain, structure=np.ones((3, 3)))
    boxes = ndimage.find_objects(marks)
    lengths = [max(down.stop - down.start, across.stop - across.start) for down, across in boxes]
    long = [i for i, length in enumerate(lengths) if length >= LEAST_LENGTH * least_px]
    strokes = sorted(long, key=lambda i: (-lengths[i], i))[:MAX_PLACES]
    return tuple(_stroke(kind, boxes[i], lost, marks[boxes[i]] == i + 1) for i in strokes)


def _stroke(kind: Kind, box: tuple[slice, slice], lost: Pixels, own: Mask) -> ThinStroke:
    rows, columns = box
    depth = np.where(own, lost[box], 0)
    row, column = np.unravel_index(int(np.argmax(depth)), depth.shape)
    return ThinStroke(
        kind,
        columns.start,
        rows.start,
        columns.stop - columns.start,
        rows.stop - rows.start,
        _LIMITS_MM[kind],
        float(depth[row, column]) / 2.55,
        (columns.start + int(column), rows.start + int(row)),
    )
