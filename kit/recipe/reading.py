"""From a recipe's text to a checked ``Recipe``, or to what is wrong with it.

In: a file, or its text. Out: a ``Recipe``. Every fault is one ``RecipeError`` that quotes the line
it is on and says how to mend it; one line at fault is reported once.

Not done here: opening what the recipe names. Files are read by ``kit.recipe.text_files``,
``kit.drawings.outline_file``, ``kit.drawings.icon_file`` and ``kit.letters.typeface``, and nowhere
else in this package.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from kit.recipe.coordinate_keys import coordinate_faults
from kit.recipe.files import Key, files_of
from kit.recipe.idle import idle_keys
from kit.recipe.messages import key_of, near, not_toml, recipe_error
from kit.recipe.model import Recipe
from kit.recipe.slips import least_sizes
from kit.recipe.text_files import read_text
from kit.recipe_error import RecipeError
from palette.errors import is_unshown
from palette.toml_text import parse_toml

MAX_BYTES = 1_000_000
_BEGIN = "kitloom draft writes one from a folder of artwork"


def read_recipe(path: Path) -> Recipe:
    """Read and check one recipe file.

    Raises:
        RecipeError: missing, too large, not TOML, or not a recipe.
    """
    if os.path.isdir(path):  # noqa: PTH112  false, not an error, for a name beyond all length
        raise RecipeError(
            "is a folder, not a recipe",
            where=str(path),
            remedy="Name the recipe in it; for a folder of artwork, kitloom draft writes one.",
        )
    return parse_recipe(read_text(path, noun="recipe", most_bytes=MAX_BYTES), path)


def parse_recipe(text: str, path: Path) -> Recipe:
    """Check a recipe's text; ``path`` names it in errors and gives the folder of its files.

    Raises:
        RecipeError: the text is not TOML, or not a recipe, or has a key without effect.
    """
    recipe = _recipe_of(text, path)
    said = [*least_sizes(recipe), *coordinate_faults(recipe.coordinates)]
    faults = [recipe_error(text, path, key, words) for key, words in said]
    for one in idle_keys(recipe):
        words = f"has no effect: {one.why}. {one.remedy_words}"
        faults.append(recipe_error(text, path, one.key, words))
    if faults:
        raise _first_of(faults)
    return recipe


def file_places(text: str, path: Path) -> tuple[Key, ...]:
    """Return the paths of all keys that name a file in a recipe's text.

    Raises:
        RecipeError: it is not a recipe; keys without effect are taken here.
    """
    return tuple(key for key, _ in files_of(_recipe_of(text, path)))


def idle_places(text: str, path: Path) -> tuple[Key, ...]:
    """Return the paths of all keys without effect in a recipe's text.

    Raises:
        RecipeError: it is not a recipe, these keys aside.
    """
    return tuple(one.key for one in idle_keys(_recipe_of(text, path)))


def _recipe_of(text: str, path: Path) -> Recipe:
    try:
        data = parse_toml(text)
    except ValueError as error:
        raise not_toml(text, path, error) from error
    for place, words in _texts(data, ()):
        if any(is_unshown(character) and character not in "\n\t" for character in words):
            raise recipe_error(text, path, place, "has a character that cannot be shown")
    if not data:
        raise RecipeError("is an empty recipe", where=str(path), remedy=f"To begin: {_BEGIN}.")
    for reserved in ("folder", "file"):
        if reserved in data:
            raise recipe_error(text, path, (reserved,), f'there is no key "{reserved}"')
    try:
        return Recipe.model_validate({**data, "folder": path.parent, "file": path})
    except ValidationError as error:
        raise _first_of(_faults(error, text, path)) from error


def _texts(part: Any, place: tuple[str | int, ...]) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield every text and every key of a recipe with its place."""
    if isinstance(part, str):
        yield place, part
    elif isinstance(part, dict):
        for key, value in part.items():
            yield place, key
            yield from _texts(value, (*place, key))
    elif isinstance(part, list):
        for number, value in enumerate(part):
            yield from _texts(value, (*place, number))


def _faults(error: ValidationError, text: str, path: Path) -> Iterator[RecipeError]:
    """Yield our error for each of pydantic's, but one for parts that are missing altogether."""
    faults = [(key_of(fault["loc"]), fault) for fault in error.errors()]
    gone = [str(place[0]) for place, fault in faults if _is_part_gone(place, fault)]
    misspelt = {place for place, fault in faults if fault["type"] == "extra_forbidden"}
    for place, fault in faults:
        inside = any(other[:-1][: len(place)] == place for other, _ in faults)
        if fault["type"] == "too_short" and inside:
            continue  # it is not empty: what is in it is at fault
        if fault["type"] == "missing" and _is_near(place, misspelt):
            continue  # it is there, misspelt
        if not _is_part_gone(place, fault):
            yield recipe_error(
                text,
                path,
                fault["loc"],
                fault["msg"],
                kind=fault["type"],
                bounds=fault.get("ctx", {}),
                model=Recipe,
            )
    if gone:
        words = " and ".join([", ".join(gone[:-1]), gone[-1]] if gone[1:] else gone)
        verb = "are" if gone[1:] else "is"
        yield RecipeError(f"{words} {verb} missing", where=str(path), remedy=f"Add it; {_BEGIN}.")


def _is_near(place: Key, others: Iterable[Key]) -> bool:
    """Whether a key is nearly one of others in its own table."""
    names = [str(other[-1]) for other in others if other[:-1] == place[:-1]]
    return bool(near(str(place[-1]), names))


def _is_part_gone(place: Key, fault: ErrorDetails) -> bool:
    return fault["type"] == "missing" and len(place) == 1


def _first_of(faults: Iterable[RecipeError]) -> RecipeError:
    """Return the first fault, the others hung on it: one for each line that is quoted.

    A value that may be of two kinds fails as each, and one value may be wrong in several parts; the
    first says what is usual there.
    """
    found: dict[tuple[str, str], RecipeError] = {}
    for fault in faults:
        found.setdefault((fault.where, fault.why or fault.what), fault)
    first, *rest = found.values()
    first.also = tuple(rest)
    return first
