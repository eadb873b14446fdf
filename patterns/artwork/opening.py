"""Open a file someone drew or bought, as the pixels that will be printed.

In: PNG, JPEG, TIFF, WebP, BMP, GIF and the few other pixel formats of ``FORMATS``. Out: an
``Artwork``, sRGB uint8, upright, on the paper's white, with the resolution that the file names
(how: see ``patterns.artwork.flatten``).

Memory: 4 bytes a pixel while decoding and 3 for the result, so 1.0 GiB for the largest tile of
12,000 px a side; up to twice that while colours are converted or transparency is laid on white.

Not done here: judging the tile, drawing vector files. This is the only module of the package that
reads files.
"""

from __future__ import annotations

import hashlib
import stat
import warnings
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from palette.arrays import Pixels
from patterns.artwork.flatten import flatten
from patterns.artwork.own_pictures import is_own_picture
from patterns.artwork_error import ArtworkError

if TYPE_CHECKING:
    from PIL.ImageFile import ImageFile

MAX_PIXELS = 150_000_000  # a 12,000 px square, and the guard against decompression bombs
MAX_BYTES = 512 * 1024 * 1024
SUFFIXES = (".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp", ".bmp", ".gif")
# only decoders of pixels: others run programs (EPS); the five that load quickly come first
FORMATS = ("PNG", "JPEG", "BMP", "GIF", "PPM", "TIFF", "WEBP", "JPEG2000", "AVIF")
LOSSY = {"JPEG", "MPO", "WEBP", "JPEG2000", "AVIF"}

# what a file begins with -> what it is, for files that are not pixels whatever they are called
_OTHER_KINDS = (
    (b"%PDF", "a PDF"),
    (b"%!PS", "a PostScript drawing"),
    (b"8BPS", "a layered document"),
    (b"PK\x03\x04", "a ZIP archive"),
    (b"<?xml", "an XML text"),
    (b"<svg", "an SVG drawing"),
    (b"<!doctype html", "a web page"),
    (b"<html", "a web page"),
)
_opening = Lock()


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
    """Return the image files in a folder, sorted by name.

    Left out are sub-folders and kitloom's own pictures, which are beside the tiles they show.
    """
    return sorted(
        p
        for p in folder.iterdir()
        if p.is_file()
        and p.suffix.lower() in SUFFIXES
        and not p.name.startswith(".")
        and not is_own_picture(p)
    )


def digest(path: Path) -> str:
    """Return the SHA-256 of a file's bytes, in hex."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def open_artwork(path: Path, *, own_numbers: bool = False) -> Artwork:
    """Read one file.

    Args:
        path: the file.
        own_numbers: ignore the profile in it, so that the pixels are not sRGB but the
            file's own numbers: what a scanner delivered.

    Raises:
        ArtworkError: missing, not an image, damaged or cut short, or larger than ``MAX_PIXELS``.
    """
    _refuse_what_is_no_file(path)
    try:
        return _decode(path, own_numbers=own_numbers)
    except ArtworkError:
        raise
    except PermissionError as error:
        raise ArtworkError(
            "may not be read", where=str(path), remedy="Change its permissions."
        ) from error
    except Exception as error:  # on broken bytes, decoders raise errors of many kinds
        raise ArtworkError(
            "is damaged or cut short",
            where=str(path),
            why=_damage(error),
            remedy="Export or download it again.",
        ) from error


def _damage(error: Exception) -> str:
    """Return what is wrong with a file's bytes, as far as its decoder's words tell."""
    words = str(error).lower()
    short = isinstance(error, EOFError) or "truncat" in words or "end of" in words
    return "its end is missing" if short else "its bytes do not fit together"


def _refuse_what_is_no_file(path: Path) -> None:
    where = str(path)
    try:
        status = path.stat()
    except (OSError, ValueError) as error:
        if isinstance(error, PermissionError):
            raise ArtworkError(
                "may not be read", where=where, remedy="Change the folder's permissions."
            ) from error
        raise ArtworkError(
            "no such file", where=where, remedy="Check the name and the folder."
        ) from error
    if stat.S_ISDIR(status.st_mode):
        raise ArtworkError("is a folder", where=where, remedy="Name an image file in it.")
    if not stat.S_ISREG(status.st_mode):  # reading a pipe could wait for ever
        raise ArtworkError("is not an ordinary file", where=where, remedy="Name an image file.")
    if status.st_size == 0:
        raise ArtworkError("is empty", where=where, remedy="Export or download it again.")
    if status.st_size > MAX_BYTES:
        raise ArtworkError(
            f"is over {MAX_BYTES // 2**20} MiB", where=where, remedy="Save a smaller copy."
        )


def _decode(path: Path, *, own_numbers: bool) -> Artwork:
    from PIL import Image, UnidentifiedImageError

    try:
        image = begin_reading(path)
    except Image.DecompressionBombError as error:
        raise _too_many_pixels(path) from error
    except UnidentifiedImageError as error:
        raise _no_image(path) from error
    with image:
        if image.width * image.height > MAX_PIXELS:
            raise _too_many_pixels(path, image.width, image.height)
        lossy = image.format in LOSSY or image.info.get("compression") == "jpeg"
        pixels, dpi, notes = flatten(image, own_numbers=own_numbers)
    return Artwork(path, pixels, dpi, notes, lossy)


def begin_reading(path: Path) -> ImageFile:
    """Open an image file whose pixels are still to be read, by the decoders of ``FORMATS`` alone.

    Raises:
        Exception: Pillow's own, where it is not an image or the start of it is damaged.
    """
    from PIL import Image

    # our own guard of the size is in open_artwork, Pillow's warning would only say it again;
    # the lock because warnings' filters belong to the whole process
    with _opening, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return Image.open(path, formats=FORMATS)


def _no_image(path: Path) -> ArtworkError:
    with path.open("rb") as file:
        start = file.read(512).lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    kinds = (kind for magic, kind in _OTHER_KINDS if start.startswith(magic.lower()))
    kind = "an SVG drawing" if b"<svg" in start else next(kinds, "not an image that can be read")
    return ArtworkError(
        f"is {kind}",
        where=str(path),
        why="" if kind.startswith("not") else "not pixels",
        remedy="Export it as PNG or JPEG.",
    )


def _too_many_pixels(path: Path, width: int = 0, height: int = 0) -> ArtworkError:
    size = f"has {width} × {height} px, " if width else "has far too many pixels, "
    return ArtworkError(
        f"{size}more than the limit of {MAX_PIXELS:,} pixels",
        where=str(path),
        remedy="Cut out one tile, or save a smaller copy.",
    )
