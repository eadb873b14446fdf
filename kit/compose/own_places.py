"""Places on the sheet that a change of the recipe left no room for.

In: a recipe whose box, paper, gap or artwork changed. Out: which of its stickers can no longer lie
where the maker put them, and the recipe without these places: they are laid as all others are.
"""

from __future__ import annotations

from collections.abc import Collection

from kit.compose.lock import places_in_rows
from kit.layout import misplaced, sticker_area, usable_area
from kit.recipe import Recipe
from kit.stickers import slots_of

Misplaced = dict[int, tuple[int, ...]]


def misplaced_in_rows(recipe: Recipe) -> Misplaced:
    """Return by row, from 0, the places in it of stickers that cannot lie where they were put.

    Raises:
        RecipeError: the recipe's stickers or its paper cannot be had.
    """
    if not any(row.at for row in recipe.rows):
        return {}
    slots = slots_of(recipe)
    places = places_in_rows(slots)
    area = sticker_area(usable_area(recipe.sheet), recipe)
    gone: Misplaced = {}
    for number, _ in misplaced(recipe, slots, area):
        row = slots[number].row
        gone[row] = (*gone.get(row, ()), places[number])
    return gone


def without_misplaced(recipe: Recipe) -> tuple[Recipe, Misplaced]:
    """Return the recipe with those of ``misplaced_in_rows`` left to be laid, and which these are.

    Raises:
        RecipeError: as of ``misplaced_in_rows``.
    """
    gone = misplaced_in_rows(recipe)

    def left(row: int, places: Collection[int]) -> tuple[object, ...]:
        given = enumerate(recipe.rows[row].at)
        return tuple(None if place in places else at for place, at in given)

    rows = tuple(
        row.model_copy(update={"at": left(number, gone[number])}) if number in gone else row
        for number, row in enumerate(recipe.rows)
    )
    return recipe.model_copy(update={"rows": rows}) if gone else recipe, gone
