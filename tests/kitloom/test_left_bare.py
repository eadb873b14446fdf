"""A sheet that the renderer left bare somewhere stops the maker before it costs paper."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image

from kit.shapes import circle
from tests.conftest import dot_tile
from tests.kitloom.inside import called

RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "6in x 8in"
dpi = 100
[palette]
colours = 2
[[patterns]]
file = "dots.png"
repeat = "20mm"
[[rows]]
sticker = "custom"
size = "20mm x 20mm"
outline = "star.svg"
count = 2
fill = "#3b5b7a"
"""
STAR = "M50 5 L61 39 L97 39 L68 60 L79 94 L50 73 L21 94 L32 60 L3 39 L39 39 Z"


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    (tmp_path / "star.svg").write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg"><path d="{STAR}"/></svg>', "utf-8"
    )
    Image.fromarray(dot_tile(300)).save(tmp_path / "dots.png")
    file = tmp_path / "kit.toml"
    file.write_text(RECIPE, "utf-8")
    return file


def test_a_bare_sticker_stops_the_kit_and_stands_in_its_report(
    recipe: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("kit.compose.placing.bleed_shape", lambda *_: circle(10.0, 10.0, 6.0))
    done = called("make", recipe, "--json")
    found = [one for one in json.loads(done.stdout)["findings"] if one["code"] == "unprinted"]
    assert done.returncode == 1
    assert [one["measures"]["sticker"] for one in found] == [1, 2]
    assert all(one["severity"] == "stop" and one["subject"] == "sheet 1" for one in found)
    assert all(0.2 < one["measures"]["share"] < 0.9 for one in found)
    assert "is bare over" in (recipe.parent / "kit" / "report.html").read_text("utf-8")
    again = called(
        "make", recipe, "--overwrite", "--json"
    )  # nothing changed: the lock says the same
    assert [one["code"] for one in json.loads(again.stdout)["findings"]][:2] == ["unprinted"] * 2


def test_a_star_is_printed_whole(recipe: Path) -> None:
    done = called("make", recipe, "--json")
    assert done.returncode == 0
    assert "unprinted" not in done.stdout
