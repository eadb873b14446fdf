"""Where in its recipe is a fault that only shows when the recipe is put to work?

In: a checked recipe and the path of a key. Out: the file and line for an error to name; and the
first fault that needs no measuring: files that the recipe names and that are not there.

The text is read again, because it is needed only where something is wrong.
"""

from __future__ import annotations

import os

from kit.recipe.files import files_of
from kit.recipe.model import Recipe
from kit.recipe.reading import MAX_BYTES
from kit.recipe.text_files import read_text
from kit.recipe.toml_lines import line_of
from kit.recipe_error import RecipeError


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
        RecipeError(
            f'there is no file "{path}"',
            where=place_in(recipe, *key),
            remedy="Check the name; it starts from the recipe's own folder.",
        )
        for key, path in files_of(recipe)
        if not os.path.isfile(recipe.folder / path)  # noqa: PTH113  False where it is too long
    ]
    if faults:
        faults[0].also = tuple(faults[1:])
        raise faults[0]
