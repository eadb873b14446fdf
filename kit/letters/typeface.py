"""The shapes of letters, from an open font that lies beside this module.

In: characters. Out: their outlines as cubic Bézier curves in units of the em, y down from the
baseline, with advance widths and kerning. The face is Lato Bold 1.104 (``fonts/OFL.txt``); it is
read by HarfBuzz. A quadratic curve is turned into a cubic exactly, by raising its degree.

This module reads the font's files. Not done here: sizes and places (``kit.letters.lettering``).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Literal

from kit.shapes import CurvedPath

if TYPE_CHECKING:
    from uharfbuzz import Font

# one glyph a character, so that words can be found and copied in a file
FEATURES = {"liga": False, "clig": False}


@dataclass(frozen=True, slots=True)
class Glyph:
    """One character's outlines and how far the next one stands from it, in ems."""

    paths: tuple[CurvedPath, ...]
    advance: float


@dataclass(frozen=True)
class Typeface:
    """A font, opened.

    Attributes:
        name: as its makers call it.
        cap_height: of its capitals, in ems.
        descent: how far letters reach below the baseline, in ems.
    """

    name: str
    cap_height: float
    descent: float
    _font: Font
    _em: float
    _drawn: dict[str, Glyph] = field(default_factory=dict)
    _moves: dict[str, float] = field(default_factory=dict)

    def has(self, character: str) -> bool:
        """Tell whether the font can write a character."""
        return self._font.get_nominal_glyph(ord(character)) is not None

    def kern(self, left: str, right: str) -> float:
        """Return by how much a character moves towards the one on its left (negative), in ems."""
        pair = left + right
        if pair not in self._moves:
            apart = self._width(left) + self._width(right)
            self._moves[pair] = (self._width(pair) - apart) / self._em
        return self._moves[pair]

    def glyph(self, character: str) -> Glyph:
        """Return a character's shape; it is read from the font once.

        Raises:
            KeyError: the font has none.
        """
        if character not in self._drawn:
            self._drawn[character] = self._draw(character)
        return self._drawn[character]

    def _draw(self, character: str) -> Glyph:
        from kit.shapes.pen import CubicPen

        number = self._font.get_nominal_glyph(ord(character))
        if number is None:
            raise KeyError(character)
        pen, em = CubicPen(), self._em
        self._font.draw_glyph_with_pen(number, pen)
        runs = [run.map(lambda point: (point[0] / em, -point[1] / em)) for run in pen.runs]
        paths = tuple(CurvedPath(run.start, tuple(run.pieces)) for run in runs)
        return Glyph(paths, self._font.get_glyph_h_advance(number) / em)

    def _width(self, characters: str) -> int:
        """Return how wide characters are side by side, in the font's units."""
        import uharfbuzz

        line = uharfbuzz.Buffer()
        line.add_str(characters)
        line.guess_segment_properties()
        uharfbuzz.shape(self._font, line, FEATURES)
        return sum(position.x_advance for position in line.glyph_positions)


def font_bytes(weight: Literal["Bold", "Regular"]) -> bytes:
    """Return the TrueType file of Lato in a weight."""
    return files("kit.letters").joinpath("fonts", f"Lato-{weight}.ttf").read_bytes()


@cache
def typeface(*, bold: bool = True) -> Typeface:
    """Return the font that kitloom writes in: stickers in bold, cards in its regular weight."""
    import uharfbuzz

    weight: Literal["Bold", "Regular"] = "Bold" if bold else "Regular"
    face = uharfbuzz.Face(font_bytes(weight))
    font = uharfbuzz.Font(face)
    em = float(face.upem)
    return Typeface(
        name=f"Lato {weight}",
        cap_height=font.get_metric_position(uharfbuzz.OTMetricsTag.CAP_HEIGHT) / em,
        descent=-font.get_font_extents("ltr").descender / em,
        _font=font,
        _em=em,
    )
