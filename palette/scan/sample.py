"""What does each patch read? The picture straightened to the sheet, and the patches' middles.

In: the picture's pixels and its ``Frame``. Out: a ``Straightened`` picture at ``PX_PER_MM``, and
per patch the mean of its middle, without the darkest and lightest tenth (dust, JPEG ripples), how
uneven it is, and how far it lies from where the corners say.

Not done here: judging any of it (``checks``), or the light (``illumination``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Mask, Pixels
from palette.chart import ChartList
from palette.scan.frame import Frame, apply

PX_PER_MM = 6.0  # 152 dpi: what a scan has at least, and enough for patches of 6 mm
_INSET = 0.24  # of a patch's side, left out along each edge
_TRIM = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Straightened:
    """The sheet as if printed straight onto the pixel grid.

    Attributes:
        pixels: (rows, cols, 3) uint8 at ``PX_PER_MM``; row 0 is the sheet's top.
        seen: (rows, cols) whether the picture shows that point at all.
    """

    pixels: Pixels
    seen: Mask


@dataclass(frozen=True, slots=True, eq=False)
class PatchReadings:
    """What the patches read, in the scanner's own values 0 to 1.

    Attributes:
        values: (n, 3) means.
        unevenness: (n,) standard deviation inside a patch, the worst channel.
        bent_mm: (n, 2) how far each patch lies from its place; NaN where it is too pale to tell.
        seen: (n,) whether all of the patch is in the picture.
    """

    values: Floats
    unevenness: Floats
    bent_mm: Floats
    seen: Mask


def straighten(pixels: Pixels, frame: Frame, chart: ChartList) -> Straightened:
    """Return the sheet undone of rotation, perspective and mirror."""
    from PIL import Image

    step = max(1, int(frame.px_per_mm / PX_PER_MM + 0.25))
    image = Image.fromarray(np.ascontiguousarray(pixels))
    # whole blocks first, so that the resampling below skips no pixel
    image = image.reduce(step) if step > 1 else image
    scaling = np.diag([1.0 / step, 1.0 / step, 1.0])
    matrix = scaling @ frame.to_px @ np.diag([1.0 / PX_PER_MM, 1.0 / PX_PER_MM, 1.0])
    matrix = matrix / matrix[2, 2]
    size = (round(chart.paper_mm[0] * PX_PER_MM), round(chart.paper_mm[1] * PX_PER_MM))
    numbers = tuple(float(v) for v in matrix.ravel()[:8])
    made = image.transform(size, Image.Transform.PERSPECTIVE, numbers, Image.Resampling.BILINEAR)
    return Straightened(np.asarray(made), _seen(matrix, size, image.size))


def _seen(matrix: Floats, size: tuple[int, int], source: tuple[int, int]) -> Mask:
    xs, ys = np.meshgrid(np.arange(size[0]) + 0.5, np.arange(size[1]) + 0.5)
    at = apply(matrix, np.stack([xs.ravel(), ys.ravel()], axis=1))
    inside = (at > 0.5).all(axis=1) & (at[:, 0] < source[0] - 0.5) & (at[:, 1] < source[1] - 0.5)
    return inside.reshape(size[1], size[0])


def read_patches(sheet: Straightened, chart: ChartList) -> PatchReadings:
    """Return what every patch reads."""
    count = len(chart.rgb)
    values, uneven = np.zeros((count, 3)), np.zeros(count)
    bent, seen = np.full((count, 2), np.nan), np.zeros(count, dtype=bool)
    for i, box in enumerate(chart.boxes_mm):
        block = inner_pixels(sheet, box)
        seen[i] = bool(sheet.seen[_window(box, sheet)].all()) and block.size > 0
        if not seen[i]:
            continue
        points = np.sort(block.reshape(-1, 3).astype(np.float64) / 255.0, axis=0)
        cut = int(_TRIM * len(points))
        inner = points[cut : len(points) - cut]
        values[i], uneven[i] = inner.mean(axis=0), inner.std(axis=0).max()
        bent[i] = _place_error(sheet, box)
    return PatchReadings(values, uneven, bent, seen)


def inner_pixels(sheet: Straightened, box: Floats) -> Pixels:
    """Return the pixels of a patch's middle, (rows, cols, 3), clear of its edges."""
    inset = _INSET * box[2:]
    inner: Pixels = sheet.pixels[_window(box + np.concatenate([inset, -2.0 * inset]), sheet)]
    return inner


def _window(box: Floats, sheet: Straightened) -> tuple[slice, slice]:
    """Return the pixels of a box in millimetres: those whose centre it holds."""
    left, top = np.round(box[:2] * PX_PER_MM).astype(int)
    right, bottom = np.round((box[:2] + box[2:]) * PX_PER_MM).astype(int)
    rows, cols = sheet.seen.shape
    return (
        slice(min(max(top, 0), rows), min(max(bottom, 0), rows)),
        slice(min(max(left, 0), cols), min(max(right, 0), cols)),
    )


def _place_error(sheet: Straightened, box: Floats) -> Floats:
    """Return how far the middle of the ink lies from the middle of its box, in mm.

    The window reaches half a gutter beyond the patch, so a patch that has moved drags the middle
    with it.
    """
    reach = 0.65
    wide = np.array([box[0] - reach, box[1] - reach, box[2] + 2 * reach, box[3] + 2 * reach])
    window = _window(wide, sheet)
    block = sheet.pixels[window].astype(np.float64).min(axis=2)
    light = np.percentile(block, 97.0)
    ink = np.clip(0.9 * light - block, 0.0, None)
    if block.size == 0 or np.median(ink) < 0.12 * max(light, 1.0):
        return np.array([np.nan, np.nan])
    ink = np.minimum(ink, np.median(ink))
    ys, xs = np.mgrid[: block.shape[0], : block.shape[1]] + 0.5
    total = ink.sum()
    middle = np.array([(ink * xs).sum() / total, (ink * ys).sum() / total])
    start = np.array([window[1].start, window[0].start])
    place: Floats = (middle + start) / PX_PER_MM - (box[:2] + box[2:] / 2.0)
    return place
