"""Where in its recipe is a fault that only shows when the recipe is put to work?

In: a checked recipe and the path of a key. Out: the file and line for an error to name; and the
first fault that needs no measuring: files that the recipe names and that are not there.

The text is read again, because it is needed only where something is wrong.
"""

from __future__ import annotations

import os
from pathlib import Path

from kit.recipe.files import Key, files_of
from kit.recipe.model import Recipe
from kit.recipe.reading import MAX_BYTES
from kit.recipe.text_files import read_text
from kit.recipe.toml_lines import line_of
from kit.recipe_error import RecipeError
from palette.errors import is_unshown, shown
from palette.near_files import file_meant


def place_in(recipe: Recipe, *key: str | int) -> str:
    """Return "kit.toml, line 12" for a key such as ("rows", 0, "fill"), or the file alone."""
    try:
        line = line_of(read_text(recipe.file, noun="recipe", most_bytes=MAX_BYTES), key)
    except RecipeError:  # a recipe that never was a file
        line = None
    return f"{recipe.file}, line {line}" if line else str(recipe.file)


def check_files(recipe: Recipe) -> None:
    """Refuse a recipe that names files which are not there.

    Raises:
        RecipeError: the first of them; the others hang on it.
    """
    faults = [
        _no_file(recipe, key, path)
        for key, path in files_of(recipe)
        if not os.path.isfile(recipe.folder / path)  # noqa: PTH113  False where it is too long
    ]
    if faults:
        faults[0].also = tuple(faults[1:])
        raise faults[0]


def _no_file(recipe: Recipe, key: Key, path: Path) -> RecipeError:
    """Say of what a recipe names that it is no file, and which one may be meant."""
    where = place_in(recipe, *key)
    whole = recipe.folder / path
    if os.path.isdir(whole):  # noqa: PTH112  False where it is too long
        return RecipeError(
            f'"{path}" is a folder', where=where, remedy="Name one file in it, with its ending."
        )
    what = f'there is no file "{shown(str(path))}"'
    if any(is_unshown(character) for character in str(path)):  # "C:\tiles" has a tab in it
        return RecipeError(what, where=where, remedy="Write / in it in place of each backslash.")
    meant = file_meant(whole) or "Check the name."
    remedy = f"{meant} It starts from the recipe's own folder."
    return RecipeError(what, where=where, remedy=remedy)
