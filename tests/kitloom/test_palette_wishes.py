"""What a maker asks of a palette beyond a number: names kept, colours left out, what it lacks."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from kit.recipe import parse_recipe
from kitloom.cli import kitloom
from kitloom.kits import choose_palette, resolve
from palette.choose import bins_of
from palette.errors import PaletteError

RECIPE = """\
[planner]
box = "30mm x 24mm"
[sheet]
paper = "A5"
[palette]
{palette}
[[patterns]]
file = "dots.png"
repeat = "10mm"
[[rows]]
sticker = "full box"
count = 1
fill = "dots"
"""


def answer(*words: object) -> dict[str, Any]:
    done = CliRunner().invoke(kitloom, [*map(str, words), "--json"], standalone_mode=False)
    assert done.exception is None, done.exception
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.fixture
def tile(dots: np.ndarray, tmp_path: Path) -> Path:
    Image.fromarray(dots).save(tmp_path / "dots.png")
    return tmp_path / "dots.png"


def striped(place: Path, *colours: tuple[int, int, int]) -> Path:
    rows = np.repeat(np.array(colours, np.uint8), 24, axis=0)[:, None]
    Image.fromarray(np.repeat(rows, 60, axis=1)).save(place)
    return place


def test_a_name_that_was_typed_is_the_name_that_is_shown(tile: Path) -> None:
    """A CSS salmon was put in and called "coral"."""
    shown = {
        one["hex"]: one["name"] for one in answer("palette", tile, "--pin", "salmon")["palette"]
    }
    assert shown["#fa8072"] == "salmon"
    recipe = parse_recipe(RECIPE.format(palette='pinned = ["Salmon"]'), tile.with_name("kit.toml"))
    bins = {"dots": bins_of(np.asarray(Image.open(tile)))}
    kit = {one.hex: one for one in choose_palette(resolve(recipe).palette, bins).swatches}
    assert (kit["#fa8072"].name, kit["#fa8072"].pinned) == ("Salmon", True)


def test_a_colour_is_left_out_by_command_and_by_recipe(tile: Path) -> None:
    whole = answer("palette", tile)["palette"]
    gone = next(one for one in whole if one["hex"] == "#c4543c")
    for typed in (gone["hex"], gone["name"]):
        fewer = {one["hex"] for one in answer("palette", tile, "--without", typed)["palette"]}
        assert fewer == {one["hex"] for one in whole} - {gone["hex"]}
    text = RECIPE.format(palette='without = ["#c4543c"]')
    recipe = parse_recipe(text, tile.with_name("kit.toml"))
    bins = {"dots": bins_of(np.asarray(Image.open(tile)))}
    assert fewer == {one.hex for one in choose_palette(resolve(recipe).palette, bins).swatches}


def test_of_an_earlier_palette_exactly_what_is_named_is_left_out(tile: Path) -> None:
    card = tile.with_name("card.csv")
    card.write_text("name,hex\nmoss,#5d6b2a\nolive,#5f6d2c\n", encoding="utf-8")
    kept = answer("palette", tile, "--from", card, "--without", "moss")["palette"]
    assert [one["hex"] for one in kept] == ["#5f6d2c"]
    words = ["palette", str(tile), "--from", str(card), "--without", "#123456"]
    done = CliRunner().invoke(kitloom, words, standalone_mode=False)
    assert isinstance(done.exception, PaletteError)
    assert "#123456 is to be left out, but is not in it" in str(done.exception)


def test_a_ground_that_no_colour_looks_like_is_told(tmp_path: Path) -> None:
    """Plain stickers cannot match a tile whose ground is in no colour of the palette."""
    blush = striped(tmp_path / "blush.png", (246, 214, 202))
    ivory = striped(tmp_path / "ivory.png", (248, 240, 222))
    (told,) = [
        one
        for one in answer("palette", blush, ivory, "--colours", "1")["findings"]
        if one["code"] == "ground-missing"
    ]
    assert told["severity"] == "note"
    assert told["measures"]["de2000"] > 5.0
    whole = answer("palette", blush, ivory)["findings"]
    assert "ground-missing" not in {one["code"] for one in whole}


def test_a_tile_unlike_all_others_is_asked_about_with_its_colours(tmp_path: Path) -> None:
    soft = [
        striped(tmp_path / f"soft {i}.png", (244, 236, 220), (150 + 3 * i, 170, 140))
        for i in range(5)
    ]
    neon = striped(tmp_path / "neon.png", (255, 0, 140), (60, 255, 0), (250, 255, 0))
    told = {one["code"]: one for one in answer("palette", *soft, neon)["findings"]}
    assert told["tile-apart"]["subject"] == "neon"
    assert set(told["tile-apart"]["measures"]["colours"]) == {"#ff008c", "#3cff00", "#faff00"}
    assert "tile-apart" not in {one["code"] for one in answer("palette", *soft)["findings"]}


def test_what_is_said_of_a_stranger_is_what_the_file_shows(tmp_path: Path) -> None:
    """The text named the nearest colour, the file had another."""
    tartan = striped(tmp_path / "tartan.png", (190, 40, 50), (40, 110, 70), (40, 110, 70))
    card = tmp_path / "card.csv"
    card.write_text("name,hex\nmaroon,#7c1f38\npine,#335a48\nlinen,#efe6d5\n", encoding="utf-8")
    words = ("palette", tartan, "--from", card, "--colourway", tmp_path / "worn")
    (told,) = [one for one in answer(*words)["findings"] if one["code"] == "stranger"]
    worn = np.asarray(Image.open(tmp_path / "worn" / "tartan.png"))
    assert told["remedy"].endswith("#286e46 becomes pine.")
    assert np.abs(worn[60, 30].astype(int) - (0x33, 0x5A, 0x48)).max() <= 6
    red = worn[5, 30].astype(int)
    assert red[0] > red[1] + 40  # the red stays one: green on green was the fault
