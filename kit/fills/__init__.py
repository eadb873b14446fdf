"""Which fill goes on which sticker, and where does its window lie in the plane?

In: slots, palette and planes. Out: a choice for each slot, and offsets in millimetres at which
copies differ and cuts run between motifs. Not done here: drawing it (``kit.render``).
"""

from kit.fills.assignment import Choice, choose_fills, plain_colours
from kit.fills.windows import Windows, choose_windows

__all__ = [
    "Choice",
    "Windows",
    "choose_fills",
    "choose_windows",
    "plain_colours",
]
