"""Which colours is artwork made of, and what does each do in it?

In: tiles as pixels. Out: their colours with weights (``ColourBins``), a ``Palette`` of them with
names, shares and roles, and the same artwork in another palette. Not done here: print.
"""

from palette.choose.belong import Belonging, belonging
from palette.choose.choice import MOST_COLOURS, choose
from palette.choose.histogram import EXACT_COLOURS, ColourBins, bins_of, pool_bins
from palette.choose.joining import USUAL
from palette.choose.matching import match_palettes
from palette.choose.recolouring import Pair, recolour
from palette.choose.roles import Fitness, fitness, roles_for
from palette.choose.swatch import (
    LEAST_SOURCE,
    ApartTile,
    Ground,
    Palette,
    Role,
    Swatch,
    share_words,
)

__all__ = [
    "EXACT_COLOURS",
    "LEAST_SOURCE",
    "MOST_COLOURS",
    "USUAL",
    "ApartTile",
    "Belonging",
    "ColourBins",
    "Fitness",
    "Ground",
    "Pair",
    "Palette",
    "Role",
    "Swatch",
    "belonging",
    "bins_of",
    "choose",
    "fitness",
    "match_palettes",
    "pool_bins",
    "recolour",
    "roles_for",
    "share_words",
]
