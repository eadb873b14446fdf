"""In which direction do the words of a line run, and in which order do they come?

In: a line of words. Out: its runs of one direction, from the left end of the line to the right. A
line whose first letter belongs to a script from the right stands as a whole from the right; words
and numbers of other scripts in it keep their own direction.

Source: Unicode Standard Annex 9 (bidirectional algorithm): classes of characters (table 4), the
line's direction (P2, P3), numbers (W2, W4, W5, W7, I1, I2), neutrals (N1, N2), order (L2), for
lines without marks that set directions themselves. Mirrored brackets (L4) are the font's.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from unicodedata import bidirectional

FROM_RIGHT = {"R", "AL"}
FROM_LEFT = {"L"}
NUMBERS = {"EN", "AN"}


@dataclass(frozen=True, slots=True)
class Run:
    """Words of one direction, in the order in which they are read."""

    words: str
    from_right: bool


def runs_of(words: str) -> list[Run]:
    """Return the runs of a line, from its left end to its right."""
    classes = [bidirectional(one) for one in words]
    if not FROM_RIGHT & set(classes):
        return [Run(words, from_right=False)] if words else []
    line_from_right = next(one for one in classes if one in FROM_RIGHT | FROM_LEFT) in FROM_RIGHT
    levels = _levels(_resolved(classes), 1 if line_from_right else 0)
    ordered = _reversed_by_level(levels)
    runs: list[Run] = []
    for level, places in groupby(ordered, key=levels.__getitem__):
        text = "".join(words[i] for i in sorted(places))
        runs.append(Run(text, from_right=level % 2 == 1))
    return runs


def _resolved(given: list[str]) -> list[str]:
    """Return "L", "R" or "N" (number) for each character, or "" for one between them."""
    classes = _numbers_told_apart(given)
    kinds: list[str] = []
    for place, one in enumerate(classes):
        before, after = classes[max(0, place - 1) : place], classes[place + 1 : place + 2]
        if one in FROM_RIGHT:
            kinds.append("R")
        elif one in FROM_LEFT:
            kinds.append("L")
        elif (
            one in NUMBERS
            or _belongs_to_number(one, before, after)
            or (one == "ET" and "EN" in _beside_signs(classes, place))
        ):
            kinds.append("N")
        else:
            kinds.append(kinds[-1] if one == "NSM" and kinds else "")
    return kinds


def _numbers_told_apart(classes: list[str]) -> list[str]:
    """Return the classes with numbers after Arabic letters as that script's own (W2)."""
    told, strong = [], ""
    for one in classes:
        if one in FROM_RIGHT | FROM_LEFT:
            strong = one
        told.append("AN" if one == "EN" and strong == "AL" else one)
    return told


def _belongs_to_number(one: str, before: list[str], after: list[str]) -> bool:
    """Tell whether a sign between two digits of one kind is part of their number (W4)."""
    joins = {"ES": (["EN"],), "CS": (["EN"], ["AN"])}
    return before == after and before in joins.get(one, ())


def _beside_signs(classes: list[str], place: int) -> set[str]:
    """Return the classes that are at both ends of a run of signs such as % (W5)."""
    after = next((c for c in classes[place:] if c != "ET"), "")
    before = next((c for c in reversed(classes[:place]) if c != "ET"), "")
    return {before, after}


def _levels(kinds: list[str], base: int) -> list[int]:
    """Return each character's level: odd ones run from the right."""
    own = "R" if base else "L"
    strong = own
    full = []
    for kind in kinds:  # a number among words from the left is one of them (W7)
        if kind in {"L", "R"}:
            strong = kind
        full.append("L" if kind == "N" and strong == "L" else kind)
    levels = []
    for place, kind in enumerate(full):
        side = kind
        if not side:
            before = next((one for one in reversed(full[:place]) if one), own)
            after = next((one for one in full[place + 1 :] if one), own)
            sides = {"R" if one == "N" else one for one in (before, after)}
            side = sides.pop() if len(sides) == 1 else own
        levels.append({"L": 2 * base, "R": 1, "N": 2}[side])
    return levels


def _reversed_by_level(levels: list[int]) -> list[int]:
    """Return the places of the characters from left to right (L2)."""
    order = list(range(len(levels)))
    for level in range(max(levels), 0, -1):
        start = 0
        while start < len(order):
            end = start
            while end < len(order) and levels[order[end]] >= level:
                end += 1
            order[start:end] = reversed(order[start:end])
            start = max(end, start + 1)
    return order
