"""What is each sticker filled with, where the recipe leaves it open?

In: the slots, the patterns' names with their mean colours, and the palette's colours, all CIELAB
(D50). Out: one choice for each slot. The rules, in this order: what the recipe names is kept; every
pattern (or colour) is used before one is used twice; neighbours differ; among equals the one whose
colour lies farthest from its neighbours wins. No randomness: the same kit gets the same fills.

Neighbours are the stickers that lie beside, above or below it on its sheet. Not decided here: where
in a pattern's plane a sticker's window sits (``kit.offsets``).
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

TO_WRITE_ON = ("white", "ruled")  # panels that are left in the paper's white
PAPER_LIKE_DE2000 = 5.0  # a plain fill this close to paper white would look unprinted


@dataclass(frozen=True, slots=True)
class Choice:
    """The fill of one slot, and of its panel where that has one of its own.

    Attributes:
        fill: a pattern's name or a hex colour.
        panel: likewise; None for no panel, or one to write on.
    """

    fill: str
    panel: str | None = None

    @property
    def pattern(self) -> str | None:
        """The pattern whose window is to be chosen: the sticker's, else its panel's."""
        if not is_colour(self.fill):
            return self.fill
        return self.panel_pattern

    @property
    def panel_pattern(self) -> str | None:
        """The pattern on the panel, if there is one."""
        return None if self.panel is None or is_colour(self.panel) else self.panel


def choose_fills(
    slots: Sequence[Slot],
    patterns: Mapping[str, Lab],
    colours: Mapping[str, Lab],
    beside: Sequence[Sequence[int]],
) -> tuple[Choice, ...]:
    """Return one choice a slot.

    Args:
        slots: the stickers in the recipe's order.
        patterns: pattern name to the Lab of its mean colour, shape (3,), in the recipe's order.
        colours: palette hex to Lab, shape (3,), in the palette's order.
        beside: for each slot the slots that lie next to it on paper (``kit.arrange.beside``).
    """
    looks = {**patterns, **_own_colours(slots), **colours}
    plain = {name: lab for name, lab in colours.items() if not _paper_like(lab)} or colours
    pools = {"patterns": list(patterns), "palette": list(plain)}
    used = Counter(_key(w) for s in slots for w in _wishes(s) if w not in pools)
    fills: list[str] = []
    panels: list[str | None] = []

    def decided(wish: str, near: list[str]) -> str:
        if wish not in pools:
            return _key(wish)
        pick = _pick(pools[wish], used, near, looks)
        used[pick] += 1
        return pick

    for index, slot in enumerate(slots):
        # what is pinned further on counts too: it is known already
        near = [
            fills[i] if i < index else _key(slots[i].wish)
            for i in beside[index]
            if i < index or slots[i].wish not in pools
        ]
        fills.append(decided(slot.wish, near))
        own_panel = slot.panel not in {None, *TO_WRITE_ON}
        panels.append(decided(slot.panel or "", [fills[-1]]) if own_panel else None)
    return tuple(Choice(*pair) for pair in zip(fills, panels, strict=True))


def _wishes(slot: Slot) -> list[str]:
    """What a slot asks for: its fill, and its panel's where that is one."""
    return [slot.wish, *([slot.panel] if slot.panel and slot.panel not in TO_WRITE_ON else [])]


def _key(wish: str) -> str:
    """A wish as fills are called: colours in lower case."""
    return wish.lower() if is_colour(wish) else wish


def _own_colours(slots: Sequence[Slot]) -> dict[str, Lab]:
    from palette.lab import hex_to_lab

    own = {wish.lower() for slot in slots for wish in _wishes(slot) if is_colour(wish)}
    return {colour: hex_to_lab(colour) for colour in own}


def _paper_like(lab: Lab) -> bool:
    return float(de2000(lab, np.array([100.0, 0.0, 0.0]))) < PAPER_LIKE_DE2000


def _pick(
    pool: Sequence[str], used: Counter[str], near: Sequence[str], looks: Mapping[str, Lab]
) -> str:
    """The least used of the pool that lies beside none of its like and looks most different."""

    def rank(item: tuple[int, str]) -> tuple[bool, int, float, int]:
        order, name = item
        apart = min((float(de2000(looks[name], looks[other])) for other in near), default=0.0)
        return name in near, used[name], -round(apart, 6), order

    if len(pool) == 1:
        return pool[0]
    return min(enumerate(pool), key=rank)[1]
