"""What does a picture look like made smaller? Each new pixel shows the mean of what it covers.

In: (height, width, 3) sRGB uint8, and a size. Out: a smaller picture, as linear light for what is
printed (``reduce_light``), or as means of the stored numbers for what is only measured or compared
with itself, which is quicker (the others). All but ``reduce_to`` take some rows at a time, so that
a tile of 12,000 pixels a side needs no more memory than a small one. Not done here: any other place
or pitch (``patterns.plane.resample``).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats32, Pixels
from patterns.plane.linear_light import to_light
from patterns.plane.resample import BAND, Axis, resample

BAND_PX = 1_000_000


def reduce_to(pixels: Pixels, rows: int, columns: int, *, gap: float | None = None) -> Pixels:
    """Return a picture at a size, by means of the stored numbers.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        rows: of the copy.
        columns: likewise.
        gap: whole pixels are first put together to no less than so many times the size, which is
            quicker; Pillow's ``reducing_gap``.
    """
    from PIL import Image

    image = Image.fromarray(np.ascontiguousarray(pixels))
    return np.asarray(image.resize((columns, rows), Image.Resampling.BOX, reducing_gap=gap))


def reduce_by(
    pixels: Pixels, factor: float, *, least_px: int = 1, gap: float | None = None
) -> Pixels:
    """Return a picture so many times smaller, by means of the stored numbers.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        factor: 1 or more; the sides are rounded to whole pixels.
        least_px: neither side gets less.
        gap: as in ``reduce_to``.
    """
    rows, columns = (max(least_px, round(side / factor)) for side in pixels.shape[:2])
    return reduce_to(pixels, rows, columns, gap=gap)


def reduce_in_bands(pixels: Pixels, rows: int, columns: int, down_px: int = 0) -> Pixels:
    """Return a picture at a size, some rows at a time.

    Where a pixel lies half in one of the new ones and half in the next, it may count for the other
    one than in ``reduce_to``.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        rows: of the copy.
        columns: likewise.
        down_px: by how many pixels the picture is rolled down before.
    """
    from PIL import Image

    height, width = pixels.shape[:2]
    scale = height / rows
    many = max(1, int(BAND_PX / (scale * width)))
    out = np.empty((rows, columns, 3), np.uint8)
    for start in range(0, rows, many):
        stop = min(rows, start + many)
        top, bottom = start * scale, min(height, stop * scale)
        first, last = int(top), min(height, int(np.ceil(bottom)))
        band = pixels[(np.arange(first, last) - down_px) % height]
        box = (0.0, top - first, float(width), min(bottom - first, float(last - first)))
        image = Image.fromarray(band)
        small = image.resize((columns, stop - start), Image.Resampling.BOX, box=box)
        out[start:stop] = np.asarray(small)
    return out


def reduce_blocks(pixels: Pixels, step: int) -> Pixels:
    """Return the means of step x step pixels; at the far edges, of what is there of a block."""
    from PIL import Image

    many = step * max(1, BAND_PX // (pixels.shape[1] * step))
    bands = (pixels[top : top + many] for top in range(0, len(pixels), many))
    small = [np.asarray(Image.fromarray(np.ascontiguousarray(b)).reduce(step)) for b in bands]
    return np.concatenate(small)


def reduce_light(tile: Pixels, rows: int, columns: int) -> Floats32:
    """Return the linear light of a tile cut into fewer cells, each the mean over its own area."""
    height, width = tile.shape[:2]
    if height % rows == width % columns == 0:
        return _whole_cells(tile, height // rows, width // columns)
    return resample(
        tile, Axis(height, 0.0, height / rows, rows), Axis(width, 0.0, width / columns, columns)
    )


def _whole_cells(tile: Pixels, down: int, across: int) -> Floats32:
    """Return the mean light of blocks of whole pixels: ``resample``'s own sums, to the last bit."""
    height, width = tile.shape[:2]
    out = np.empty((height // down, width // across, 3), dtype=np.float32)
    step = max(1, BAND // (3 * width * down))
    for start in range(0, len(out), step):
        part = tile[start * down : (start + step) * down]
        light = to_light(part, 1.0 / down).reshape(-1, down, width * 3)
        drawn = light[:, 0] if down == 1 else light[:, 0] + light[:, 1]
        for place in range(2, down):
            drawn += light[:, place]
        out[start : start + step] = _mean(drawn.reshape(-1, across, 3)).reshape(len(drawn), -1, 3)
    return out


def _mean(values: Floats32) -> Floats32:
    """Return the mean over the second of three axes, each value weighted before the sum."""
    weight = np.float32(1.0 / values.shape[1])
    total = np.empty((len(values), values.shape[2]), dtype=np.float32)
    for channel in range(values.shape[2]):  # by itself: steps of three values would be short ones
        summed = values[:, 0, channel] * weight
        for place in range(1, values.shape[1]):
            summed += values[:, place, channel] * weight
        total[:, channel] = summed
    return total
