"""Let the other stickers lie where they are when some are taken out of rows or come into them.

In: a change of the recipe, and which stickers it is about. Out: the change after which those that
it would move besides have their places from the recipe. A new sticker then goes to the free place
that is nearest to where its row would have it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kit.compose import places_in_rows
from kit.layout import arrange, lay_out, sticker_area, usable_area
from kit.recipe import OwnPlace, Recipe
from kit.stickers import slots_of
from kitloom.page.edits.editing import Change, recipe_of
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt
from palette.errors import KitloomError

SAME_MM = 0.02  # places are written in hundredths of a millimetre

Key = tuple[int, int]  # a row, and a place in it


def others_in_place(
    bench: Bench, chosen: Mapping[int, Sequence[int]], change: Change, *, doubles: bool
) -> Change:
    """Return a change that moves no sticker but those that it is about.

    Args:
        bench: whose kit it is.
        chosen: by row, the places in it of the stickers that it is about.
        change: takes them out, or sets one more after each.
        doubles: whether it sets more.
    """
    before = recipe_of(bench)
    was = _places(before)

    def in_place(text: str) -> str:
        after = change(text)
        recipe = bench.parse(bench.tidied(after))
        now, moved = _places(recipe), dict[int, dict[int, OwnPlace | None]]()
        for (row, place), key in _keys_after(before, chosen, doubles=doubles).items():
            if key in now and (row, place) in was and not _same(was[row, place], now[key]):
                moved.setdefault(key[0], {})[key[1]] = was[row, place]
        for row, places in moved.items():
            after = rt.with_places(after, row, places, recipe.rows[row])
        return after

    return in_place


def _keys_after(
    recipe: Recipe, chosen: Mapping[int, Sequence[int]], *, doubles: bool
) -> dict[Key, Key]:
    """Return the row and place that each sticker has afterwards, by what it has now."""
    found: dict[Key, Key] = {}
    row_after = 0
    for row, part in enumerate(recipe.rows):
        place_after = 0
        for place in range(part.count):
            is_chosen = place in chosen.get(row, ())
            if doubles or not is_chosen:
                found[row, place] = row_after, place_after
                place_after += 2 if is_chosen else 1
        row_after += place_after > 0
    return found


def _places(recipe: Recipe) -> dict[Key, OwnPlace]:
    """Return where each sticker lies; nothing where they cannot be laid.

    Nor where cuts run through whole rows: they part at a sticker that has a place of its own.
    """
    if recipe.cut.through != "none":
        return {}
    try:
        slots = slots_of(recipe)
        area = sticker_area(usable_area(recipe.sheet), recipe)
        own = lay_out(recipe, slots, area, recipe.sheet.gap)
        slots, layout = arrange(recipe, slots, area, own)
    except KitloomError:  # drawing the sheet says why
        return {}
    places = places_in_rows(slots)
    return {
        (slots[spot.index].row, places[spot.index]): OwnPlace(
            spot.box.x_mm, spot.box.y_mm, number, spot.on_its_side
        )
        for number, spots in enumerate(layout.sheets, start=1)
        for spot in spots
    }


def _same(one: OwnPlace, other: OwnPlace) -> bool:
    near = abs(one.x_mm - other.x_mm) < SAME_MM and abs(one.y_mm - other.y_mm) < SAME_MM
    return near and (one.sheet, one.on_its_side) == (other.sheet, other.on_its_side)
