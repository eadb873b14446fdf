"""Has the maker looked at this tile's joins and found them good?

In: what the recipe says of it (the key ``looked`` of a pattern: the first ``DIGITS`` of its file's
SHA-256) and the tile's study. Out: yes or no. It answers an unsure verdict and nothing else: a seam
that is measured stays one, and a file whose bytes have changed is asked about again.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kitloom.measure.studies import TileStudy
from patterns.artwork import digest

DIGITS = 12


def mark_of(path: Path) -> str:
    """Return what a recipe writes of a file that was accepted."""
    return digest(path)[:DIGITS]


def is_accepted(mark: str, study: TileStudy, read_mark: Callable[[Path], str] = mark_of) -> bool:
    """Tell whether an unsure tile is the very one that the maker found good.

    Args:
        mark: what the recipe says of it; "" for nothing.
        study: the tile.
        read_mark: another way to get at ``mark_of``, which reads the whole file.
    """
    doubtful = study.check.seamless is None
    return doubtful and bool(mark) and read_mark(study.artwork.path) == mark
