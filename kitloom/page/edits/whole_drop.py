"""Which files of a drop come in, and what is said of the others?

In: the names of all that was dropped together, with their folders, and the recipe among them. Out:
which of them come, and a plain line for what is passed over. A maker drops the folder that she has:
last month's work, or the set that was written from it. What kitloom wrote there is no artwork, and
with a recipe comes the artwork that it names, and no other.
"""

from __future__ import annotations

import posixpath
import tomllib
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.recipe import file_places
from kitloom.disk import LEFT_BY_A_RUN, is_ours
from kitloom.page.edits.earlier_palettes import SUFFIXES as PALETTES
from kitloom.page.edits.intake import recipe_text
from kitloom.page.edits.not_artwork import NotArtworkError, ending_of, no_picture, not_artwork
from kitloom.page.page_error import PageError
from kitloom.page.state import plain_stem
from palette.errors import KitloomError
from patterns.artwork import SUFFIXES as PICTURES

READ_ME = "how-to-print-and-cut.txt"  # beside the files, where they are taken home as one archive
MOST_NAMES = 2000
_LEFT_BY_SYSTEMS = ("__MACOSX", "Thumbs.db", "desktop.ini", ".DS_Store")
_KNOWN = (*PICTURES, *PALETTES, ".toml", ".icc", ".icm", ".zip")


@dataclass(frozen=True, slots=True)
class SortedDrop:
    """What is done with a drop.

    Attributes:
        recipe: the number of the recipe that is opened, if there is one.
        come: the numbers of the other files that are taken in, as they were dropped.
        told: what is said of those that are not.
    """

    recipe: int | None
    come: tuple[int, ...]
    told: tuple[KitloomError, ...]

    def along(self, names: Sequence[str]) -> tuple[str, ...]:
        """Return the names of the artwork that comes with the recipe."""
        return tuple(names[number] for number in self.come if _is_picture(names[number]))


def recipe_among(names: Sequence[str]) -> int | None:
    """Return the number of the recipe that a drop is about: the one in the fewest folders.

    Of several in one folder it is ``kit.toml``, then the first by name.
    """
    found = [i for i, name in enumerate(names) if _is_recipe(name) and not is_hidden(name)]
    return min(
        found, key=lambda i: (len(_parts(names[i])), _last(names[i]) != "kit.toml", names[i]),
        default=None,
    )  # fmt: skip


def sort_drop(names: Sequence[str], recipe: bytes | None = None) -> SortedDrop:
    """Tell what of a drop is taken in.

    Args:
        names: of all its files, with their folders.
        recipe: the content of the one that ``recipe_among`` chose.

    Raises:
        KitloomError: there are too many, or the recipe is none.
    """
    if len(names) > MOST_NAMES:
        raise PageError(
            f"is more than {MOST_NAMES} files at once",
            where="What you dropped",
            remedy="Drop the folder of the tiles alone.",
        )
    at = recipe_among(names) if recipe is not None else None
    visible = [i for i, name in enumerate(names) if not is_hidden(name) and i != at]
    left = any(_last(names[i]) in LEFT_BY_A_RUN for i in visible)
    ours = {i for i in visible if _is_written(names[i])} if left or at is not None else set()
    if recipe is not None and at is not None:
        return _with_recipe(names, recipe, at, visible, ours)
    told: list[KitloomError] = [_without_recipe(names)] if left else []
    come = [i for i in visible if i not in ours and (_is_known(names[i]) or len(names) == 1)]
    others = [i for i in visible if i not in ours and i not in come]
    told += _passed_over({"file{s} that kitloom wrote": ours})
    told += [not_artwork(names[i]) or no_picture(names[i]) for i in others]
    if not come and not told:
        told.append(_nothing())
    return SortedDrop(None, tuple(come), tuple(told))


