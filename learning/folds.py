"""What is left out together, so that a figure tells of artwork that nothing was learnt from.

In: the rows of a growth. Out: pairs of rows to grow from and rows to ask about. A fold holds whole
hands: everything that one drawing function, or the makers of one package, drew, in whatever set,
seed or size. Never single tiles: the other tiles of the same hand would give them away.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from learning.joins import Row
from palette.arrays import Indices

FOLDS = 5
Split = tuple[Indices, Indices]


def hand_of(row: Row) -> str:
    """Return whose hand drew the tile: a drawing function's name, or a package's.

    The packages do not say who of their makers drew which tile, so each counts as one hand.
    """
    return row.family


def by_hand(rows: Sequence[Row]) -> list[Split]:
    """Return five splits with whole hands left out, of about the same number of joins each."""
    hands = np.array([hand_of(row) for row in rows])
    names, counts = np.unique(hands, return_counts=True)
    held = np.zeros(FOLDS, dtype=np.intp)
    fold_of = {}
    for k in np.argsort(-counts, kind="stable"):
        least = int(np.argmin(held))
        fold_of[str(names[k])] = least
        held[least] += counts[k]
    folds = np.array([fold_of[hand] for hand in hands])
    return [(np.flatnonzero(folds != k), np.flatnonzero(folds == k)) for k in range(FOLDS)]


def by_set(rows: Sequence[Row]) -> list[Split]:
    """Return a split for each set, left out whole; not for that with lines on the boundary."""
    sets = np.array([row.set_name for row in rows])
    names = [name for name in dict.fromkeys(sets) if name != "lined"]
    return [(np.flatnonzero(sets != name), np.flatnonzero(sets == name)) for name in names]
