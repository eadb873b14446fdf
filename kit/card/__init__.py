"""What does the palette look like on paper? A card to print, pin up and hold beside the artwork.

In: a ``Palette`` and, where there is one, the press it will be printed on. Out: a ``Sheet`` of
plain colours and words, and its files. Not done here: drawing it (``kit.writers.drawn``).
"""

from kit.card.swatch_card import card_files, card_sheet

__all__ = ["card_files", "card_sheet"]
