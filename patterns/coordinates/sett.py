"""A tartan's sett, read from its thread counts.

In: a text such as "B24 W4 B24 R2 K24", each colour a letter or a few, with its number of threads.
Out: a ``Sett``: one whole repeat of letters with counts. Two ways of
writing are read, both common practice, no published source:

* ``B24 W4 R8``: the sett as written is one repeat; after its last stripe the first one follows.
* ``B/24 W4 R/8``: half a sett between two pivots, marked by ``/``. It is read to the end and back,
  and so on; the pivots' counts are whole ones, so that they come once at each turn and are not
  doubled: B24 W4 R8 W4 is one repeat.

Not done here: which colour a letter is; they take a coordinate's colours in the order in which
they first come in the sett.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

from patterns.artwork_error import ArtworkError

MOST_STRIPES = 100
MOST_THREADS = 1_000
_STRIPE = re.compile(r"([A-Za-z]{1,3})(/?)(\d{1,6})")
_LIKE = 'Write it like "B24 W4 B24 R2", or half of it between pivots: "B/24 W4 R/2".'


@dataclass(frozen=True, slots=True)
class Sett:
    """The stripes of a tartan.

    Attributes:
        stripes: one repeat of letters with their thread counts.
        letters: each letter once, in their order.
    """

    stripes: tuple[tuple[str, int], ...]
    letters: tuple[str, ...]

    @property
    def threads(self) -> int:
        """The threads of one repeat."""
        return sum(count for _, count in self.stripes)


def parse_sett(text: str) -> Sett:
    """Return the sett of a text.

    Raises:
        ArtworkError: it cannot be read.
    """
    words = text.split()
    if not words:
        raise ArtworkError("is empty", where="sett", remedy=_LIKE)
    if len(words) > MOST_STRIPES:
        raise ArtworkError(
            f"has {len(words)} stripes", where="sett", remedy=f"Use {MOST_STRIPES} at most."
        )
    read = [_stripe(word) for word in words]
    stripes = [(letter, count) for letter, _, count in read]
    for (letter, _), (following, _) in pairwise(stripes):
        if letter == following:
            raise ArtworkError(
                f'has two stripes of "{letter}" side by side',
                where="sett",
                remedy="Add them up in one.",
            )
    marked = [i for i, (_, pivot, _) in enumerate(read) if pivot]
    letters = tuple(dict.fromkeys(letter for letter, _ in stripes))
    if len(letters) < 2:
        raise ArtworkError("has only one colour", where="sett", remedy=_LIKE)
    if not marked:
        if stripes[0][0] == stripes[-1][0]:
            raise ArtworkError(
                f'begins and ends in "{stripes[0][0]}", so that both are one stripe',
                where="sett",
                remedy="Add them up in one, or mark the first and the last as pivots with a /.",
            )
        return Sett(tuple(stripes), letters)
    if marked != [0, len(words) - 1]:
        raise ArtworkError(
            "does not have its two pivots at its ends",
            where="sett",
            remedy='Put a / into the first stripe and the last: "B/24 W4 R/2".',
        )
    return Sett((*stripes, *reversed(stripes[1:-1])), letters)


def _stripe(word: str) -> tuple[str, bool, int]:
    """Return a stripe's letter, whether it is a pivot, and its threads."""
    found = _STRIPE.fullmatch(word)
    if found is None:
        raise ArtworkError(f'"{word}" is not a stripe', where="sett", remedy=_LIKE)
    count = int(found[3])
    if not 1 <= count <= MOST_THREADS:
        raise ArtworkError(
            f'"{word}" has {count} threads', where="sett", remedy=f"Use 1 to {MOST_THREADS}."
        )
    return found[1].upper(), bool(found[2]), count
