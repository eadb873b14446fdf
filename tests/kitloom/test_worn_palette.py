"""A palette file of more colours than a kit can have is refused in one line, before the work."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from kitloom.cli import kitloom
from kitloom.findings import foreign_findings
from palette.choose import Belonging
from palette.errors import PaletteError

RECIPE = (
    '[planner]\nbox = "30mm x 24mm"\n[sheet]\npaper = "A5"\n[palette]\nfrom = "many.csv"\n'
    '[[patterns]]\nfile = "dots.png"\nrepeat = "10mm"\n'
    '[[rows]]\nsticker = "full box"\ncount = 1\nfill = "dots"\n'
)


def card(path: Path, count: int) -> Path:
    rows = [f"colour {i},#{i:02x}{255 - i:02x}80" for i in range(count)]
    path.write_text("\n".join(["name,hex", *rows, ""]))
    return path


def refused(*words: object) -> str:
    done = CliRunner().invoke(kitloom, [str(word) for word in words], standalone_mode=False)
    assert isinstance(done.exception, PaletteError)
    return done.exception.line()


@pytest.fixture
def tile(dots: np.ndarray, tmp_path: Path) -> Path:
    Image.fromarray(dots).save(tmp_path / "dots.png")
    return tmp_path / "dots.png"


def test_too_many_colours_are_told_with_the_file_and_both_numbers(tile: Path) -> None:
    many = card(tile.with_name("many.csv"), 65)
    said = refused("palette", tile, "--from", many)
    assert said.startswith(f"{many}: holds 65 colours (a kit's palette has 64 at most). Keep 64")
    recipe = tile.with_name("kit.toml")
    recipe.write_text(RECIPE)
    assert refused("make", recipe) == said


def test_pins_that_make_them_too_many_are_told(tile: Path) -> None:
    full = card(tile.with_name("full.csv"), 64)
    assert "64 colours, with the pinned ones 65" in refused(
        "palette", tile, "--from", full, "--pin", "black"
    )


def test_no_artwork_is_read_before(tile: Path) -> None:
    tile.write_bytes(b"no picture")
    assert "65 colours" in refused("palette", tile, "--from", card(tile.with_name("many.csv"), 65))


def test_as_many_as_a_kit_can_have_are_worn(tile: Path) -> None:
    words = ["palette", str(tile), "--from", str(card(tile.with_name("full.csv"), 64)), "--json"]
    done = CliRunner().invoke(kitloom, words, standalone_mode=False)
    assert done.exception is None
    assert done.stdout.count('"role"') == 64


def test_a_palette_that_most_tiles_have_nothing_of_is_a_warning() -> None:
    """Else a kit whose plain stickers match no tile passes as fine."""
    far, near = (Belonging(share, 20.0, (), ()) for share in (0.1, 0.9))
    (one,) = foreign_findings({"a": far, "b": far, "c": near}, "may.json", where="palette.from")
    assert (one.severity, one.subject) == ("warn", "palette.from")
    assert "2 of 3 tiles" in one.what
    assert len(f"{one.what} {one.why} {one.remedy}") <= 300
    own = {"a": far, "b": near, "c": near}
    assert not foreign_findings(own, "may.json", where="palette.from"), "its own artwork"
