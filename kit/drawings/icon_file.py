"""The maker's own drawing from a file: its pixels, where it covers the paper, and its cut line.

In: an image file, the size that it may fill and the distance of the cut, in millimetres. Out: a
``Drawing``: pixels laid on white, alpha, cut line, and where both lie in the sticker's box. An
image without transparency is taken as it is on its own ground: what has the colour of its
edge, joined to the edge, is left out; if the edge has no one colour, the whole picture is kept.
Cut and crop hold all that is visible (``kit.drawings.icon``): washes, glows, see-through wings.

This module reads files, through ``patterns.artwork.opening`` and its guards. Not done here: drawing
it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import numpy as np

from kit.drawings.icon import VISIBLE, ScatteredError, cut_round
from kit.recipe_error import RecipeError
from kit.shapes import Contour, Rect, Window, area_coverage, bounding_box, translate
from palette.arrays import Pixels
from patterns.artwork import begin_reading, open_artwork
from patterns.units import MM_PER_INCH

GROUND_LEVELS = 24  # a ground's pixels differ by at most this in any channel
GROUND_SHARE = 0.9  # of the picture's edge that must have the ground's colour
KEPT_DRAWINGS = 16  # from edit to edit: cutting round one takes a third of a second
OPAQUE = 255 - VISIBLE  # a picture that is nowhere clearer is taken as one without transparency


@dataclass(frozen=True, eq=False)
class Drawing:
    """A drawing with its cut line, in a box whose top left corner is the origin.

    Attributes:
        box: where the drawing lies, mm.
        outline: the cut line; its own box begins at the origin.
        on_white: (rows, cols, 3) sRGB uint8.
        alpha: (rows, cols) uint8.
        left_out: how much of the file's colour lies outside the cut line, 0 to 1 of its opacity.
    """

    box: Rect
    outline: Contour
    on_white: Pixels = field(repr=False)
    alpha: Pixels = field(repr=False)
    left_out: float = 0.0


def read_drawing(path: Path, size_mm: tuple[float, float], distance_mm: float) -> Drawing:
    """Return a drawing as large as fits into a width and a height, cut round at a distance.

    A file that has not changed is read once.

    Raises:
        ArtworkError: the file cannot be opened as a picture.
        RecipeError: it is empty, or in pieces too far apart for one sticker.
    """
    try:
        state = path.stat()
    except (OSError, ValueError):  # told in plain words when it is opened
        return _read(path, (0, 0), size_mm, distance_mm)
    return _read(path, (state.st_mtime_ns, state.st_size), size_mm, distance_mm)


@lru_cache(maxsize=KEPT_DRAWINGS)
def _read(
    path: Path, changed: tuple[int, int], size_mm: tuple[float, float], distance_mm: float
) -> Drawing:
    del changed  # another file under the same name is read again
    on_white = open_artwork(path).pixels
    alpha = _alpha(path, on_white.shape[:2])
    if alpha is None:
        alpha = _off_its_ground(on_white)
    return drawing_of(on_white, alpha, size_mm, distance_mm, path)


def drawing_of(
    on_white: Pixels,
    alpha: Pixels,
    size_mm: tuple[float, float],
    distance_mm: float,
    path: Path = Path("drawing"),
) -> Drawing:
    """Return a drawing of these pixels, its clear border trimmed; ``path`` names it in errors.

    Raises:
        RecipeError: as ``read_drawing``.
    """
    rows, cols = (np.flatnonzero((alpha >= VISIBLE).any(axis=k)) for k in (1, 0))
    if rows.size == 0:
        raise RecipeError(
            "is empty: every pixel is of its ground's colour, or over 95% transparent",
            where=str(path),
            remedy="Use a drawing on a transparent ground; make one this pale more opaque.",
        )
    window = slice(int(rows[0]), int(rows[-1]) + 1), slice(int(cols[0]), int(cols[-1]) + 1)
    whole = int(alpha.sum(dtype=np.int64))
    on_white, alpha = on_white[window].copy(), alpha[window].copy()
    high, wide = alpha.shape
    scale = min(size_mm[0] / wide, size_mm[1] / high)
    width_mm, height_mm = wide * scale, high * scale
    try:
        outline = cut_round(alpha, (width_mm, height_mm), distance_mm)
    except ScatteredError as error:
        raise RecipeError(
            f"lies in {error.pieces} pieces too far apart for one sticker",
            where=str(path),
            remedy='Give a larger distance = "…", or cut the picture apart.',
        ) from error
    around = bounding_box(outline)
    box = Rect(-around.x_mm, -around.y_mm, width_mm, height_mm)
    held = _held(alpha, outline, scale)
    outline = translate(outline, box.x_mm, box.y_mm)
    return Drawing(box, outline, on_white, alpha, 1.0 - held / whole)


def _held(alpha: Pixels, outline: Contour, mm_per_pixel: float) -> float:
    """Return the opacity, summed over pixels, that lies inside a cut line."""
    rows, cols = alpha.shape
    window = Window(0, 0, rows, cols)
    inside = area_coverage(outline, MM_PER_INCH / mm_per_pixel, window)
    return float((alpha * inside).sum())


def _alpha(path: Path, shape: tuple[int, ...]) -> Pixels | None:
    """Return the file's transparency as opened pixels lie, or None where it has none."""
    from PIL import ImageOps

    with begin_reading(path) as picture:
        if not picture.has_transparency_data:
            return None
        upright = ImageOps.exif_transpose(picture.convert("RGBA"))
        alpha = np.asarray(upright.getchannel("A"))
    return alpha if alpha.shape == shape and alpha.min() < OPAQUE else None


def _off_its_ground(pixels: Pixels) -> Pixels:
    """Return 255 wherever the picture is not the ground that surrounds it."""
    from scipy.ndimage import label

    edge = np.concatenate([pixels[0], pixels[-1], pixels[:, 0], pixels[:, -1]]).astype(np.int16)
    ground = np.median(edge, axis=0)
    if (np.abs(edge - ground).max(axis=1) <= GROUND_LEVELS).mean() < GROUND_SHARE:
        return np.full(pixels.shape[:2], 255, np.uint8)
    like = np.abs(pixels.astype(np.int16) - ground).max(axis=2) <= GROUND_LEVELS
    areas, _ = label(like)
    outer = np.unique(np.concatenate([areas[0], areas[-1], areas[:, 0], areas[:, -1]]))
    surrounds = np.isin(areas, outer[outer > 0])
    return np.where(surrounds, 0, 255).astype(np.uint8)
