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
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

import numpy as np

from palette.arrays import Indices, Mask, Pixels
from palette.inch import MM_PER_INCH
from palette.space import D50, srgb_to_xyz, xyz_to_lab

Kind = Literal["positive", "reversed"]

POSITIVE_MM = 0.18
REVERSED_MM = 0.35
_LIMITS_MM: dict[Kind, float] = {"positive": POSITIVE_MM, "reversed": REVERSED_MM}
MIN_CONTRAST = 25.0  # in L*: fainter strokes are texture
FAINTEST_LOST = int(MIN_CONTRAST * 2.55)  # in whole steps of ``_lightness``: bytes compare quickly
LEAST_LENGTH = 6  # in limits
MAX_PLACES = 20
FINEST_DPI = 1200.0  # a tile at twice this is reduced first: then 0.18 mm are 9 pixels
_BAND = 2**16  # pixels
_LEAST_BLOCK = 4  # pixels


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
    return TileStrokes(pixels).strokes_at(dpi)


def judge_strokes(pixels: Pixels, dpi: float) -> tuple[ThinStroke, ...]:
    """Return the thin strokes (``thin_strokes``), each with the resolution at which all hold."""
    tile = TileStrokes(pixels)
    strokes = tile.strokes_at(dpi)
    if not strokes:
        return ()
    holds = _holding_dpi(tile, dpi)
    return tuple(replace(stroke, holds_dpi=holds) for stroke in strokes)


class TileStrokes:
    """A tile that is looked at in several resolutions, and its lightness made once for each."""

    def __init__(self, pixels: Pixels) -> None:
        """Look at a tile, (height, width, 3) sRGB uint8."""
        self._pixels = pixels
        self._lights: dict[int, Pixels] = {}
        self._clear: dict[tuple[Kind, int], _Clear] = {}

    def strokes_at(self, dpi: float) -> tuple[ThinStroke, ...]:
        """Return the strokes that are too thin at so many pixels an inch (``thin_strokes``)."""
        step = _step(self._pixels, dpi)
        strokes = [
            one
            for kind in _LIMITS_MM
            for one in _narrower(self._light(step), kind, _least_px(kind, dpi, step))
        ]
        return tuple(one if step == 1 else _in_full_pixels(one, step) for one in strokes)

    def holds_at(self, dpi: float, finest_dpi: float) -> bool:
        """Tell whether no stroke is too thin, asked from coarse to fine, up to a resolution."""
        step = _step(self._pixels, dpi)
        for kind in _LIMITS_MM:
            clear = self._clear.setdefault((kind, step), _Clear(self._light(step), kind))
            most_px = _least_px(kind, finest_dpi, step)
            if not clear.reaches(_least_px(kind, dpi, step), most_px):
                return False
        return True

    def _light(self, step: int) -> Pixels:
        if step not in self._lights:
            self._lights[step] = _lightness(_reduce(self._pixels, step))
        return self._lights[step]


class _Clear:
    """Up to which width a tile has no stroke of one kind that is narrower.

    What a square takes away, a larger one takes away too. So where no mark that a square leaves is
    long enough even for a smaller one, no square between the two has to be tried. How many are
    passed over at a time about doubles until that fails once, and halves each time it fails.
    """

    def __init__(self, light: Pixels, kind: Kind) -> None:
        self._light = light
        self._kind = kind
        self._clear_px = 1  # nothing drawn in whole pixels is thinner than two
        self._span, self._grows = 0, True

    def reaches(self, least_px: int, most_px: int) -> bool:
        """Tell whether no stroke is narrower than so many pixels, or than any fewer.

        Args:
            least_px: the width.
            most_px: the greatest width that will be asked for.
        """
        while self._clear_px < least_px:
            smallest = self._clear_px + 1
            width = min(smallest + self._span, most_px)
            lost = _lost(self._light, self._kind, width)
            if not _long_marks(lost, LEAST_LENGTH * smallest, width).boxes:
                self._clear_px = width
                self._span = width - 2 if self._grows else self._span
            elif width > smallest:
                self._span, self._grows = (width - smallest) // 2, False
            else:
                return False
        return True


def _least_px(kind: Kind, dpi: float, step: int) -> int:
    """Return the least width that holds, in pixels of a tile reduced by ``step``."""
    return math.ceil(_LIMITS_MM[kind] / MM_PER_INCH * dpi / step - 1e-6)


