"""Open a file someone drew or bought, as the pixels that will be printed.

In: PNG, JPEG and whatever else Pillow reads safely. Out: an ``Artwork``, sRGB uint8, upright (EXIF
orientation applied), composited on the paper's white, with the resolution that the file names.
Embedded ICC profiles are converted to sRGB by LittleCMS (perceptual intent).

Not done here: judging the tile. This is the only module of the package that reads files.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ArtworkError

if TYPE_CHECKING:
    from PIL.Image import Image

Pixels = NDArray[np.uint8]

MAX_PIXELS = 150_000_000  # a 12,000 px square, and the guard against decompression bombs
MAX_BYTES = 512 * 1024 * 1024
SUFFIXES = (".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp", ".bmp", ".gif")


@dataclass(frozen=True, slots=True)
class Artwork:
    """One piece of artwork, ready to be measured.

    Attributes:
        path: where it was read from.
        pixels: (height, width, 3) sRGB uint8, read-only.
        dpi: the resolution named in the file, or None.
        notes: what was done on opening, each one plain sentence.
        lossy: whether the file format loses detail (JPEG artefacts are not faults).
    """

    path: Path
    pixels: Pixels
    dpi: float | None
    notes: tuple[str, ...]
    lossy: bool

    @property
    def name(self) -> str:
        """The file's name without its ending; recipes call patterns by it."""
        return self.path.stem

    @property
    def width_px(self) -> int:
        """Width in pixels."""
        return int(self.pixels.shape[1])

    @property
    def height_px(self) -> int:
        """Height in pixels."""
        return int(self.pixels.shape[0])


def find_artwork(folder: Path) -> list[Path]:
    """Return the image files in a folder, sorted by name, sub-folders left out."""
    return sorted(
        p
        for p in folder.iterdir()
        if p.is_file() and p.suffix.lower() in SUFFIXES and not p.name.startswith(".")
    )


def open_artwork(path: Path) -> Artwork:
    """Read one file.

    Raises:
        ArtworkError: missing, not an image, truncated, or larger than ``MAX_PIXELS``.
    """
    from PIL import Image, UnidentifiedImageError

    where = str(path)
    if not path.exists():
        raise ArtworkError("no such file", where=where, remedy="Check the name and the folder.")
    if path.is_dir():
        raise ArtworkError("is a folder", where=where, remedy="Name an image file in it.")
    if path.stat().st_size > MAX_BYTES:
        raise ArtworkError(
            f"is over {MAX_BYTES // 2**20} MiB", where=where, remedy="Save a smaller copy."
        )
    try:
        with warnings.catch_warnings():
            # our own guard is below; Pillow's warning would only say it again
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(path) as image:
                if image.width * image.height > MAX_PIXELS:
                    raise _too_many_pixels(where, image.width, image.height)
                image.load()
                return _upright_srgb(path, image)
    except Image.DecompressionBombError as error:
        raise _too_many_pixels(where) from error
    except UnidentifiedImageError as error:
        raise ArtworkError(
            "is not an image that can be read",
            where=where,
            remedy="Export it as PNG or JPEG.",
        ) from error
    except PermissionError as error:
        raise ArtworkError(
            "may not be read", where=where, remedy="Change its permissions."
        ) from error
    except (OSError, SyntaxError, ValueError, EOFError, MemoryError) as error:
        raise ArtworkError(
            "is damaged or cut short",
            where=where,
            why=str(error) or type(error).__name__,
            remedy="Export or download it again.",
        ) from error


def _too_many_pixels(where: str, width: int = 0, height: int = 0) -> ArtworkError:
    size = f"has {width} x {height} px, " if width else "has far too many pixels, "
    return ArtworkError(
        f"{size}more than the limit of {MAX_PIXELS:,} pixels",
        where=where,
        remedy="Cut out one tile, or save a smaller copy.",
    )


def _upright_srgb(path: Path, image: Image) -> Artwork:
    from PIL import ImageOps

    notes: list[str] = []
    lossy = image.format in {"JPEG", "WEBP"}
    dpi = _named_dpi(image)
    if getattr(image, "n_frames", 1) > 1:
        notes.append("The file holds several frames; the first one is used.")
    profile = image.info.get("icc_profile")
    upright = ImageOps.exif_transpose(image)
    if upright.size != image.size or upright.tobytes() != image.tobytes():
        notes.append("Turned upright as its EXIF orientation says.")
    colour, alpha = _split_alpha(upright)
    colour, note = _to_srgb(colour, profile)
    if note:
        notes.append(note)
    pixels = np.array(colour, dtype=np.uint8)
    if alpha is not None:
        pixels = _on_white(pixels, alpha)
        notes.append("Transparent areas are shown on the paper's white.")
    pixels.setflags(write=False)
    return Artwork(path, pixels, dpi, tuple(notes), lossy)


def _named_dpi(image: Image) -> float | None:
    value = image.info.get("dpi")
    try:
        dpi = float(value[0]) if isinstance(value, tuple) else float(value or 0)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    # 1 and below is how writers say "no unit": an aspect ratio, not a resolution
    return round(dpi, 2) if 1.5 < dpi < 100_000 else None


def _split_alpha(image: Image) -> tuple[Image, NDArray[np.float32] | None]:
    """Return the image without alpha, and its opacity 0 to 1 where it is not opaque throughout."""
    if image.mode in {"P", "PA"} or "transparency" in image.info:
        image = image.convert("RGBA")
    if image.mode not in {"RGBA", "LA"}:
        return image, None
    opacity = np.asarray(image.getchannel("A"), dtype=np.float32) / 255.0
    colour = image.convert("RGB" if image.mode == "RGBA" else "L")
    return colour, None if bool((opacity == 1.0).all()) else opacity


def _on_white(pixels: Pixels, opacity: NDArray[np.float32]) -> Pixels:
    shown = pixels * opacity[..., None] + 255.0 * (1.0 - opacity[..., None])
    return np.rint(shown).astype(np.uint8)


def _eight_bit(image: Image) -> Image:
    """Bring 16-bit and float greys to 8 bits by their own range; Pillow's convert only clips."""
    from PIL import Image as Images

    if image.mode.startswith("I;16") or image.mode == "I":
        return Images.fromarray((np.asarray(image, dtype=np.int64) >> 8).clip(0, 255).astype("u1"))
    if image.mode == "F":
        values = np.nan_to_num(np.asarray(image, dtype=np.float64))
        top = 1.0 if values.max(initial=0.0) <= 1.0 else 255.0
        return Images.fromarray(np.rint(values.clip(0, top) * (255.0 / top)).astype("u1"))
    return image


def _to_srgb(image: Image, profile: bytes | None) -> tuple[Image, str]:
    """Return the image in sRGB and a note on what was done; without a profile, sRGB is meant."""
    from PIL import ImageCms

    image = _eight_bit(image)
    if profile and image.mode in {"RGB", "CMYK", "L"}:
        try:
            source = ImageCms.ImageCmsProfile(BytesIO(profile))
            label = ImageCms.getProfileDescription(source).strip() or "an embedded profile"
            if "srgb" in label.lower():
                return image.convert("RGB"), ""
            converted = ImageCms.profileToProfile(
                image, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
        except (ImageCms.PyCMSError, OSError, ValueError):
            return image.convert("RGB"), "Its embedded colour profile is damaged; sRGB is assumed."
        if converted is not None:
            return converted, f"Converted to sRGB from {label}."
    if image.mode == "CMYK":
        return image.convert("RGB"), "CMYK without a profile; the colours are a guess."
    return image.convert("RGB"), ""
