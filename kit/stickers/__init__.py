"""From rows of a recipe to single stickers, each with its size, panels and words.

In: a ``Recipe``. Out: ``Slot``s, and slots dressed with panels and marks. Not done here: what fills
them (``kit.fills``) and where they lie (``kit.layout``).
"""

from kit.recipe import is_colour
from kit.stickers.dressing import dress, light_of, title_colour
from kit.stickers.evenness import even_slots
from kit.stickers.lifted import lift_ahead, lifted_motif
from kit.stickers.slots import Slot, filler_slot, slots_of

__all__ = [
    "Slot",
    "dress",
    "even_slots",
    "filler_slot",
    "is_colour",
    "lift_ahead",
    "lifted_motif",
    "light_of",
    "slots_of",
    "title_colour",
]
