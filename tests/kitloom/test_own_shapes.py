"""What a maker is told of her own outlines and pictures, and what a bare sheet says."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
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
outline = "{outline}"
count = 2
fill = "#3b5b7a"
[[rows]]
sticker = "icon"
size = "20mm x 20mm"
picture = "{picture}"
distance = "{distance}"
count = 1
"""
STAR = "M50 5 L61 39 L97 39 L68 60 L79 94 L50 73 L21 94 L32 60 L3 39 L39 39 Z"
SLOTTED = "M0 0 H49.5 V60 H50.5 V0 H100 V100 H0 Z"


def recipe(folder: Path, path: str = STAR, beside: str = "", haze: int = 0) -> Path:
    file = f'<svg xmlns="http://www.w3.org/2000/svg">{beside}<path d="{path}"/></svg>'
    (folder / "own.svg").write_text(file, "utf-8")
    pixels = np.zeros((200, 200, 4), np.uint8)
    pixels[..., 3] = haze
    pixels[60:140, 60:140] = (90, 60, 30, 255)
    Image.fromarray(pixels).save(folder / "moon.png")
    Image.fromarray(dot_tile(300)).save(folder / "dots.png")
    made = folder / "kit.toml"
    filled = RECIPE.format(outline="own.svg", picture="moon.png", distance="0mm")
    made.write_text(filled, "utf-8")
    return made


def told(file: Path) -> dict[str, list[dict]]:
    done = called("make", file, "--overwrite", "--json")
    codes: dict[str, list[dict]] = {}
    for one in json.loads(done.stdout)["findings"]:
        codes.setdefault(one["code"], []).append(one)
        assert len(one["what"]) <= 300
    return codes


def test_a_bare_sticker_stops_the_kit_and_stands_in_its_report(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A maker would print a sheet of bare stickers."""
    file = recipe(tmp_path)
    monkeypatch.setattr("kit.compose.placing.bleed_shape", lambda *_: circle(10.0, 10.0, 6.0))
    done = called("make", file, "--json")
    found = [one for one in json.loads(done.stdout)["findings"] if one["code"] == "unprinted"]
    assert done.returncode == 1
    assert [one["measures"]["sticker"] for one in found][:2] == [1, 2]
    assert all(one["severity"] == "stop" and one["subject"] == "sheet 1" for one in found)
    assert all(0.0 < one["measures"]["share"] < 0.9 for one in found)
    assert "is bare over" in (tmp_path / "kit" / "report.html").read_text("utf-8")
    # nothing changed: the lock says the same again
    assert [one["measures"] for one in told(file)["unprinted"]] == [
        one["measures"] for one in found
    ]


def test_a_plain_star_and_a_plain_picture_need_nothing(tmp_path: Path) -> None:
    codes = told(recipe(tmp_path))
    assert not {"unprinted", "outline-beside", "fine-outline", "icon-left-out"} & set(codes)


def test_what_is_not_cut_is_told(tmp_path: Path) -> None:
    """She would find out at the cutter that another shape was meant."""
    codes = told(
        recipe(tmp_path, SLOTTED, '<circle r="70"/><circle r="9"/><text>a</text>', haze=12)
    )
    (beside,), (fine,), (left,) = (
        codes[code] for code in ("outline-beside", "fine-outline", "icon-left-out")
    )
    assert "2 circles, 1 text" in beside["what"]
    assert fine["measures"]["parts"][0]["sort"] == "slit"
    assert fine["measures"]["parts"][0]["width_mm"] == pytest.approx(0.2, abs=0.01)
    outside = 12 * (200**2 - 80**2)
    share = outside / (outside + 255 * 80**2)
    assert left["measures"]["share"] == pytest.approx(share, abs=0.01)
    assert {one["severity"] for one in (beside, fine, left)} == {"warn"}
