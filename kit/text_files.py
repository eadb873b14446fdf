"""Read a small text file that a maker names: a recipe or a lock. The package's only reader."""

from __future__ import annotations

from pathlib import Path

from kit.errors import RecipeError


def read_text(path: Path, *, noun: str, most_bytes: int) -> str:
    """Return the file's text.

    Args:
        path: the file.
        noun: what it should be, for messages, such as "recipe".
        most_bytes: a larger file is refused unread.

    Raises:
        RecipeError: missing, too large, unreadable, or not UTF-8.
    """
    where = str(path)
    if not path.is_file():
        raise RecipeError(f"no such {noun}", where=where, remedy="Check the name and the folder.")
    try:
        if path.stat().st_size > most_bytes:
            raise RecipeError(
                f"is too large for a {noun}",
                where=where,
                why=f"over {most_bytes:,} bytes",
                remedy=f"Name a {noun} file.",
            )
        return path.read_bytes().decode("utf-8")
    except UnicodeDecodeError as error:
        raise RecipeError(
            "is not a text file", where=where, remedy=f"Save the {noun} as UTF-8 text."
        ) from error
    except OSError as error:
        raise RecipeError(
            "cannot be read", where=where, why=error.strerror or "", remedy="Check its permissions."
        ) from error
