"""Words on a sticker: how large they can be, in which ink, and whether they can still be read.

In: words, the area that they may fill (mm) and what lies behind them. Out: ``Lettering``: vector
outlines in millimetres on the sheet, which print files draw as curves and the raster as pixels.

Smallest sizes: 6 pt, and 8 pt where the letters are lighter than their ground, because ink creeps
into thin light strokes. Print houses' guidelines differ between 5 and 10 pt; none is for home
inkjets. Sizes are the type's em, as everywhere in print: 1 pt is 1/72 inch.

A recipe may name a font of the maker's own; without, letters are Lato's. Not done here: words that
the font has no letters for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from kit.letters.dates import DATES, DAYS
from kit.letters.typeface import Typeface, own_typeface, typeface
from kit.shapes import CurvedPath, Point, Rect
from patterns.units import MM_PER_POINT

LEAST_PT, LEAST_REVERSED_PT = 6.0, 8.0
LARGEST_PT = 22.0
CAP_SHARE = 0.5  # capitals take at most this share of the area's height
WIDTH_SHARE = 0.92  # and words this much of its width
INK, PAPER = "#262626", "#ffffff"
WORD_LISTS = {"days": DAYS, "dates": DATES}


def words_of(text: str | Sequence[str]) -> tuple[str, ...]:
    """Return the words that a recipe's text asks for: "days", "dates", one, or a list."""
    return WORD_LISTS.get(text, (text,)) if isinstance(text, str) else tuple(text)


@dataclass(frozen=True, slots=True)
class Lettering:
    """Words as they are printed.

    Attributes:
        words: what they say.
        size_pt: the type's em in points.
        colour: of the letters, sRGB hex.
        reversed: whether they are lighter than what lies behind them.
        box: from the first letter's left to the last one's right, baseline to cap height.
        paths: the letters' outlines on the sheet, mm, y down; filled by the non-zero rule.
        bold: whether they are in the bold weight, as stickers are lettered.
    """

    words: str
    size_pt: float
    colour: str
    reversed: bool
    box: Rect
    paths: tuple[CurvedPath, ...]
    bold: bool = True

    @property
    def least_pt(self) -> float:
        """The smallest size at which such letters print cleanly."""
        return LEAST_REVERSED_PT if self.reversed else LEAST_PT

    @property
    def is_legible(self) -> bool:
        """Whether the letters are large enough."""
        return self.size_pt >= self.least_pt - 1e-6


def with_sign(number: float) -> str:
    """Return a number with its sign, as scales bear it: "+5", "−5", "0"."""
    return f"{number:+g}".replace("-", "−") if number else "0"


def face_of(font: Path | None) -> Typeface:
    """Return the maker's own font, or kitloom's where it is None.

    Raises:
        RecipeError: the file is not a font.
    """
    return typeface() if font is None else own_typeface(font)


def unknown_characters(words: str, font: Path | None = None) -> str:
    """Return the characters of the words that the font cannot write, each once."""
    return face_of(font).line(words).unknown


def width_ems(words: str, font: Path | None = None) -> float:
    """Return how wide words are, in ems, kerning included."""
    return face_of(font).line(words).width


def _width_ems(face: Typeface, words: str) -> float:
    kerning = sum(face.kern(a, b) for a, b in pairwise(words))
    return sum(face.glyph(c).advance for c in words) + kerning


def fitting_pt(
    words: Sequence[str], width_mm: float, height_mm: float, font: Path | None = None
) -> float:
    """Return the one size at which all of these words fit an area, each on a line of its own."""
    face = face_of(font)
    widest = max((face.line(one).width for one in words), default=0.0) or 1.0
    size_mm = min(WIDTH_SHARE * width_mm / widest, CAP_SHARE * height_mm / face.cap_height)
    return min(LARGEST_PT, size_mm / MM_PER_POINT)


def letter(
    words: str, area: Rect, size_pt: float, ground: str = PAPER, font: Path | None = None
) -> Lettering:
    """Return words in the middle of an area.

    Args:
        words: one line.
        area: their capitals are centred in it.
        size_pt: the em in points.
        ground: the colour behind them, sRGB hex; it decides between dark and white letters.
        font: the maker's own; characters that it cannot write are boxes or nothing
            (``unknown_characters``).
    """
    face = face_of(font)
    size_mm = size_pt * MM_PER_POINT
    line = face.line(words)
    wide, tall = line.width * size_mm, face.cap_height * size_mm
    x, y = area.centre_mm
    box = Rect(x - wide / 2.0, y - tall / 2.0, wide, tall)
    colour = ink_on(ground)
    paths = tuple(path.scale(size_mm, box.x_mm, box.bottom_mm) for path in line.paths)
    return Lettering(words, size_pt, colour, colour == PAPER, box, paths)


def line_from(at: Point, words: str, size_pt: float, colour: str) -> Lettering:
    """Return words in the regular weight on paper, from the left end of their baseline.

    Args:
        at: the baseline's left end, mm.
        words: one line; "?" stands in for a character that the font cannot write.
        size_pt: the em in points.
        colour: sRGB hex.
    """
    face = typeface(bold=False)
    words = "".join(c if face.has(c) else "?" for c in words)
    size_mm = size_pt * MM_PER_POINT
    tall = face.cap_height * size_mm
    box = Rect(at[0], at[1] - tall, _width_ems(face, words) * size_mm, tall)
    paths = typeset(face, words, at, size_mm)
    return Lettering(words, size_pt, colour, reversed=False, box=box, paths=paths, bold=False)


def ink_on(ground: str) -> str:
    """Return dark ink or paper white, whichever stands out more (WCAG 2 contrast ratio)."""
    from palette.space import ratio

    return max((INK, PAPER), key=lambda ink: ratio(ink, ground))


def typeset(face: Typeface, words: str, at: Point, size_mm: float) -> tuple[CurvedPath, ...]:
    """Return the outlines of words whose baseline begins at a point."""
    paths: list[CurvedPath] = []
    x = at[0]
    for i, character in enumerate(words):
        if i:
            x += face.kern(words[i - 1], character) * size_mm
        glyph = face.glyph(character)
        paths += [path.scale(size_mm, x, at[1]) for path in glyph.paths]
        x += glyph.advance * size_mm
    return tuple(paths)
