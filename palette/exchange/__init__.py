"""Palettes as files for other programs, and colours out of theirs.

In: a ``Palette``, or the bytes of a colour file. Out: bytes, or ``NamedColour``s. A format is one
module here and one line in ``FORMATS``. Not done here: opening or writing the files.
"""

from palette.exchange.cgats import CgatsTable
from palette.exchange.colour import MOST_NAME, NamedColour, check_count, from_hex
from palette.exchange.formats import FORMATS, read_colours

__all__ = [
    "FORMATS",
    "MOST_NAME",
    "CgatsTable",
    "NamedColour",
    "check_count",
    "from_hex",
    "read_colours",
]
