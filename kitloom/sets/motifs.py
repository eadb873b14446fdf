"""Whose motifs does an all-over show, once a recipe has other artwork?

In: a recipe whose patterns were exchanged. Out: the recipe, each all-over with a tile that gives
motifs. The file that took the name of last month's flowers may be a stripe; a set is not refused
for that while another of its tiles has motifs.
"""

from __future__ import annotations

from contextlib import suppress

from kit.recipe import Recipe
from kit.recipe_error import RecipeError
from kit.stickers import lifted_motif


def with_liftable_motifs(recipe: Recipe) -> Recipe:
    """Return the recipe with the first pattern that gives a motif, where the named one gives none.

    Where no tile has motifs, the recipe stays as it is: its own pattern is named in what is said.
    """
    for number, part in enumerate(recipe.coordinates):
        if part.source is None:
            continue
        others = [(one.label, 1) for one in recipe.patterns]
        for pattern, motif in ((part.source, part.motif), (part.source, 1), *others):
            shown = part.model_copy(update={"source": pattern, "motif": motif})
            parts = (*recipe.coordinates[:number], shown, *recipe.coordinates[number + 1 :])
            tried = recipe.model_copy(update={"coordinates": parts})
            with suppress(RecipeError):
                lifted_motif(tried, number)
                recipe = tried
                break
    return recipe
