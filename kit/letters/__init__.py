"""Words on stickers and sheets, as outlines of an open font.

In: text, a size in points and a place. Out: ``Lettering``, curves and widths in millimetres. Not
done here: which words (``kit.stickers``), or drawing them (``kit.render``).
"""

from kit.letters.dates import DAYS, dates_of, days_from, is_month
from kit.letters.lettering import (
    INK,
    PAPER,
    WORD_LISTS,
    Lettering,
    face_of,
    fitting_pt,
    ink_on,
    letter,
    line_from,
    unknown_characters,
    width_ems,
    with_sign,
    words_of,
)
from kit.letters.typeface import Typeface, font_bytes, typeface

__all__ = [
    "DAYS",
    "INK",
    "PAPER",
    "WORD_LISTS",
    "Lettering",
    "Typeface",
    "dates_of",
    "days_from",
    "face_of",
    "fitting_pt",
    "font_bytes",
    "ink_on",
    "is_month",
    "letter",
    "line_from",
    "typeface",
    "unknown_characters",
    "width_ems",
    "with_sign",
    "words_of",
]
