"""What is each sticker filled with, where the recipe leaves it open?

In: the slots, the patterns' names with their mean colours, and the palette's colours, all CIELAB
(D50). Out: one choice for each slot. The rules, in this order: what the recipe names is kept; every
pattern (or colour) is used before one is used twice; neighbours differ; among equals the one whose
colour lies farthest from its neighbours wins. No randomness: the same kit gets the same fills.

Neighbours are the stickers that come before it in its own row and the one above it in the row
before. Not decided here: where in a pattern's plane a sticker's window sits (``kit.offsets``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kit.slots import Slot, is_colour
from palette.difference import de2000

Lab = NDArray[np.float64]

PAPER_LIKE_DE2000 = 5.0  # a plain fill this close to paper white would look unprinted


@dataclass(frozen=True, slots=True)
class Choice:
    """The fill of one slot: a pattern's name, or a hex colour."""

    pattern: str | None
    colour: str | None

    @property
    def label(self) -> str:
        """The pattern's name or the hex colour."""
        return self.pattern or self.colour or ""


def choose_fills(
    slots: Sequence[Slot], patterns: Mapping[str, Lab], colours: Mapping[str, Lab]
) -> tuple[Choice, ...]:
    """Return one choice a slot.

    Args:
        slots: the stickers in the recipe's order.
        patterns: pattern name to the Lab of its mean colour, shape (3,), in the recipe's order.
        colours: palette hex to Lab, shape (3,), in the palette's order.
    """
    looks = {**patterns, **_own_colours(slots), **colours}
    plain = {name: lab for name, lab in colours.items() if not _paper_like(lab)} or colours
    pools = {"patterns": list(patterns), "palette": list(plain)}
    used = Counter(slot.wish for slot in slots if slot.wish not in pools)
    chosen: list[str] = []
    for index, slot in enumerate(slots):
        if slot.wish in pools:
            near = [chosen[i] for i in _neighbours(slots, index)]
            pick = _pick(pools[slot.wish], used, near, looks)
            used[pick] += 1
        else:
            pick = slot.wish
        chosen.append(pick)
    return tuple(
        Choice(None, pick.lower()) if is_colour(pick) else Choice(pick, None) for pick in chosen
    )


def _own_colours(slots: Sequence[Slot]) -> dict[str, Lab]:
    from palette.lab import hex_to_lab

    return {slot.wish: hex_to_lab(slot.wish) for slot in slots if is_colour(slot.wish)}


def _paper_like(lab: Lab) -> bool:
    return float(de2000(lab, np.array([100.0, 0.0, 0.0]))) < PAPER_LIKE_DE2000


def _neighbours(slots: Sequence[Slot], index: int) -> list[int]:
    """Indices of the already filled stickers beside and above, nearest first."""
    row = slots[index].row
    first = next(i for i, slot in enumerate(slots) if slot.row == row)
    beside = list(range(index - 1, max(first, index - 3) - 1, -1))
    above_row = [i for i in range(first) if slots[i].row == row - 1]
    place = index - first
    above = above_row[place : place + 1]
    return beside + above


def _pick(
    pool: Sequence[str], used: Counter[str], near: Sequence[str], looks: Mapping[str, Lab]
) -> str:
    """The least used of the pool that stands beside none of its like and looks most different."""

    def rank(item: tuple[int, str]) -> tuple[bool, int, float, int]:
        order, name = item
        apart = min((float(de2000(looks[name], looks[other])) for other in near), default=0.0)
        touches = bool(near) and name in near[:1]
        return touches, used[name], -round(apart, 6), order

    if len(pool) == 1:
        return pool[0]
    return min(enumerate(pool), key=rank)[1]
