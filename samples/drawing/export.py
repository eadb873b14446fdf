"""How a finished tile becomes a file: PNG in 256 colours, or JPEG without chroma thinning."""

from pathlib import Path

import numpy as np
from PIL import Image

PNG_COLOURS = 256


def save(picture: Image.Image, path: Path, dpi: int | None = None, quality: int = 90) -> None:
    """Write the picture as its name says, with its resolution where ``dpi`` is given."""
    extra = {} if dpi is None else {"dpi": (dpi, dpi)}
    path.parent.mkdir(parents=True, exist_ok=True)
    if path.suffix == ".jpg":
        picture.save(path, quality=quality, subsampling=0, optimize=True, **extra)
    elif picture.mode == "RGBA":
        picture.save(path, optimize=True, **extra)
    else:
        few_colours(picture).save(path, optimize=True, **extra)


def few_colours(picture: Image.Image) -> Image.Image:
    """The picture in at most 256 colours, undithered: flat areas and soft edges stay clean."""
    distinct = len(np.unique(np.asarray(picture).reshape(-1, 3), axis=0))
    if distinct <= PNG_COLOURS:
        return picture.quantize(PNG_COLOURS, dither=Image.Dither.NONE)
    return picture.quantize(PNG_COLOURS, Image.Quantize.MEDIANCUT, 3, dither=Image.Dither.NONE)
