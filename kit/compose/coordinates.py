"""A recipe's coordinates in their colours, once there is a palette whose names they may use.

In: a checked recipe and its palette. Out: by name, what is drawn, ready to be sampled. A colour is
a hex, the name of one of the palette's colours, a role in it ("mid 2" is the next of a role), or a
name of CSS, in this order. A role holds for other artwork too: where its palette has no colour of
that role, the nearest stands in. An all-over's motif is lifted out of its pattern
(``kit.stickers``). Not done here: what print makes of the colours.
"""

from __future__ import annotations

from collections.abc import Sequence

from kit.recipe import Recipe, place_in
from kit.stickers import lifted_motif
from palette.choose import Palette, Role
from palette.space import colour_of
from patterns.coordinates import ALL_OVER, TOSSED, Coordinate, Figure, all_over


def coordinates_of(recipe: Recipe, palette: Palette) -> dict[str, Coordinate]:
    """Return the coordinates of a recipe by their names, in its order.

    Raises:
        PaletteError: a colour that is none, and no name in the palette.
        RecipeError: an all-over's motif that is not there.
    """
    made = {}
    for number, part in enumerate(recipe.coordinates):
        own = _words_for(part.colours, palette)
        where = place_in(recipe, "coordinates", number, "colours")
        colours = tuple(colour_of(text, own, where=where) for text in part.colours)
        figure = part.figure() if part.kind != ALL_OVER else _all_over(recipe, number, colours[0])
        made[part.label] = Coordinate(figure, colours)
    return made


def _words_for(texts: Sequence[str], palette: Palette) -> dict[str, str]:
    """Return hex by word: names and roles of a palette, and stand-ins for the roles it has not.

    Stand-ins are others than the colours beside them, or nothing would be seen of the pattern.
    """
    own = {**palette.role_colours, **{one.name: one.hex for one in palette.swatches}}
    used = {own.get(text, text) for text in texts}
    for text in texts:
        role, _, place = text.partition(" ")
        if text not in own and role in set(Role) and (place.isdecimal() or not place):
            own[text] = palette.stand_in(Role(role), used) or palette.swatches[0].hex
            used.add(own[text])
    return own


def _all_over(recipe: Recipe, number: int, ground: str) -> Figure:
    part = recipe.coordinates[number]
    motif = lifted_motif(recipe, number)
    tossed = part.style == TOSSED
    return all_over(motif.rgba, ground, part.size, part.spacing_mm, tossed=tossed)
