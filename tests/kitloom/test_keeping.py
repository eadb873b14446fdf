"""Keeping a lock: the same bytes where nothing changed, and notice of what did."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from tests.kitloom.inside import called

RECIPE = """\
[planner]
box = "30mm x 24mm"
[sheet]
paper = "A5"
dpi = 100
bleed = "1.1mm"
[palette]
colours = 3
pinned = ["#c04040"]
[[patterns]]
file = "dots.png"
repeat = "11mm"
[[patterns]]
file = "bars.png"
repeat = "9mm"
[[rows]]
sticker = "full box"
count = 2
fill = "dots"
panel = "bars"
turn = "30deg"
[[rows]]
sticker = "custom"
count = 2
outline = "leaf.svg"
[[rows]]
sticker = "checklist"
count = 3
fill = "palette"
"""
LEAF = '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 5 L10 0 L20 {y} L10 10 Z"/></svg>'


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    dots = Image.new("RGB", (88, 88), "#f4eedc")
    ImageDraw.Draw(dots).ellipse((20, 20, 60, 60), fill="#c04040")
    dots.save(tmp_path / "dots.png")
    bars = np.full((72, 72, 3), (40, 60, 90), np.uint8)
    bars[10:30, 12:40] = (240, 220, 120)
    Image.fromarray(bars).save(tmp_path / "bars.png")
    (tmp_path / "leaf.svg").write_text(LEAF.format(y=5))
    (tmp_path / "kit.toml").write_text(RECIPE)
    return tmp_path


def make(out: str, *words: str) -> dict:
    done = called("make", "kit.toml", "--json", "--out", out, *words)
    assert done.returncode in {0, 1}, done.stderr
    return json.loads(done.stdout)


def kept_finding(answer: dict) -> dict:
    return next(one for one in answer["findings"] if one["code"] == "kept")


def test_a_kit_that_keeps_its_own_lock_is_the_same(folder: Path) -> None:
    make("first")
    answer = make("again", "--keep", "first/kit.lock.json")
    told_otherwise = {"kit.lock.json", "report.html"}  # both tell that a lock was kept
    for path in sorted((folder / "first").iterdir()):
        if path.name not in told_otherwise:
            assert path.read_bytes() == (folder / "again" / path.name).read_bytes(), path.name
    measures = kept_finding(answer)["measures"]
    assert measures["stickers_kept"] == measures["stickers"] == 7


def test_pins_go_beside_the_colours_of_an_earlier_season_and_are_kept(folder: Path) -> None:
    (folder / "card.csv").write_text("name,hex\nnight,#283c5a\nstraw,#f0dc78\n")
    pinned = 'from = "card.csv"\npinned = ["Tomato"]'
    recipe = RECIPE.replace('colours = 3\npinned = ["#c04040"]', pinned)
    (folder / "kit.toml").write_text(recipe)
    first = make("a")["palette"]
    assert {one["hex"]: one["pinned"] for one in first} == {
        "#283c5a": False,
        "#f0dc78": False,
        "#ff6347": True,
    }
    names = {one["hex"]: one["name"] for one in first}
    assert (names["#283c5a"], names["#f0dc78"]) == ("night", "straw")
    kept = make("b", "--keep", str(folder / "a" / "kit.lock.json"))["palette"]
    assert {one["hex"]: one["name"] for one in kept} == names
    again = make("c", "--keep", str(folder / "b" / "kit.lock.json"))["palette"]
    assert {one["hex"]: one["name"] for one in again} == names


def test_a_kept_palette_may_be_allowed_by_the_names_of_its_file(folder: Path) -> None:
    (folder / "card.csv").write_text("name,hex\nnight,#283c5a\ndusk,#293d5b\n")
    told = 'from = "card.csv"\nallow = [["night", "dusk"]]'
    (folder / "kit.toml").write_text(RECIPE.replace('colours = 3\npinned = ["#c04040"]', told))
    make("a")
    kept = make("b", "--keep", str(folder / "a" / "kit.lock.json"))
    assert [one["name"] for one in kept["palette"]] == ["night", "dusk"]


def test_a_lock_without_names_is_kept_all_the_same(folder: Path) -> None:
    first = make("a")["palette"]
    lock = folder / "a" / "kit.lock.json"
    told = json.loads(lock.read_text())
    del told["names"]
    lock.write_text(json.dumps(told))
    assert make("b", "--keep", str(lock))["palette"] == first


@pytest.mark.parametrize("key", ["fill", "panel"])
def test_a_sticker_whose_fill_has_no_name_is_filled_anew(folder: Path, key: str) -> None:
    make("first")
    lock = folder / "first" / "kit.lock.json"
    told = json.loads(lock.read_text())
    told["stickers"][0][key] = ""
    lock.write_text(json.dumps(told))
    answer = make("again", "--keep", str(lock))
    assert kept_finding(answer)["measures"]["stickers_kept"] == 6


@pytest.mark.usefixtures("folder")
def test_only_the_makers_own_colours_are_called_pinned() -> None:
    make("first")
    answer = make("again", "--keep", "first/kit.lock.json")
    assert [one["hex"] for one in answer["palette"] if one["pinned"]] == ["#c04040"]


@pytest.mark.parametrize("file", ["leaf.svg", "dots.png"])
def test_a_changed_file_is_noticed(folder: Path, file: str) -> None:
    make("first")
    if file == "leaf.svg":
        (folder / file).write_text(LEAF.format(y=6))
    else:
        Image.open(folder / file).rotate(90).save(folder / file)
    found = kept_finding(make("again", "--keep", "first/kit.lock.json"))
    assert f"Changed since: {file}." in found["what"]
    anew = 2 if file == "leaf.svg" else 0  # another cut line needs another window
    assert found["measures"]["stickers_kept"] == 7 - anew


def test_sticker_and_panel_have_a_window_each(folder: Path) -> None:
    make("first")
    stickers = json.loads((folder / "first" / "kit.lock.json").read_text())["stickers"]
    boxes = [one for one in stickers if one["kind"] == "full box"]
    assert len(boxes) == 2
    for one in boxes:
        assert one["panel_offset_mm"] is not None
        assert one["panel_offset_mm"] != one["offset_mm"]
    assert all(one["panel_offset_mm"] is None for one in stickers if one["panel"] is None)
