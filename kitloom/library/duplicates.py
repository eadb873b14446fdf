"""Which tiles of a library are the same artwork: shifted, in another size, in other colours?

In: rows with fingerprints. Out: for each tile that is like one before it, that tile and how like.
Compared block by block, so memory grows with the number of tiles and not with that of pairs.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from kitloom.library.audit import Row, print_of
from patterns.motifs import SAME, similarity_table

BLOCK = 1024


@dataclass(frozen=True, slots=True)
class Duplicate:
    """A tile that looks like an earlier one; likeness from ``fingerprint.SAME`` to 1."""

    file: str
    like: str
    likeness: float


def duplicates(rows: Iterable[Row]) -> list[Duplicate]:
    """Return the tiles that are like an earlier one, each with the first that it is like."""
    files, prints = [], []
    for row in rows:
        if row["fingerprint"]:
            files.append(row["file"])
            prints.append(print_of(row))
    if len(files) < 2:
        return []
    table = np.stack(prints)
    found = []
    for start in range(0, len(files), BLOCK):
        part = table[start : start + BLOCK]
        like = np.full(len(part), -1)
        how = np.zeros(len(part))
        for before in range(0, start + len(part), BLOCK):
            some = similarity_table(part, table[before : before + BLOCK])
            earlier = (
                np.arange(before, before + some.shape[1])
                < np.arange(start, start + len(part))[:, None]
            )
            same = (some >= SAME) & earlier & (like < 0)[:, None]
            here = np.flatnonzero(same.any(axis=1))
            first = same[here].argmax(axis=1)
            like[here], how[here] = before + first, some[here, first]
        found += [
            Duplicate(files[start + i], files[like[i]], round(float(how[i]), 4))
            for i in np.flatnonzero(like >= 0)
        ]
    return found
