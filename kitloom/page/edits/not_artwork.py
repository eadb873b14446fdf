"""What comes along with artwork and is none: each kind is answered with what to do.

In: a file's name, or its pixels where it is a picture. Out: why it cannot be a tile, and the way to
one; a licence or a preview that lies beside the tiles is not a fault.
"""

from __future__ import annotations

from pathlib import PurePosixPath

from kitloom.findings import cover_looks
from kitloom.page.page_error import PageError
from palette.arrays import Pixels
from patterns.covers import find_cover

_ONE_REPEAT = "save one repeat of the pattern as a PNG, at 300 pixels per inch or more"
# endings -> what such a file is, and what to do with it
_KINDS: tuple[tuple[frozenset[str], str, str], ...] = (
    (
        frozenset({".pdf"}),
        "is a PDF, not a picture",
        f"If a tile is in it, open it and {_ONE_REPEAT}.",
    ),
    (
        frozenset({".heic", ".heif"}),
        "is a HEIC photo, which is not opened here",
        "Open it where it was taken or on your computer, save it as JPEG, and drop that.",
    ),
    (
        frozenset({".svg", ".ai", ".eps", ".ps"}),
        "is a drawing of lines, not a picture",
        f"Open it in a drawing program and {_ONE_REPEAT}.",
    ),
    (
        frozenset({".psd", ".psb", ".xcf"}),
        "is a document of layers, not a picture",
        f"Open it in its own program and {_ONE_REPEAT}.",
    ),
    (
        frozenset({".txt", ".md", ".rtf", ".doc", ".docx", ".odt", ".html", ".htm", ".url"}),
        "is a text, not artwork",
        "If it is the licence, read it and keep it: it says what you may print and sell.",
    ),
    (
        frozenset({".rar", ".7z", ".tar", ".gz", ".tgz", ".bz2", ".xz"}),
        "is an archive of a kind that is not opened here",
        "Unpack it, and drop its pictures; a .zip is opened.",
    ),
    (
        frozenset({".ttf", ".otf", ".woff", ".woff2"}),
        "is a font, not artwork",
        'Give it in step 5, under "All settings of the words".',
    ),
    (
        frozenset({".mp4", ".mov", ".avi", ".webm", ".mp3", ".wav"}),
        "is a film or a sound, not artwork",
        "Leave it where it is.",
    ),
)


class NotArtworkError(PageError):
    """What lies beside artwork and is not a tile; nothing is wrong with the kit."""

    mild = True


def not_artwork(name: str) -> NotArtworkError | None:
    """Say what a file is that cannot be a tile, by its ending; None where it may be one."""
    ending = ending_of(name)
    for endings, what, remedy in _KINDS:
        if ending in endings:
            return NotArtworkError(what, where=shown_name(name), remedy=remedy)
    return None


def no_picture(name: str) -> NotArtworkError:
    """Say of a file of another kind that it is not a picture."""
    return NotArtworkError(
        "is not a picture that can be read",
        where=shown_name(name),
        remedy="Drop PNG, JPEG, TIFF or WebP files.",
    )


def shows_patterns(name: str, pixels: Pixels) -> NotArtworkError | None:
    """Say of a picture that it shows patterns and is not a tile; None where it may be one.

    Args:
        name: as it came.
        pixels: (height, width, 3) sRGB uint8.
    """
    cover = find_cover(pixels)
    if cover is None:
        return None
    looks, remedy = cover_looks(cover)
    return NotArtworkError(
        f"is left out: it looks like {looks}, not like a tile",
        where=shown_name(name),
        remedy=f"{remedy} If it is a tile anyway, name it in the recipe's text, and drop it again.",
    )


def ending_of(name: str) -> str:
    """Return a file name's ending in small letters, with its point."""
    return PurePosixPath(name.replace("\\", "/")).suffix.lower()


def shown_name(name: str) -> str:
    """Return a file's name as the maker sees it: without folders, and not too long."""
    last = name.replace("\\", "/").rstrip("/").rsplit("/", 1)[-1]
    plain = "".join(c for c in last if c.isprintable())
    return plain if len(plain) <= 60 else f"{plain[:40]}…{plain[-15:]}"
