"""Which files does a recipe name, and by which key?

In: a checked recipe. Out: each file as it is written, with the path of its TOML key. Found by the
recipe's own types, so a new key that names a file is found as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from pydantic import BaseModel

from kit.recipe.model import Recipe

Key = tuple[str | int, ...]


def files_of(recipe: Recipe) -> Iterator[tuple[Key, Path]]:
    """Yield the key and the file of each that a recipe names, in the order of its keys.

    A key is as in TOML, such as ("palette", "from") or ("rows", 0, "outline"); a file is relative
    to ``recipe.folder`` unless it is written whole.
    """
    yield from _files((), recipe)


def paths_of(recipe: Recipe) -> list[Path]:
    """Return where every file lies that a run of this recipe reads, the recipe itself first."""
    return [recipe.file, *(recipe.folder / path for _, path in files_of(recipe))]


def _files(key: Key, value: object) -> Iterator[tuple[Key, Path]]:
    if isinstance(value, Path):
        yield key, value
    elif isinstance(value, BaseModel):
        for name, field in type(value).model_fields.items():
            if not field.exclude:  # such as the recipe's own place
                yield from _files((*key, field.alias or name), getattr(value, name))
    elif isinstance(value, tuple | list):
        for number, one in enumerate(value):
            yield from _files((*key, number), one)
