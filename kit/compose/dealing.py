"""Fills dealt out again: for a whole kit, some of its stickers, or one.

In: a kit and the stickers that are to be dealt again. Out: a fill for each of its stickers; the
others keep theirs. What a row names outright stays. No randomness: several are dealt by the rules
of ``kit.fills``, and where these give what is shown already, another way that they allow; one
sticker gets the next fill that none beside it has, so that asking again goes through all of them.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

import numpy as np

from kit.compose.kit import Kit, mean_lab
from kit.compose.lock import places_in_rows
from kit.fills import Choice, choose_fills, plain_colours
from kit.layout import neighbours
from kit.recipe import Recipe
from kit.stickers import Slot
from palette.arrays import Floats
from palette.choose import Palette


def deal_anew(
    recipe: Recipe,
    kit: Kit,
    patterns: Mapping[str, Floats],
    palette: Palette,
    which: Collection[int],
) -> tuple[Choice, ...]:
    """Return the fills of a kit's stickers, some of them dealt again.

    Args:
        recipe: the recipe.
        kit: the kit that came of it.
        patterns: pattern name to the Lab of its mean colour, shape (3,), in the recipe's order.
        palette: its colours.
        which: the numbers of the stickers to deal again.
    """
    slots = [
        _asked(recipe, slot, place)
        if number in which
        else replace(slot, wish=choice.fill, panel=choice.panel or slot.panel)
        for number, (slot, place, choice) in enumerate(
            zip(kit.slots, places_in_rows(kit.slots), kit.choices, strict=True)
        )
    ]
    near = neighbours(kit.layout, len(slots), recipe.sheet.gap)
    if len(which) == 1:
        (only,) = which
        pools = {"patterns": list(patterns), "palette": plain_colours(palette)}
        pool = pools.get(slots[only].wish, [])
        slots[only] = replace(slots[only], wish=_next(kit, pool, near[only], only))
    shown = {number: kit.choices[number].fill for number in which}

    def choose(unlike: Mapping[int, str]) -> tuple[Choice, ...]:
        return choose_fills(
            slots,
            patterns,
            {swatch.hex: np.array(swatch.lab) for swatch in palette.swatches},
            near,
            {name: mean_lab(one) for name, one in kit.coordinates.items()},
            unlike=unlike,
        )

    dealt = choose({})
    return choose(shown) if dealt == kit.choices else dealt


def _asked(recipe: Recipe, slot: Slot, place: int) -> Slot:
    """Return a slot as its row asks for it."""
    if slot.row >= len(recipe.rows):
        return replace(slot, wish="palette")
    row = recipe.rows[slot.row]
    return replace(slot, wish=row.wish_of(place), panel=row.panel_wish)


def _next(kit: Kit, pool: Sequence[str], near: Sequence[int], number: int) -> str:
    """Return the fill after the shown one that no sticker beside this one shows."""
    shown = kit.choices[number].fill
    start = pool.index(shown) + 1 if shown in pool else 0
    ring = [one for one in (*pool[start:], *pool[:start]) if one != shown]
    beside = {kit.choices[i].fill for i in near}
    return next((one for one in ring if one not in beside), ring[0] if ring else shown)