def _with_recipe(
    names: Sequence[str], recipe: bytes, at: int, visible: Sequence[int], ours: set[int]
) -> SortedDrop:
    named = _named_in(names, at, recipe, visible, ours)
    ours -= named
    kept = {i for i in visible if i not in ours and ending_of(names[i]) in (".zip", *PALETTES)}
    come = [i for i in visible if i in named | kept]
    rest = [i for i in visible if i not in ours and i not in come]
    pictures = {i for i in rest if _is_picture(names[i])}
    recipes = {i for i in rest if _is_recipe(names[i])}
    told = _passed_over(
        {
            "file{s} that kitloom wrote": ours,
            "picture{s} that the recipe does not name": pictures,
            "other recipe{s}": recipes,
            "other file{s}": set(rest) - pictures - recipes,
        },
        "Drop a picture by itself to add it." if pictures else "",
    )
    return SortedDrop(at, tuple(come), tuple(told))


def _named_in(
    names: Sequence[str], at: int, recipe: bytes, visible: Iterable[int], ours: set[int]
) -> set[int]:
    """Return the files of the artwork that a recipe names: by its path, else by its name."""
    folder = posixpath.dirname(_plain(names[at]))
    pictures = [i for i in visible if _is_picture(names[i])]
    by_path = {_plain(names[i]): i for i in pictures}
    by_name: dict[str, int] = {}
    for i in pictures:
        if i not in ours:
            by_name.setdefault(_stem(names[i]), i)
    found = set()
    for given in _artwork_of(recipe, names[at]):
        path = posixpath.normpath(posixpath.join(folder, _plain(given)))
        number = by_path.get(path, by_name.get(_stem(given)))
        if number is not None:
            found.add(number)
    return found


def _artwork_of(recipe: bytes, name: str) -> list[str]:
    """Return the artwork's files as a recipe's text names them.

    Raises:
        RecipeError: it is none.
    """
    text = recipe_text(recipe, _last(name))
    keys = file_places(text, Path(_last(name)))
    patterns = tomllib.loads(text).get("patterns", [])
    return [patterns[key[1]]["file"] for key in keys if key[0] == "patterns"]


def _without_recipe(names: Sequence[str]) -> PageError:
    """Say where the recipe lies of a set that was written."""
    lock = next(name for name in names if _last(name) in LEFT_BY_A_RUN and not is_hidden(name))
    folder = posixpath.basename(posixpath.dirname(lock.replace("\\", "/")))
    where = f"The folder {folder}" if folder else "What you dropped"
    lies = (
        f"mostly {folder}.toml, beside that folder"
        if folder
        else "a .toml file, mostly beside the folder of these files"
    )
    return PageError(
        "holds the files that kitloom wrote, and not the kit's recipe",
        where=where,
        remedy=f"Drop the recipe ({lies}), or the whole folder around it.",
    )


def _passed_over(kinds: dict[str, set[int]], remedy: str = "") -> list[KitloomError]:
    """Say in one line how many files of which kinds are passed over; nothing where none is."""
    words = [
        f"{len(some)} {kind.format(s='' if len(some) == 1 else 's')}"
        for kind, some in kinds.items()
        if some
    ]
    if not words:
        return []
    line = " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))
    return [NotArtworkError(line, where="Passed over:", remedy=remedy)]


def _nothing() -> PageError:
    return PageError(
        "holds nothing to add",
        where="What you dropped",
        remedy="Drop PNG, JPEG, TIFF or WebP files, a folder or a .zip of them, or a recipe.",
    )


def is_hidden(name: str) -> bool:
    """Tell whether a system or a program left a file there: the maker does not see it herself."""
    return any(part.startswith(".") or part in _LEFT_BY_SYSTEMS for part in _parts(name))


def _is_written(name: str) -> bool:
    return is_ours(_last(name)) or _last(name) == READ_ME


def _is_picture(name: str) -> bool:
    return ending_of(name) in PICTURES


def _is_recipe(name: str) -> bool:
    return ending_of(name) == ".toml"


def _is_known(name: str) -> bool:
    return name.lower().endswith(_KNOWN)


def _plain(name: str) -> str:
    """Return a path as it is compared: systems differ in slashes, capitals and accents."""
    return unicodedata.normalize("NFC", name.replace("\\", "/")).casefold()


def _stem(name: str) -> str:
    return plain_stem(name).casefold()


def _parts(name: str) -> list[str]:
    return [part for part in name.replace("\\", "/").split("/") if part not in {"", ".", ".."}]


def _last(name: str) -> str:
    return name.replace("\\", "/").rsplit("/", 1)[-1]
