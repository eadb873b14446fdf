"""The shapes of letters, from an open font that lies beside this module.

In: characters. Out: their outlines as cubic Bézier curves in units of the em, y down from the
baseline, with advance widths and kerning. The face is Lato Bold 1.104 (``fonts/OFL.txt``); its
outlines are read by fontTools. A quadratic curve is turned into a cubic exactly, by raising its
degree.

This module reads the font's files. Not done here: sizes and places (``kit.letters.lettering``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from io import BytesIO
from typing import Any, Literal

from kit.shapes import CurvedPath


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
        kerning: by pair of glyph names, how far the second moves, in ems.
    """

    name: str
    cap_height: float
    descent: float
    kerning: Mapping[tuple[str, str], float]
    _names: Mapping[int, str]
    _glyphs: Any
    _em: float
    _drawn: dict[str, Glyph] = field(default_factory=dict)

    def has(self, character: str) -> bool:
        """Tell whether the font can write a character."""
        return ord(character) in self._names

    def kern(self, left: str, right: str) -> float:
        """Return by how much a character moves towards the one on its left (negative), in ems."""
        pair = (self._names.get(ord(left), ""), self._names.get(ord(right), ""))
        return self.kerning.get(pair, 0.0)

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

        pen, em = CubicPen(self._glyphs), self._em
        glyph = self._glyphs[self._names[ord(character)]]
        glyph.draw(pen)
        runs = [run.map(lambda point: (point[0] / em, -point[1] / em)) for run in pen.runs]
        paths = tuple(CurvedPath(run.start, tuple(run.pieces)) for run in runs)
        return Glyph(paths, glyph.width / em)


def font_bytes(weight: Literal["Bold", "Regular"]) -> bytes:
    """Return the TrueType file of Lato in a weight."""
    return files("kit.letters").joinpath("fonts", f"Lato-{weight}.ttf").read_bytes()


@cache
def typeface(*, bold: bool = True) -> Typeface:
    """Return the font that kitloom writes in: stickers in bold, cards in its regular weight."""
    from fontTools.ttLib import TTFont

    weight: Literal["Bold", "Regular"] = "Bold" if bold else "Regular"
    font = TTFont(BytesIO(font_bytes(weight)), lazy=False)
    em = float(font["head"].unitsPerEm)
    return Typeface(
        name=f"Lato {weight}",
        cap_height=font["OS/2"].sCapHeight / em,
        descent=-font["hhea"].descent / em,
        kerning=_pairs(font, em),
        _names=font.getBestCmap(),
        _glyphs=font.getGlyphSet(),
        _em=em,
    )


def _pairs(font: Any, em: float) -> dict[tuple[str, str], float]:
    """Return the kerning of the font's glyph pairs (OpenType GPOS, lookup type 2, format 1)."""
    moves: dict[tuple[str, str], float] = {}
    for lookup in font["GPOS"].table.LookupList.Lookup if "GPOS" in font else ():
        for table in lookup.SubTable:
            if lookup.LookupType != 2 or table.Format != 1:
                continue
            for left, pairs in zip(table.Coverage.glyphs, table.PairSet, strict=True):
                for pair in pairs.PairValueRecord:
                    move = pair.Value1.XAdvance if pair.Value1 else 0
                    moves.setdefault((left, pair.SecondGlyph), move / em)
    return moves
