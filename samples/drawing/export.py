"""How a finished tile becomes a file: PNG in 256 colours, or JPEG (4:4:4 from quality 90)."""

from pathlib import Path

import numpy as np
from PIL import Image
from scipy.spatial import cKDTree

EXACT_COLOURS = 64
PNG_COLOURS = 256


def save(picture: Image.Image, path: Path, dpi: int | None = None, quality: int = 90) -> None:
    """Write the picture as its name says, with its resolution where ``dpi`` is given."""
    extra = {} if dpi is None else {"dpi": (dpi, dpi)}
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.suffix == ".jpg":
        thinning = 0 if quality >= 90 else 2
        picture.save(path, quality=quality, subsampling=thinning, optimize=True, **extra)
    elif picture.mode == "RGBA":
        picture.save(path, optimize=True, **extra)
    else:
        few_colours(picture).save(path, optimize=True, **extra)


def few_colours(picture: Image.Image) -> Image.Image:
    """The picture in at most 256 colours, undithered.

    The commonest colours (the flat areas) are kept exactly; the blends along soft edges share the
    rest, each going to its nearest.
    """
    pixels = np.asarray(picture)
    colours, back, counts = np.unique(
        pixels.reshape(-1, 3), axis=0, return_inverse=True, return_counts=True
    )
    table = colours
    if len(colours) > PNG_COLOURS:
        order = np.argsort(-counts, kind="stable")
        blends = Image.fromarray(colours[order[EXACT_COLOURS:]][None])
        left = PNG_COLOURS - EXACT_COLOURS
        rest = blends.quantize(left, Image.Quantize.MEDIANCUT, 3).getpalette()
        table = np.concatenate([colours[order[:EXACT_COLOURS]], np.reshape(rest, (-1, 3))[:left]])
    nearest = cKDTree(table).query(colours)[1]
    indexed = Image.fromarray(nearest[back].reshape(pixels.shape[:2]).astype(np.uint8), "P")
    indexed.putpalette(table.astype(np.uint8).tobytes())
    return indexed
