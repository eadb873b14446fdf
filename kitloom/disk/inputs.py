"""Which files does the maker mean? Files and folders on the command line become a list of files."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path

from palette.errors import KitloomError, is_unshown
from palette.near_files import file_meant
from patterns.artwork_error import ArtworkError


def artwork_files(given: Sequence[Path]) -> list[Path]:
    """Return the files named, and for each folder the artwork in it, each file once.

    Raises:
        ArtworkError: a name that does not exist, or a folder without artwork.
    """
    from patterns.artwork import find_artwork

    files: list[Path] = []
    for path in given:
        if path.is_dir():
            inside = find_artwork(path)
            if not inside:
                raise _no_artwork(path)
            files += inside
        elif path.exists():
            files.append(path)
        else:
            remedy = file_meant(path) or "Check the name and the folder."
            raise ArtworkError("no such file or folder", where=str(path), remedy=remedy)
    for path in files:
        check_name(str(path))
    return list(dict.fromkeys(files))


def _no_artwork(folder: Path) -> ArtworkError:
    """Say of a folder that it holds no artwork, or that the folders in it do."""
    from patterns.artwork import SUFFIXES, find_artwork

    sets = [one for one in sorted(folder.iterdir()) if one.is_dir() and find_artwork(one)]
    if not sets:
        remedy = f"Put image files into it ({', '.join(SUFFIXES)})."
        return ArtworkError("holds no artwork", where=str(folder), remedy=remedy)
    what = "holds no artwork of its own, only folders with artwork in them"
    one = f'Name one of them, such as "{sets[0]}"'
    remedy = f"{one}; for check and palette, {folder / '*'} names all"
    if len(sets) == 1:
        what, remedy = "holds no artwork of its own, only a folder with artwork in it", one
    return ArtworkError(what, where=str(folder), remedy=f"{remedy}.")


_TEXTS = {".toml", ".txt", ".md", ".json", ".csv", ".css", ".cxf", ".html", ".icc", ".icm", ".lock"}


def unopenable_files(folder: Path) -> list[Path]:
    """Return the files of a folder that may be meant as artwork but are of no kind that opens."""
    from patterns.artwork import SUFFIXES

    return sorted(
        path
        for path in folder.iterdir()
        if path.is_file()
        and not path.name.startswith(".")
        and path.suffix.lower() not in {*SUFFIXES, *_TEXTS}
    )


def check_name(name: str) -> None:
    """Refuse names that no file or terminal could show, before any work is done.

    Raises:
        KitloomError: control characters, or bytes that are not UTF-8.
    """
    unknown_letters = sys.getfilesystemencoding() != "utf-8" and not name.isascii()
    if unknown_letters and any("\udc80" <= character <= "\udcff" for character in name):
        raise KitloomError(
            "the language that your system is set to has no such letters in the names of files",
            where=name,
            remedy="Set PYTHONUTF8=1 and run it again.",
        )
    if any(is_unshown(character) for character in name):
        raise KitloomError(
            "has a name that cannot be shown",
            where=name,
            why="control characters, or bytes that are not UTF-8",
            remedy="Rename it.",
        )


def unique_stems(paths: Sequence[Path]) -> list[str]:
    """Return each file's name without its ending, numbered where two files share one."""
    stems: list[str] = []
    for number, path in enumerate(paths, start=1):
        stems.append(path.stem if path.stem not in stems else f"{path.stem}-{number}")
    return stems


def is_recipe(path: Path) -> bool:
    """Tell whether a path names a recipe by its ending."""
    return path.suffix.lower() == ".toml"


def folder_beside(recipe: Path, ending: str = "") -> Path:
    """Return the folder that a recipe's files go into unless another is named.

    Args:
        recipe: the recipe's file.
        ending: what the folder's name has behind the recipe's.

    Raises:
        KitloomError: a folder, or no name at all.
    """
    if not recipe.name or os.path.isdir(recipe):  # noqa: PTH112  False where a name is too long
        raise KitloomError(
            "is a folder, not a recipe",
            where=str(recipe),
            remedy="Name the recipe in it; for a folder of artwork, kitloom draft writes one.",
        )
    return recipe.with_name(f"{recipe.stem}{ending}")


def positive_length(text: str, option: str, least_mm: float = 0.0) -> float:
    """Return the millimetres of a length option that must be more than nothing.

    Raises:
        KitloomError: not a length, not above zero, or under ``least_mm``.
    """
    from patterns.units import parse_length

    value = parse_length(text, where=option)
    if value <= 0:
        raise KitloomError(
            f'"{text}" is not more than 0', where=option, remedy='Write it like "0.75in".'
        )
    if value < least_mm:
        raise KitloomError(
            f'"{text}" is less than {least_mm:g} mm',
            where=option,
            remedy="Is the decimal point or the unit wrong?",
        )
    return value
