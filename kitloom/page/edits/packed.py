"""Open a .zip of tiles as they are sold.

In: an archive that nobody vouches for. Out: the recipe in it, if there is one, and the pictures,
one after another, and for what else lies there why it is none. Its paths are never used as paths:
each file keeps the last part of its name, and comes out of memory. Sizes are counted as they are
read, whatever the archive says of itself, so a small archive that swells ends at a limit.
"""

from __future__ import annotations

import lzma
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import PurePosixPath
from typing import IO

from kit.recipe import MAX_BYTES as MAX_RECIPE_BYTES
from kitloom.page.edits.intake import MAX_FILE_BYTES, Incoming
from kitloom.page.edits.not_artwork import (
    NotArtworkError,
    ending_of,
    no_picture,
    not_artwork,
    shown_name,
)
from kitloom.page.edits.whole_drop import is_hidden, recipe_among, sort_drop
from kitloom.page.page_error import PageError
from palette.errors import KitloomError
from patterns.artwork import SUFFIXES

MAX_ENTRIES = 1000
MAX_UNPACKED_BYTES = 1024 * 1024 * 1024
_ENCRYPTED = 0x1  # bit 0 of a file's general purpose flags (PKWARE's APPNOTE.TXT, 4.4.4)
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    EOFError,
    NotImplementedError,
    RuntimeError,
)


@dataclass(frozen=True, slots=True)
class Unpacked:
    """What an archive holds.

    Attributes:
        recipe: the recipe that is opened.
        pictures: the files that may be tiles, in the order of their names.
        others: for each other file, why it is not a tile.
    """

    recipe: Incoming | None
    pictures: tuple[zipfile.ZipInfo, ...]
    others: tuple[KitloomError, ...]


def is_archive(name: str) -> bool:
    """Tell whether a dropped file is an archive that is opened here."""
    return ending_of(name) == ".zip"


def pictures_in(
    file: IO[bytes], name: str, drop: str, room: int
) -> Iterator[Incoming | KitloomError]:
    """Yield the recipe of an archive, each picture, and why each other file is not a tile.

    With a recipe come the pictures that it names, and no others.

    Args:
        file: the archive.
        name: what it is called.
        drop: the drop that its pictures are undone with.
        room: how many tiles the kit still has room for.

    Raises:
        KitloomError: it is not an archive that can be opened, holds too much, or its recipe is
            none.
    """
    shown = shown_name(name)
    try:
        with zipfile.ZipFile(file) as archive:
            found = _looked_through(archive, shown, room)
            if found.recipe is not None:
                yield replace(found.recipe, drop=drop)
            yield from found.others
            left = MAX_UNPACKED_BYTES
            for info in found.pictures:
                with archive.open(info) as member:
                    content = member.read(min(MAX_FILE_BYTES + 1, left + 1))
                left -= len(content)
                if left < 0:
                    raise _too_much(shown)
                yield Incoming(info.filename, content, drop)
    except OSError as error:
        if error.errno is not None:
            raise  # the disk's; what is packed with bzip2 and damaged has no number
        raise _unreadable(shown) from error
    except _DAMAGED as error:
        raise _unreadable(shown) from error


def _looked_through(archive: zipfile.ZipFile, shown: str, room: int) -> Unpacked:
    infos = [info for info in archive.infolist() if not info.is_dir()]
    infos = [info for info in infos if not is_hidden(info.filename)]
    if len(infos) > MAX_ENTRIES:
        raise PageError(
            f"holds {len(infos)} files",
            where=shown,
            remedy="Unpack it, and drop the pictures that you want.",
        )
    if any(info.flag_bits & _ENCRYPTED for info in infos):
        raise PageError(
            "is locked with a password",
            where=shown,
            remedy="Unpack it with the password, and drop its pictures.",
        )
    # without its ending, so that "x" comes before "x (1)", which may be a copy of it
    infos.sort(key=lambda info: PurePosixPath(info.filename.casefold()).with_suffix(""))
    names = [info.filename for info in infos]
    at = recipe_among(names)
    content = None
    if at is not None:
        with archive.open(infos[at]) as member:
            content = member.read(MAX_RECIPE_BYTES + 1)
    drop = sort_drop(names, content)
    recipe = (
        Incoming(names[at], content, along=drop.along(names))
        if at is not None and content
        else None
    )
    pictures = [infos[i] for i in drop.come if ending_of(names[i]) in SUFFIXES]
    others = [_why_not(names[i]) for i in drop.come if infos[i] not in pictures]
    others += drop.told
    if not pictures and recipe is None and all(isinstance(one, NotArtworkError) for one in others):
        raise PageError(
            "holds no picture that can be read",
            where=shown,
            remedy="Drop a .zip with PNG, JPEG, TIFF or WebP files.",
        )
    if recipe is None and len(pictures) > room:
        raise PageError(
            f"holds {len(pictures)} pictures, and the kit has room for {room} more",
            where=shown,
            remedy="Unpack it, and drop the pictures that you want.",
        )
    if sum(info.file_size for info in pictures) > MAX_UNPACKED_BYTES:
        raise _too_much(shown)
    return Unpacked(recipe, tuple(pictures), tuple(others))


def _why_not(name: str) -> KitloomError:
    if ending_of(name) == ".zip":
        return NotArtworkError(
            "is an archive within the archive",
            where=shown_name(name),
            remedy="Unpack the outer one, and drop this one by itself.",
        )
    return not_artwork(name) or no_picture(name)


def _too_much(shown: str) -> PageError:
    return PageError(
        f"unpacks to more than {MAX_UNPACKED_BYTES // 2**30} GiB",
        where=shown,
        remedy="Unpack it, and drop the pictures that you want.",
    )


def _unreadable(shown: str) -> PageError:
    return PageError(
        "cannot be unpacked",
        where=shown,
        why="it is damaged, or packed in a way that is not read here",
        remedy="Unpack it yourself, and drop its pictures.",
    )
