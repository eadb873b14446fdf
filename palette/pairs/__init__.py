"""Can the colours of a palette be told apart: on screen, on paper, by everyone?

In: a ``Palette``, and a press where there is one. Out: pairs with their differences and contrast,
pairs lost to some people's sight, a picture of the palette. Not done here: sentences about them.
"""

from palette.pairs.contrast import Pair, colour_pairs, pairs
from palette.pairs.cvd import LostPair, lost_pairs
from palette.pairs.plots import lab_plane

__all__ = [
    "LostPair",
    "Pair",
    "colour_pairs",
    "lab_plane",
    "lost_pairs",
    "pairs",
]
