"""Which fill goes on which sticker, and where does its window lie in the plane?

In: slots, palette and planes. Out: a choice for each slot, and offsets in millimetres at which
copies differ and cuts run between motifs. Not done here: drawing it (``kit.render``).
"""

from kit.fills.assignment import Choice, choose_fills, plain_colours
from kit.fills.windows import Fields, Windows, choose_windows, fields_of

__all__ = [
    "Choice",
    "Fields",
    "Windows",
    "choose_fills",
    "choose_windows",
    "fields_of",
    "plain_colours",
]
