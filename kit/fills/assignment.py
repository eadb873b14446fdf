"""What is each sticker filled with, where the recipe leaves it open?

In: the slots, the patterns' names with their mean colours, and the palette's colours, all CIELAB
(D50). Out: one choice for each slot. The rules, in this order: what the recipe names is kept; in
each of the recipe's rows every pattern (or colour) is used before one is used twice; neighbours
differ; so it is in the whole kit; among equals the one whose colour lies farthest from its
neighbours wins. No randomness: the same kit gets the same fills.

A row's fills are chosen one after the other, but none so that those left could only go where they
lie beside their like (``_leaves_room``).

Neighbours are the stickers that lie beside, above or below it on its sheet. Not decided here: where
in a pattern's plane a sticker's window sits (``kit.fills.offsets``).
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from types import MappingProxyType

import numpy as np

from kit.stickers import Slot, is_colour
from palette.arrays import Floats
from palette.choose import Palette
from palette.space import de2000

TO_WRITE_ON = ("white", "ruled")  # panels that are left in the paper's white
MOST_AHEAD = 12  # with more fills than a sticker has neighbours by far, all find a place
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
    patterns: Mapping[str, Floats],
    colours: Mapping[str, Floats],
    neighbours: Sequence[Sequence[int]],
    drawn: Mapping[str, Floats] = MappingProxyType({}),
    *,
    unlike: Mapping[int, str] = MappingProxyType({}),
) -> tuple[Choice, ...]:
    """Return one choice a slot.

    Args:
        slots: the stickers in the recipe's order.
        patterns: pattern name to the Lab of its mean colour, shape (3,), in the recipe's order.
        colours: palette hex to Lab, shape (3,), in the palette's order.
        neighbours: for each slot the slots that lie next to it on paper
            (``kit.layout.arrangement.neighbours``).
        drawn: coordinate name to Lab, shape (3,); they are only where a slot names them.
        unlike: by number of a slot, a fill that it should not get, if there are others; as if that
            lay beside it.
    """
    labs = {**patterns, **drawn, **_own_colours(slots), **colours}
    plain = _plain(colours)
    pools = {"patterns": list(patterns), "palette": list(plain)}
    used = Counter(_key(w) for s in slots for w in _wishes(s) if w not in pools)
    in_row: dict[int, Counter[str]] = defaultdict(Counter)
    for slot in slots:
        if slot.wish not in pools:
            in_row[slot.row][_key(slot.wish)] += 1
    # what is pinned further on counts too: it is known already
    fills = [None if slot.wish in pools else _key(slot.wish) for slot in slots]
    panels: list[str | None] = []

    def near(index: int) -> list[str]:
        own = [unlike[index]] if index in unlike else []
        return own + [fill for i in neighbours[index] if (fill := fills[i]) is not None]

    for index, slot in enumerate(slots):
        fill = fills[index]
        if fill is None:
            fresh = _least(pools[slot.wish], in_row[slot.row])
            rest = islice(_rest_of_row(slots, fills, index), len(fresh) - 1)
            fits = _leaves_room(fresh, (set(near(i)) for i in rest), near(index))
            fill = fills[index] = _pick(fits, used, near(index), labs)
            used[fill] += 1
            in_row[slot.row][fill] += 1
        panel = slot.panel
        if panel in pools:
            panel = _pick(pools[panel], used, [fill], labs)
            used[panel] += 1
        panels.append(_key(panel) if panel and panel not in TO_WRITE_ON else None)
    return tuple(Choice(fill or "", panel) for fill, panel in zip(fills, panels, strict=True))


def plain_colours(palette: Palette) -> list[str]:
    """Return the palette's colours "#rrggbb" that stickers are filled with: all but paper's."""
    return list(_plain({swatch.hex: np.array(swatch.lab) for swatch in palette.swatches}))


def _plain(colours: Mapping[str, Floats]) -> Mapping[str, Floats]:
    return {name: lab for name, lab in colours.items() if not _paper_like(lab)} or colours


def _rest_of_row(slots: Sequence[Slot], fills: Sequence[str | None], index: int) -> Iterator[int]:
    """The slots after this one that are still open in its row, and ask for the same."""
    own = slots[index]
    for i in range(index + 1, len(slots)):
        if slots[i].row == own.row and slots[i].wish == own.wish and fills[i] is None:
            yield i


def _least(pool: Sequence[str], used: Counter[str]) -> list[str]:
    """Those of the pool that are used least."""
    fewest = min(used[name] for name in pool)
    return [name for name in pool if used[name] == fewest]


def _leaves_room(
    fresh: Sequence[str], rest: Iterable[set[str]], near: Sequence[str]
) -> Sequence[str]:
    """Those of ``fresh`` after which each of the others still finds a place away from its like.

    ``rest`` is what lies beside the slots that the others may go to, in their order. Where none
    leaves room, or so many are left that there is room anyway, all of them are returned.
    """
    if len(fresh) > MOST_AHEAD:
        return fresh
    later = list(rest)

    def roomy(name: str) -> bool:
        others = [one for one in fresh if one != name]
        return name not in near and _matching_size(later, others) == len(later)

    return [name for name in fresh if roomy(name)] or fresh


def _matching_size(places: Sequence[set[str]], names: Sequence[str]) -> int:
    """How many places can have a name of their own that does not lie beside them already."""
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import maximum_bipartite_matching

    if not places:
        return 0
    fits = csr_array([[name not in neighbours for name in names] for neighbours in places])
    return int(np.count_nonzero(maximum_bipartite_matching(fits, perm_type="column") >= 0))


def _wishes(slot: Slot) -> list[str]:
    """What a slot asks for: its fill, and its panel's where that is one."""
    return [slot.wish, *([slot.panel] if slot.panel and slot.panel not in TO_WRITE_ON else [])]


def _key(wish: str) -> str:
    """A wish as fills are called: colours in lower case."""
    return wish.lower() if is_colour(wish) else wish


def _own_colours(slots: Sequence[Slot]) -> dict[str, Floats]:
    from palette.space import hex_to_lab

    own = {wish.lower() for slot in slots for wish in _wishes(slot) if is_colour(wish)}
    return {colour: hex_to_lab(colour) for colour in own}


def _paper_like(lab: Floats) -> bool:
    return float(de2000(lab, np.array([100.0, 0.0, 0.0]))) < PAPER_LIKE_DE2000


def _pick(
    pool: Sequence[str], used: Counter[str], near: Sequence[str], labs: Mapping[str, Floats]
) -> str:
    """The least used of the pool that lies beside none of its like and looks most different."""

    def rank(item: tuple[int, str]) -> tuple[bool, int, float, int]:
        order, name = item
        distance = min((float(de2000(labs[name], labs[other])) for other in near), default=0.0)
        return name in near, used[name], -round(distance, 6), order

    if len(pool) == 1:
        return pool[0]
    return min(enumerate(pool), key=rank)[1]
