"""What would this image look like on white paper, the right way up? One plain sRGB picture of it.

In: an opened Pillow image of any mode. Out: (height, width, 3) sRGB uint8, the resolution it names,
and what was done as plain sentences.

- Orientation as EXIF says (CIPA DC-008, tag 0x0112).
- An embedded ICC profile (ICC.1:2022) is converted to sRGB by LittleCMS, perceptual intent; one
  that is sRGB in all but name is left alone. Without a profile sRGB is meant.
- Transparency is shown on white, mixed in sRGB's own numbers as screens do.
- 16 bits a channel are cut to 8; of several frames the first is used.

Not done here: reading files, the guards on their size (``patterns.artwork.opening``).
"""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np

from palette.arrays import Pixels
from palette.errors import shown

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageCms import ImageCmsProfile

ORIENTATION = 0x0112
STRIP_PX = 4_000_000
MOST_LABEL = 100  # characters of a profile's own name
SAME_TO_WITHIN = 2  # of 255: less than any eye sees, more than rounding in profiles' tables


def flatten(
    image: Image, *, own_numbers: bool = False
) -> tuple[Pixels, float | None, tuple[str, ...]]:
    """Return pixels (read-only), the dpi named in the file or None, and notes.

    Args:
        image: opened, not yet read.
        own_numbers: ignore an embedded profile, and give the file's own numbers.

    Raises:
        Exception: what its decoder raises for a damaged file.
    """
    notes = []
    if getattr(image, "is_animated", False):
        notes.append("The file holds several frames; the first one is used.")
    if _has_16_bits(image):
        notes.append("Its 16 bits a channel were brought to 8.")
    image.load()
    dpi = named_dpi(image)
    profile = None if own_numbers else image.info.get("icc_profile")
    upright = _upright(image)
    if upright is not image:
        notes.append("Turned upright as its EXIF orientation says.")
    colour, opacity = _split_alpha(upright)
    colour, note = _to_srgb(_eight_bit(colour), profile)
    notes += [note] if note else []
    if opacity is not None:
        colour = _on_white(colour, opacity)
        notes.append("Transparent areas are shown on the paper's white.")
    return _pixels(colour), dpi, tuple(notes)


def _pixels(image: Image) -> Pixels:
    """Return an RGB image's pixels, read-only; strip by strip, as one go needs them twice."""
    strip = max(1, STRIP_PX // image.width)
    if strip >= image.height:
        return np.asarray(image)
    pixels = np.empty((image.height, image.width, 3), dtype=np.uint8)
    for top in range(0, image.height, strip):
        bottom = min(top + strip, image.height)
        pixels[top:bottom] = np.asarray(image.crop((0, top, image.width, bottom)))
    pixels.setflags(write=False)
    return pixels


def named_dpi(image: Image) -> float | None:
    """Return the resolution an image names, pixels to the inch, or None."""
    value = image.info.get("dpi")
    try:
        dpi = float(value[0]) if isinstance(value, tuple) else float(value or 0)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    # 1 and below is how writers say "no unit": an aspect ratio, not a resolution
    return round(dpi, 2) if 1.5 < dpi < 100_000 else None


def _has_16_bits(image: Image) -> bool:
    """Tell from what the decoder was asked to read; Pillow itself hands out 8 bits of colour."""
    return image.mode.startswith("I;16") or any(
        ";16" in str(tile[3]) for tile in getattr(image, "tile", [])
    )


def _upright(image: Image) -> Image:
    from PIL import ImageOps

    try:
        orientation = image.getexif().get(ORIENTATION, 1)
    except Exception:  # broken EXIF says nothing about the pixels, which are sound
        return image
    return ImageOps.exif_transpose(image) if orientation in range(2, 9) else image


def _split_alpha(image: Image) -> tuple[Image, Image | None]:
    """Return the image without alpha, and its opacity where it is not opaque throughout."""
    if "transparency" in image.info or image.mode in {"PA", "RGBa", "La"}:
        image = image.convert("RGBA")
    elif image.mode == "P":
        return image.convert("RGB"), None
    if image.mode not in {"RGBA", "LA"}:
        return image, None
    opacity = image.getchannel("A")
    colour = image.convert("RGB" if image.mode == "RGBA" else "L")
    return colour, None if opacity.getextrema()[0] == 255 else opacity


def _on_white(colour: Image, opacity: Image) -> Image:
    from PIL import Image as Images

    paper = Images.new("RGB", colour.size, "white")
    paper.paste(colour, mask=opacity)
    return paper


def _eight_bit(image: Image) -> Image:
    """Bring 16-bit and float greys to 8 bits by their own range; Pillow's convert only clips."""
    from PIL import Image as Images

    if image.mode.startswith("I"):
        return Images.fromarray((np.asarray(image) >> 8).clip(0, 255).astype(np.uint8))
    if image.mode == "F":
        values = np.nan_to_num(np.asarray(image, dtype=np.float64))
        top = 1.0 if values.max(initial=0.0) <= 1.0 else 255.0
        return Images.fromarray(np.rint(values.clip(0, top) * (255.0 / top)).astype(np.uint8))
    return image


def _to_srgb(image: Image, profile: bytes | None) -> tuple[Image, str]:
    """Return the image in sRGB and a note on what was done."""
    from PIL import ImageCms

    if image.mode == "LAB":
        lab = ImageCms.createProfile("LAB")
        return _through(ImageCms.ImageCmsProfile(lab), image), "Converted to sRGB from CIELAB."
    if profile and image.mode in {"RGB", "CMYK", "L"}:
        try:
            source = ImageCms.ImageCmsProfile(BytesIO(profile))
            label = shown(ImageCms.getProfileDescription(source).strip())[:MOST_LABEL]
            if _is_srgb(source, image.mode):
                return image.convert("RGB"), ""
            return _through(source, image), f"Converted to sRGB from {label or 'its own profile'}."
        except (ImageCms.PyCMSError, OSError, ValueError):
            note = "Its embedded colour profile is damaged or not its own; "
            guess = "the colours are a guess." if image.mode == "CMYK" else "sRGB is assumed."
            return image.convert("RGB"), note + guess
    if image.mode == "CMYK":
        return image.convert("RGB"), "CMYK without a profile; the colours are a guess."
    return (image if image.mode == "RGB" else image.convert("RGB")), ""


def _through(source: ImageCmsProfile, image: Image) -> Image:
    from PIL import ImageCms

    transform = ImageCms.buildTransform(
        source, ImageCms.createProfile("sRGB"), image.mode, "RGB", ImageCms.Intent.PERCEPTUAL
    )
    converted = ImageCms.applyTransform(image, transform)
    if converted is None:
        raise ValueError("no conversion")
    return converted


def _is_srgb(source: ImageCmsProfile, mode: str) -> bool:
    """Tell by what it does to colours over the whole cube: names of profiles prove nothing."""
    from PIL import Image as Images

    if mode == "CMYK":
        return False
    steps = np.linspace(0, 255, 8).astype(np.uint8)
    cube = np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(1, -1, 3)
    every_colour = Images.fromarray(cube if mode == "RGB" else cube[..., 0])
    before = np.asarray(every_colour.convert("RGB"), dtype=int)
    return bool(np.abs(np.asarray(_through(source, every_colour)) - before).max() <= SAME_TO_WITHIN)
