"""Has the maker looked at this tile's joins and found them good?

In: what the recipe says of it (the key ``looked`` of a pattern: the first ``DIGITS`` of its file's
SHA-256) and the tile's study. Out: what comes of it. It answers a seam as well as an unsure
verdict, for the maker's eye has the last word; a file that has changed is asked about again.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

from kitloom.measure.studies import TileStudy
from patterns.artwork import digest

DIGITS = 12
Look = Literal["", "accepted", "another file", "no doubt"]


def mark_of(path: Path) -> str:
    """Return what a recipe writes of a file that was accepted."""
    return digest(path)[:DIGITS]


def look_at(mark: str, study: TileStudy, read_mark: Callable[[Path], str] = mark_of) -> Look:
    """Tell what comes of it that the maker looked at a tile and found it good.

    Args:
        mark: what the recipe says of it; "" for nothing.
        study: the tile.
        read_mark: another way to get at ``mark_of``, which reads the whole file.

    Returns:
        "" where the recipe says nothing; "accepted"; or why it has no effect: it was said of
        another file, or there is no doubt about the joins.
    """
    if not mark:
        return ""
    if study.check.seamless is True:
        return "no doubt"
    return "accepted" if read_mark(study.artwork.path) == mark else "another file"
