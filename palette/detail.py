"""Are there lines too thin to print? Strokes narrower than a press can hold, at this repeat.

In: sRGB pixels of a tile and its resolution on paper in pixels per inch. Out: places, in pixels,
of dark strokes on light ground under 0.18 mm (0.5 pt) and light strokes on dark ground under
0.35 mm (1 pt): a reversed line is closed from both sides by ink that spreads.

A stroke is what a morphological opening (or closing, for light on dark) by a square of the least
width takes away, with at least ``MIN_CONTRAST`` of lightness and a length of six times the limit:
shorter ones are tips of leaves and corners of gaps, where a little lost shows less.
The tile is treated as it repeats. One pixel at 300 per inch is 0.085 mm.

Sources: grey opening and closing, Serra 1982; the two widths are print-house guidance, common
practice, no published standard, and none of it made for home inkjets. Not done here: text.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from palette.lab import D50, srgb_to_xyz, xyz_to_lab

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

POSITIVE_MM = 0.18
REVERSED_MM = 0.35
MIN_CONTRAST = 25.0  # in L*: fainter strokes are texture
LEAST_LENGTH = 6  # in limits
MAX_PLACES = 20
_MM_PER_INCH = 25.4


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
    """

    kind: Literal["positive", "reversed"]
    x_px: int
    y_px: int
    width_px: int
    height_px: int
    limit_mm: float
    contrast: float
    at_px: tuple[int, int]


def thin_strokes(pixels: Pixels, dpi: float) -> tuple[ThinStroke, ...]:
    """Return the thin strokes of a tile, the longest first, at most ``MAX_PLACES`` of each kind.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        dpi: pixels per inch on paper, at the repeat it is printed with.
    """
    light = _lightness(pixels)
    return _of_kind(light, dpi, "positive") + _of_kind(light, dpi, "reversed")


def _lightness(pixels: Pixels) -> NDArray[np.uint8]:
    """Return L* in steps of 1/2.55, (height, width): bytes are quick to open and close."""
    grey = np.arange(256, dtype=np.uint8)[:, None].repeat(3, axis=1)
    y_of_grey = srgb_to_xyz(grey)[:, 1].astype(np.float32)
    weights = srgb_to_xyz(np.eye(3))[:, 1].astype(np.float32)
    y = y_of_grey[pixels] @ weights
    steps = np.linspace(0.0, 1.0, 4096)
    l_of_y = np.rint(2.55 * xyz_to_lab(steps[:, None] * D50)[:, 0]).astype(np.uint8)
    coded: NDArray[np.uint8] = l_of_y[np.rint(y * 4095.0).astype(np.int32)]
    return coded


def _of_kind(
    light: NDArray[np.uint8], dpi: float, kind: Literal["positive", "reversed"]
) -> tuple[ThinStroke, ...]:
    from scipy import ndimage

    limit_mm = POSITIVE_MM if kind == "positive" else REVERSED_MM
    least_px = math.ceil(limit_mm / _MM_PER_INCH * dpi - 1e-6)
    if least_px < 2:
        return ()  # nothing drawn in whole pixels is thinner
    if kind == "positive":
        lost = ndimage.grey_closing(light, size=(least_px, least_px), mode="wrap") - light
    else:
        lost = light - ndimage.grey_opening(light, size=(least_px, least_px), mode="wrap")
    marks, _ = ndimage.label(lost > MIN_CONTRAST * 2.55, structure=np.ones((3, 3)))
    boxes = ndimage.find_objects(marks)
    tall = [(b[0].stop - b[0].start, b[1].stop - b[1].start) for b in boxes]
    order = sorted(range(len(boxes)), key=lambda i: (-max(tall[i]), i))
    found = [i for i in order if max(tall[i]) >= LEAST_LENGTH * least_px][:MAX_PLACES]
    return tuple(_stroke(kind, limit_mm, boxes[i], lost, marks[boxes[i]] == i + 1) for i in found)


def _stroke(
    kind: Literal["positive", "reversed"],
    limit_mm: float,
    box: tuple[slice, slice],
    lost: NDArray[np.uint8],
    own: NDArray[np.bool_],
) -> ThinStroke:
    rows, columns = box
    depth = np.where(own, lost[box], 0)
    row, column = np.unravel_index(int(np.argmax(depth)), depth.shape)
    return ThinStroke(
        kind,
        columns.start,
        rows.start,
        columns.stop - columns.start,
        rows.stop - rows.start,
        limit_mm,
        float(depth[row, column]) / 2.55,
        (columns.start + int(column), rows.start + int(row)),
    )
