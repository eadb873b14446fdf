"""A drawing of the maker's own, laid on the sheet's pixels wherever it lies and however large.

In: the raster, a ``Picture`` and the resolution. The drawing is resampled to the sheet's own pixel
centres by a tent as wide as the larger of both pixels: enlarging is linear, reducing smooths. It
was laid on white when it was opened; what lies behind it takes white's place by its alpha.

Not done here: opening it, and the cut line round it (``kit.drawings.icon``).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from kit.shapes import Window, window_touched
from kit.sheet import Picture
from palette.arrays import Floats32, Pixels
from patterns.units import MM_PER_INCH

Mix = Callable[[Picture, Window, float], tuple[Floats32, Floats32]]


def draw_picture(raster: Pixels, picture: Picture, dpi: float, mixed: Mix | None = None) -> None:
    """Lay a drawing over the raster, clipped by it.

    Args:
        raster: the sheet's pixels.
        picture: the drawing.
        dpi: pixels per inch.
        mixed: as ``mix``, or one that remembers; None for ``mix``.
    """
    rows, cols = raster.shape[:2]
    window = window_touched(picture.box, dpi, (rows, cols))
    if window.rows == 0 or window.cols == 0:
        return
    ink, clear = (mixed or mix)(picture, window, dpi)
    block = raster[window.slices].astype(np.float32)
    mixture = ink + (block - 255.0) * clear
    raster[window.slices] = np.clip(np.rint(mixture), 0, 255).astype(np.uint8)


def mix(picture: Picture, window: Window, dpi: float) -> tuple[Floats32, Floats32]:
    """Return a drawing on white at a block's pixels, and how much shows through it.

    Arrays are (rows, cols, 3), 0 to 255, and (rows, cols, 1), 0 to 1.
    """
    box, per_mm = picture.box, dpi / MM_PER_INCH
    high, wide = picture.alpha.shape
    down = _weights(window.row, window.rows, box.y_mm * per_mm, box.height_mm * per_mm, high)
    across = _weights(window.col, window.cols, box.x_mm * per_mm, box.width_mm * per_mm, wide)
    # differences from the clear border, so that it needs no colour
    ink = 255.0 - _mix(255.0 - picture.on_white.astype(np.float32), down, across)
    clear = 1.0 - _mix(picture.alpha.astype(np.float32), down, across)[..., None] / 255.0
    return ink, clear


def _mix(band: Floats32, down: Floats32, across: Floats32) -> Floats32:
    """Return a band's rows and columns mixed by weights (target, source)."""
    rows = np.tensordot(down, band, axes=(1, 0))
    return np.moveaxis(np.tensordot(across, rows, axes=(1, 1)), 0, 1)


def _weights(first: int, count: int, start: float, length: float, source: int) -> Floats32:
    """Return (count, source): how much of each source pixel each target pixel shows.

    Rows sum to 1 inside the picture and to less at its edge, where the rest is the clear border.
    """
    scale = source / length
    centres = (np.arange(first, first + count) + 0.5 - start) * scale
    reach = max(1.0, scale)
    # the border's pixels count in the sum, but show nothing
    border = int(np.ceil(reach)) + 1
    places = np.arange(-border, source + border) + 0.5
    tent = np.clip(1.0 - np.abs(places - centres[:, None]) / reach, 0.0, None)
    total = tent.sum(axis=1, keepdims=True)
    shares = tent / np.where(total > 0.0, total, 1.0)
    return shares[:, border:-border].astype(np.float32)
