"""Files that someone drew or bought, opened as the pixels that will be printed.

In: a path. Out: an ``Artwork``: sRGB, upright, on white, with its dpi. This is the only reader of
artwork. Not done here: judging it.
"""

from patterns.artwork.opening import (
    SUFFIXES,
    Artwork,
    begin_reading,
    digest,
    find_artwork,
    open_artwork,
)
from patterns.artwork.own_pictures import KEYWORD, WORDS

__all__ = [
    "KEYWORD",
    "SUFFIXES",
    "WORDS",
    "Artwork",
    "begin_reading",
    "digest",
    "find_artwork",
    "open_artwork",
]
