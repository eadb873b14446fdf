"""The shapes of letters, from an open font that lies beside this module, or one of the maker's.

In: characters, or a line of them. Out: their outlines as cubic Bézier curves in units of the em, y
down from the baseline, with advance widths and kerning. kitloom's own face is Lato 1.104
(``fonts/OFL.txt``). Fonts are read, and lines shaped, by HarfBuzz: scripts whose letters join are
joined, and lines in a script from the right run from there. A quadratic curve is turned into a
cubic exactly, by raising its degree.

This module reads the fonts' files. Not done here: sizes and places (``kit.letters.lettering``).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache, lru_cache
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from kit.letters.directions import Run, runs_of
from kit.recipe_error import RecipeError
from kit.shapes import CurvedPath
from palette.errors import reason_of

if TYPE_CHECKING:
    from uharfbuzz import Font

# one glyph a character, so that words can be found and copied in a file
FEATURES = {"liga": False, "clig": False}
MOST_FONT_BYTES = 64 * 2**20  # the largest of a script with tens of thousands of characters
USUAL_CAP_HEIGHT = 0.7  # of an em, for a font that has no capitals


@dataclass(frozen=True, slots=True)
class Glyph:
    """One character's outlines and how far the next one stands from it, in ems."""

    paths: tuple[CurvedPath, ...]
    advance: float


@dataclass(frozen=True, slots=True)
class SetLine:
    """A line of words as the font sets it, from its left end; lengths in ems.

    Attributes:
        width: how wide it is.
        paths: its outlines.
        unknown: the characters that the font has no shape for, each once.
    """

    width: float
    paths: tuple[CurvedPath, ...]
    unknown: str = ""


@dataclass(frozen=True, eq=False)
class Typeface:
    """A font, opened.

    Attributes:
        name: as its makers call it.
        cap_height: of its capitals, in ems.
    """

    name: str
    cap_height: float
    _font: Font
    _em: float
    _drawn: dict[str, Glyph] = field(default_factory=dict)
    _moves: dict[str, float] = field(default_factory=dict)
    _lines: dict[str, SetLine] = field(default_factory=dict)

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
        number = self._font.get_nominal_glyph(ord(character))
        if number is None:
            raise KeyError(character)
        return Glyph(self._outline(number), self._font.get_glyph_h_advance(number) / self._em)

    def _outline(self, number: int) -> tuple[CurvedPath, ...]:
        """Return a glyph's outlines in ems."""
        from kit.shapes.pen import CubicPen

        pen, em = CubicPen(), self._em
        self._font.draw_glyph_with_pen(number, pen)
        runs = [run.map(lambda point: (point[0] / em, -point[1] / em)) for run in pen.runs]
        return tuple(CurvedPath(run.start, tuple(run.pieces)) for run in runs)

    def line(self, words: str) -> SetLine:
        """Return a line of words, shaped; one that was set before is not set again."""
        if words not in self._lines:
            self._lines[words] = self._set(words)
        return self._lines[words]

    def _set(self, words: str) -> SetLine:
        width, paths, unknown = 0.0, [], ""
        for run in runs_of(words):
            part = self._set_run(run)
            paths += [path.scale(1.0, width, 0.0) for path in part.paths]
            width += part.width
            unknown += part.unknown
        return SetLine(width, tuple(paths), "".join(dict.fromkeys(unknown)))

    def _set_run(self, run: Run) -> SetLine:
        """Return a run of one direction as HarfBuzz shapes it."""
        import uharfbuzz

        line = uharfbuzz.Buffer()
        line.add_str(run.words)
        line.guess_segment_properties()
        line.direction = "rtl" if run.from_right else "ltr"
        uharfbuzz.shape(self._font, line, FEATURES)
        at, paths, unknown = 0.0, [], ""
        for glyph, place in zip(line.glyph_infos, line.glyph_positions, strict=True):
            outline = self._outline(glyph.codepoint)
            character = run.words[glyph.cluster]
            if glyph.codepoint == 0 or not (outline or place.x_advance == 0 or character.isspace()):
                unknown += character
            x, y = (at + place.x_offset) / self._em, -place.y_offset / self._em
            paths += [path.scale(1.0, x, y) for path in outline]
            at += place.x_advance
        return SetLine(at / self._em, tuple(paths), unknown)

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
    weight: Literal["Bold", "Regular"] = "Bold" if bold else "Regular"
    return _opened(f"Lato {weight}", font_bytes(weight))


def own_typeface(path: Path) -> Typeface:
    """Return a maker's own font; a file that has not changed is read once.

    Raises:
        RecipeError: it cannot be read, or is not a TrueType or OpenType font with outlines.
    """
    try:
        state = path.stat()
        return _own_typeface(path, state.st_mtime_ns, state.st_size)
    except OSError as error:
        raise RecipeError(
            "cannot be read", where=str(path), why=reason_of(error), remedy="Check the file."
        ) from error


@lru_cache(maxsize=8)
def _own_typeface(path: Path, _changed_ns: int, size: int) -> Typeface:
    import uharfbuzz

    # an HarfBuzz face of any bytes opens, with no glyph in it
    readable = size <= MOST_FONT_BYTES and uharfbuzz.Face(data := path.read_bytes()).glyph_count
    if not readable:
        raise RecipeError(
            "is not a font that kitloom can read",
            where=str(path),
            remedy="Give a TrueType or OpenType font, a file that ends in .ttf or .otf.",
        )
    return _opened(path.stem, data)


def _opened(name: str, data: bytes) -> Typeface:
    import uharfbuzz

    face = uharfbuzz.Face(data)
    font = uharfbuzz.Font(face)
    em = float(face.upem)
    capitals = font.get_metric_position(uharfbuzz.OTMetricsTag.CAP_HEIGHT) or USUAL_CAP_HEIGHT * em
    return Typeface(
        name=name,
        cap_height=capitals / em,
        _font=font,
        _em=em,
    )
