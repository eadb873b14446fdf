"""The last step asks what the cutter can do, and shows that road's steps and files first."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from kit.recipe import parse_recipe
from kitloom.page.edits import Incoming
from kitloom.page.state import Bench
from kitloom.page.views.road_view import road_text, road_view
from kitloom.roads import CAUTIONS, PRINTING, ROADS, Road

from .conftest import draw, take_artwork, tile_file

FILES = (
    "kit.pdf", "report.html", "sheet-1-all.svg", "sheet-1-print.png", "sheet-1.dxf",
    "sheet-1.hpgl", "sheet-1.pdf", "sheet-1.png", "sheet-1.svg", "sheet-2.pdf", "sheet-2.svg",
)  # fmt: skip

RECIPE = (
    '[planner]\nbox = "38mm x 50mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
    '[[rows]]\nsticker = "full box"\ncount = 1\n'
)


@pytest.mark.parametrize("road", ROADS, ids=lambda road: road.key)
def test_the_files_that_a_road_needs_come_first_for_every_sheet(road: Road) -> None:
    view = road_view(road.key, [{"name": name} for name in FILES])
    first = [file["name"] for file in view["first"]]
    assert first == [
        name.replace("sheet-1", f"sheet-{number}")
        for name in road.files
        for number in (1, 2)
        if name.replace("sheet-1", f"sheet-{number}") in FILES
    ]
    assert {file["name"] for file in view["rest"]} == set(FILES) - set(first)
    assert [key for key, _, here in view["roads"] if here] == [road.key]


@pytest.mark.parametrize("road", [*ROADS, None], ids=lambda road: road.key if road else "any")
def test_what_to_do_goes_along_with_the_files(road: Road | None) -> None:
    """The cutter often stands at another computer than the page."""
    files = [{"name": "sheet-1.svg", "words": "Cut lines"}, {"name": "x.css", "words": ""}]
    recipe = parse_recipe(RECIPE, Path("kit.toml"))
    text = " ".join(road_text(road.key if road else "", recipe, files).split())
    told = {one.key for one in ROADS if one.check.replace("`", "") in text}
    assert told == ({road.key} if road else {one.key for one in ROADS})
    assert all(one in text for one in CAUTIONS)
    assert "sheet-1.svg: Cut lines" in text
    assert "x.css" not in text
    assert "a full box is 38 × 50 mm" in text


def test_without_a_road_nothing_is_folded_away() -> None:
    for key in ("", "none of them"):
        view = road_view(key, [{"name": name} for name in FILES])
        assert (view["road"], view["first"]) == (None, [])
        assert [file["name"] for file in view["rest"]] == list(FILES)


def test_the_last_step_shows_the_cautions_and_a_roads_steps(
    client: TestClient, bench: Bench, tmp_path: Path
) -> None:
    content = tile_file(tmp_path / "art" / "waves.png").read_bytes()
    take_artwork(bench, Incoming("waves.png", content))
    draw(bench)
    asks = client.get("/step/home").text
    for road in ROADS:
        assert f"road={road.key}" in asks
        page = client.get("/step/home", params={"road": road.key}).text
        plain = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", page)).replace("&#39;", "'")
        plain = plain.replace("&#34;", '"')
        for text in (*CAUTIONS, *PRINTING, *road.steps, road.check):
            assert text.replace("`", "") in plain


def test_the_road_is_remembered(client: TestClient, bench: Bench, tmp_path: Path) -> None:
    """A maker's machine is the same next month: she was asked for it each time."""
    content = tile_file(tmp_path / "art" / "waves.png").read_bytes()
    take_artwork(bench, Incoming("waves.png", content))
    assert 'id="road-title"' not in client.get("/step/home").text
    client.get("/step/home", params={"road": "corner"})
    assert 'id="road-title"' in client.get("/step/home").text
    client.get("/step/home", params={"road": "none; of=them"})
    assert 'id="road-title"' in client.get("/step/home").text


def test_making_the_files_keeps_the_road(client: TestClient, bench: Bench, tmp_path: Path) -> None:
    content = tile_file(tmp_path / "art" / "waves.png").read_bytes()
    take_artwork(bench, Incoming("waves.png", content))
    draw(bench)
    page = client.get("/step/home", params={"road": "corner"}).text
    back = "/step/home?road=corner"
    assert f'<input type="hidden" name="back" value="{back}">' in page
    sent = client.post("/making", data={"do": "stop", "back": back}, follow_redirects=False)
    assert sent.headers["location"] == back
    plain = client.post("/making", data={"do": "stop"}, follow_redirects=False)
    assert plain.headers["location"] == "/step/home"
