"""All ink of a recipe's sheets but its patterns, without measuring tiles or drawing anything.

In: a checked recipe, and the colours of its tiles. Out: ``SheetInks``. The kit is composed as for
``make``; only where a pattern's windows lie is not looked for, because no plain colour rests on it:
a tile of its mean colour stands in for each.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from kit.compose import Pattern, compose
from kit.recipe import PatternPart, Recipe
from kitloom.inks import SheetInks, inks_on
from kitloom.kits.judged_kit import choose_palette
from kitloom.kits.request import palette_request
from palette.choose import ColourBins
from palette.space import lab_to_srgb8
from patterns.plane import Plane, parse_lattice

SIDE_PX = 8


def plain_inks(recipe: Recipe, bins: Mapping[str, ColourBins]) -> SheetInks:
    """Return all ink of a recipe's sheets but its patterns.

    Args:
        recipe: a checked recipe.
        bins: the colours of each of its patterns, by name.

    Raises:
        KitloomError: the recipe cannot be made.
    """
    palette = choose_palette(palette_request(recipe), bins)
    patterns = [_stand_in(part, bins[part.label]) for part in recipe.patterns]
    return inks_on(recipe, compose(recipe, patterns, palette))


def _stand_in(part: PatternPart, bins: ColourBins) -> Pattern:
    mean = bins.weight @ bins.lab
    pixels = np.broadcast_to(lab_to_srgb8(mean[None]), (SIDE_PX, SIDE_PX, 3)).copy()
    repeat_mm = 10.0 if part.repeat == "auto" else part.repeat
    return Pattern(part.label, Plane(pixels, repeat_mm, parse_lattice("straight")), mean)
