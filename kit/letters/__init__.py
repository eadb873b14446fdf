"""Words on stickers and sheets, as outlines of an open font.

In: text, a size in points and a place. Out: ``Lettering``, curves and widths in millimetres. Not
done here: which words (``kit.stickers``), or drawing them (``kit.render``).
"""

from kit.letters.lettering import (
    INK,
    PAPER,
    Lettering,
    fitting_pt,
    ink_on,
    letter,
    unknown_characters,
    width_ems,
    with_sign,
    words_of,
)
from kit.letters.typeface import font_bytes

__all__ = [
    "INK",
    "PAPER",
    "Lettering",
    "fitting_pt",
    "font_bytes",
    "ink_on",
    "letter",
    "unknown_characters",
    "width_ems",
    "with_sign",
    "words_of",
]