def _holding_dpi(tile: TileStrokes, dpi: float) -> float:
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
        if step >= dpi or not tile.holds_at(step, dpi):
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
    if least_px < 2:
        return ()  # nothing drawn in whole pixels is thinner
    lost = _lost(light, kind, least_px)
    marks = _long_marks(lost, LEAST_LENGTH * least_px, least_px)
    longest = sorted(marks.boxes, key=lambda number: (-_length(marks.boxes[number]), number))
    return tuple(_stroke(kind, lost, marks, number) for number in longest[:MAX_PLACES])


def _lost(light: Pixels, kind: Kind, size: int) -> Pixels:
    """Return what a square of so many pixels takes away from a tile: how much lighter or darker."""
    if kind == "positive":
        return _opening(light, size, close=True) - light
    return light - _opening(light, size, close=False)


Box = tuple[slice, slice]


class _Marks(NamedTuple):
    """The long marks in a part of a tile.

    Attributes:
        part: where in the tile.
        numbers: of the mark that each pixel of the part lies in.
        boxes: the box in the part of each long mark, by number; numbers rise in reading order.
    """

    part: Box
    numbers: Indices
    boxes: dict[int, Box]


_NO_MARKS = _Marks((slice(0), slice(0)), np.zeros((0, 0), dtype=np.intp), {})


def _long_marks(lost: Pixels, length_px: int, size: int) -> _Marks:
    """Return the marks that are plain to see and so long.

    Most marks of a grainy tile are short. They are told by blocks of pixels and left out before
    marks are looked for pixel by pixel.
    """
    plain = lost > FAINTEST_LOST
    if not plain.any():
        return _NO_MARKS
    block_px = max(_LEAST_BLOCK, size)
    rough, boxes = _marks(_blocks(plain, block_px))
    long = np.array([False, *(_length(box) * block_px >= length_px for box in boxes)])
    if not long.any():
        return _NO_MARKS
    keep = long[rough]
    part = _bounds(keep, block_px)
    near = keep.repeat(block_px, axis=0).repeat(block_px, axis=1)[: len(plain), : plain.shape[1]]
    numbers, boxes = _marks(plain[part] & near[part])
    numbered = enumerate(boxes, start=1)
    return _Marks(
        part, numbers, {number: box for number, box in numbered if _length(box) >= length_px}
    )


def _blocks(plain: Mask, block_px: int) -> Mask:
    """Return which blocks of so many pixels a side have any that is set."""
    return _down(_down(plain, block_px).T, block_px).T


def _down(plain: Mask, block_px: int) -> Mask:
    """Return whether any of so many rows is set: row upon row, many times quicker than a sum."""
    plain = np.ascontiguousarray(plain)
    any_set = plain[::block_px].copy()
    for row in range(1, block_px):
        more = plain[row::block_px]
        any_set[: len(more)] |= more
    return any_set


def _bounds(keep: Mask, block_px: int) -> Box:
    """Return the part of a tile that holds all of its blocks that are set."""
    set_rows, set_columns = (np.flatnonzero(keep.any(axis=axis)) for axis in (1, 0))
    top, bottom = int(set_rows[0]), int(set_rows[-1]) + 1
    left, right = int(set_columns[0]), int(set_columns[-1]) + 1
    return (
        slice(top * block_px, bottom * block_px),
        slice(left * block_px, right * block_px),
    )


def _marks(plain: Mask) -> tuple[Indices, list[Box]]:
    """Return the number of the mark that each pixel lies in, from 1, and the marks' boxes."""
    from scipy import ndimage

    numbers, _ = ndimage.label(plain, structure=np.ones((3, 3)))
    return numbers, ndimage.find_objects(numbers)


def _length(box: Box) -> int:
    down, across = box
    length: int = max(down.stop - down.start, across.stop - across.start)
    return length


def _stroke(kind: Kind, lost: Pixels, marks: _Marks, number: int) -> ThinStroke:
    box = marks.boxes[number]
    down, across = (whole.start + side.start for whole, side in zip(marks.part, box, strict=True))
    depth = np.where(marks.numbers[box] == number, lost[marks.part][box], 0)
    row, column = np.unravel_index(int(np.argmax(depth)), depth.shape)
    return ThinStroke(
        kind,
        across,
        down,
        box[1].stop - box[1].start,
        box[0].stop - box[0].start,
        _LIMITS_MM[kind],
        float(depth[row, column]) / 2.55,
        (across + int(column), down + int(row)),
    )
