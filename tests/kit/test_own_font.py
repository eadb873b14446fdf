"""Stickers lettered in a maker's own font: joined scripts, lines from the right, bad files.

The order of a line is checked against python-bidi (an implementation of Unicode Standard Annex 9),
the shapes against a font that is built here by fontTools, so that every outline in it is known.
"""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from PIL import Image

from kit.letters import font_bytes, letter, unknown_characters, width_ems
from kit.letters.directions import runs_of
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from kitloom.cli import kitloom

BEH, ALEF, BET = "\u0628", "\u05d0", "\u05d1"
# glyph: advance and height of its bar, in thousandths of an em
GLYPHS = {
    ".notdef": (500, 0),
    "space": (250, 0),
    "A": (600, 700),
    "one": (400, 650),
    "two": (410, 640),
    "alef": (520, 610),
    "bet": (530, 620),
    "beh": (800, 300),
    "beh.init": (310, 310),
    "beh.medi": (320, 320),
    "beh.fina": (330, 330),
}
CODES = {32: "space", 65: "A", 49: "one", 50: "two", ord(ALEF): "alef", ord(BET): "bet"}
JOINED = """
languagesystem arab dflt;
feature init { sub beh by beh.init; } init;
feature medi { sub beh by beh.medi; } medi;
feature fina { sub beh by beh.fina; } fina;
"""


@pytest.fixture(scope="module")
def font(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A font of bars, each of a height of its own; beh has the four forms of a joined letter."""
    built = FontBuilder(1000, isTTF=True)
    built.setupGlyphOrder(list(GLYPHS))
    built.setupCharacterMap({**CODES, ord(BEH): "beh"})
    built.setupGlyf({name: _bar(*sides) for name, sides in GLYPHS.items()})
    built.setupHorizontalMetrics({name: (wide, 0) for name, (wide, _) in GLYPHS.items()})
    built.setupHorizontalHeader(ascent=800, descent=-200)
    built.setupNameTable({"familyName": "Bars", "styleName": "Regular"})
    built.setupOS2(sCapHeight=700)
    built.setupPost()
    addOpenTypeFeaturesFromString(built.font, JOINED)
    path = tmp_path_factory.mktemp("font") / "bars.ttf"
    built.save(path)
    return path


def _bar(wide: int, high: int) -> Any:
    pen = TTGlyphPen(None)
    if high:
        pen.moveTo((0, 0))
        for point in ((0, high), (wide - 50, high), (wide - 50, 0)):
            pen.lineTo(point)
        pen.closePath()
    return pen.glyph()


def heights(words: str, font: Path) -> list[int]:
    """The bars of a line from its left end, by their heights in thousandths of an em."""
    line = letter(words, Rect(0.0, 0.0, 100.0, 20.0), 72.0 / 25.4, font=font)  # an em of 1 mm
    tops = []
    for path in line.paths:
        ends = [(path.start[0], path.start[1]), *(piece[-1] for piece in path.pieces)]
        top = min(y for _, y in ends)
        tops.append((min(x for x, _ in ends), round((line.box.bottom_mm - top) * 1000)))
    return [high for _, high in sorted(tops)]


def test_words_are_drawn_and_measured_in_the_own_font(font: Path) -> None:
    assert heights("A12", font) == [700, 650, 640]
    assert width_ems("A 1", font) == pytest.approx(0.6 + 0.25 + 0.4)


def test_a_line_from_the_right_stands_from_the_right_and_its_numbers_do_not(font: Path) -> None:
    """A month with its year, else read backwards."""
    assert heights(f"{ALEF}{BET}", font) == [620, 610]
    assert heights(f"{ALEF}{BET} 12", font) == [650, 640, 620, 610]
    assert heights(f"A {ALEF}{BET}", font) == [700, 620, 610]


def test_letters_that_join_are_joined(font: Path) -> None:
    assert heights(BEH * 3, font) == [330, 320, 310]
    assert heights(BEH, font) == [300]
    assert width_ems(BEH * 3, font) == pytest.approx(0.96)


def test_letters_that_the_font_has_not_are_named(font: Path) -> None:
    assert unknown_characters("A b12é", font) == "bé"
    assert unknown_characters("A 12", font) == ""


@pytest.mark.slow
def test_the_order_of_a_line_is_that_of_the_unicode_standard() -> None:
    from bidi import get_display

    source = random.Random(1)
    letters = f"{ALEF}{BET}\u05d2abA 12.,-:/%"
    for _ in range(4000):
        words = "".join(source.choice(letters) for _ in range(source.randint(1, 9)))
        ours = "".join(run.words[:: -1 if run.from_right else 1] for run in runs_of(words))
        assert ours == get_display(words), words


RECIPE = """
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A5"
dpi = 100
[letters]
font = "bars.ttf"
[[patterns]]
file = "tile.png"
repeat = "30mm"
[[rows]]
sticker = "header"
text = "{words}"
fill = "#335544"
"""


@pytest.fixture
def folder(tmp_path: Path, font: Path) -> Path:
    Image.new("RGB", (400, 400), (90, 140, 80)).save(tmp_path / "tile.png")
    (tmp_path / "bars.ttf").write_bytes(font.read_bytes())
    return tmp_path


def make(folder: Path, words: str = "A12") -> Any:
    (folder / "kit.toml").write_text(RECIPE.format(words=words), encoding="utf-8")
    arguments = ["make", str(folder / "kit.toml"), "--out", str(folder / "kit"), "--overwrite"]
    return CliRunner().invoke(kitloom, arguments)


def test_a_kit_is_lettered_in_the_own_font_and_made_anew_for_another(folder: Path) -> None:
    assert make(folder).exit_code in (0, 1)
    before = (folder / "kit" / "sheet-1-print.png").read_bytes()
    (folder / "bars.ttf").write_bytes(font_bytes("Bold"))
    assert make(folder).exit_code in (0, 1)
    assert (folder / "kit" / "sheet-1-print.png").read_bytes() != before


@pytest.mark.parametrize(
    ("words", "content", "told"),
    [
        ("A12", b"no font", "is not a font that kitloom can read"),
        ("A12", b"", "is not a font that kitloom can read"),
        ("Monday", None, 'the font has no letter for "Monday"'),
    ],
)
def test_what_cannot_be_written_is_one_line(
    folder: Path, words: str, content: bytes | None, told: str
) -> None:
    if content is not None:
        (folder / "bars.ttf").write_bytes(content)
    result = make(folder, words)
    assert isinstance(result.exception, RecipeError)
    assert told in result.exception.line()
    assert not (folder / "kit").exists()


def test_a_font_that_is_not_there_is_named(folder: Path) -> None:
    (folder / "bars.ttf").unlink()
    result = make(folder)
    assert isinstance(result.exception, RecipeError)
    assert 'there is no file "bars.ttf"' in result.exception.line()
