"""A recipe's coordinates in their colours, once there is a palette whose names they may use.

In: a checked recipe and its palette. Out: by name, what is drawn, ready to be sampled. A colour is
a hex, the name of one of the palette's colours, a role in it, or a name of CSS, in this order. A
role holds for other artwork too. Not done here: what print makes of the colours.
"""

from __future__ import annotations

from kit.recipe import Recipe, place_in
from palette.choose import Palette
from palette.space import colour_of
from patterns.coordinates import Coordinate


def coordinates_of(recipe: Recipe, palette: Palette) -> dict[str, Coordinate]:
    """Return the coordinates of a recipe by their names, in its order.

    Raises:
        PaletteError: a colour that is none, and no name in the palette.
    """
    main_first = palette.swatches
    own = {str(swatch.role): swatch.hex for swatch in reversed(main_first)}
    own |= {swatch.name: swatch.hex for swatch in main_first}
    made = {}
    for number, part in enumerate(recipe.coordinates):
        where = place_in(recipe, "coordinates", number, "colours")
        colours = tuple(colour_of(text, own, where=where) for text in part.colours)
        made[part.label] = Coordinate(part.figure(), colours)
    return made
