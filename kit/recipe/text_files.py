"""Read a small text file that a maker names: a recipe or a lock. The package's only reader."""

from __future__ import annotations

from pathlib import Path

from kit.recipe_error import RecipeError
from palette.file_bytes import read_bytes


def read_text(path: Path, *, noun: str, most_bytes: int) -> str:
    """Return the file's text.

    Args:
        path: the file.
        noun: what it should be, for messages, such as "recipe".
        most_bytes: a larger file is refused unread.

    Raises:
        RecipeError: missing, too large, unreadable, or not UTF-8.
    """
    try:
        return read_bytes(path, most_bytes, RecipeError, noun=noun).decode("utf-8")
    except UnicodeDecodeError as error:
        raise RecipeError(
            "is not a text file", where=str(path), remedy=f"Save the {noun} as UTF-8 text."
        ) from error
