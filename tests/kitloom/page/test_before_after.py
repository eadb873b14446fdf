"""A new tile is seen before it is used: before and after in one picture, warned of as elsewhere.

And what is typed meanwhile, but not sent, stays. No published source: what the page promises is
checked against what it does.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from kitloom.findings import new_seam
from kitloom.page.edits import OWN, Incoming
from kitloom.page.state import Bench
from kitloom.page.work import Preview, Previews
from patterns.artwork import open_artwork
from patterns.plane import STRAIGHT
from patterns.seams import check_seams

from .conftest import Served, draw, drawn, drop, lines_file, take_artwork, tile_file
from .waiting import until

pytestmark = pytest.mark.slow


def test_joins_that_show_in_new_colours_are_a_warning_beside_the_picture(
    client: TestClient, bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """They were a word in a caption, and a maker used the tile."""
    path = tile_file(tmp_path / "waves.png")
    take_artwork(bench, Incoming(path.name, path.read_bytes()))
    draw(bench)
    pixels = open_artwork(lines_file(tmp_path / "lines.png")).pixels
    told = new_seam("waves", check_seams(pixels))
    preview = Preview("done", pixels=pixels, lattice=STRAIGHT, told=(told,))
    monkeypatch.setattr(Previews, "now", lambda *_: preview)
    page = client.get("/step/palette", params={"tile": "waves", "wear": OWN}).text
    shown = page.split('id="part-wear"')[1]
    assert told.what in shown
    assert told.why in shown
    assert 'class="mark warn"' in shown
    assert 'for="compare-redress"' in shown
    assert 'type="range" id="compare-redress"' in shown


def test_a_slider_goes_from_before_to_after_and_what_is_typed_stays(
    tab: Any, served: Served, tmp_path: Path
) -> None:
    drop(tab, [tile_file(tmp_path / "art" / "waves.png")], 1)
    drawn(tab, served, "palette")
    tab.click("#wear-0")
    tab.wait_for_selector("#compare-redress")
    after = tab.locator(".as-after img").first

    def clip() -> str:
        return str(after.evaluate("image => getComputedStyle(image).clipPath"))

    tab.focus("#compare-redress")
    tab.keyboard.press("Home")
    until(lambda: clip() in {"inset(0px 0px 0px 0%)", "inset(0px)"})  # all of it after
    tab.keyboard.press("End")
    until(lambda: clip() == "inset(0px 0px 0px 100%)")
    assert tab.get_attribute("#compare-redress", "aria-valuetext") == "100 % before, 0 % after"
    tab.click("#as-text-fold > summary")
    typed = tab.input_value("#recipe-text") + "# not saved yet"
    tab.fill("#recipe-text", typed)
    tab.click("a.row[href^='/step/kit']")
    tab.wait_for_selector("#part-rows")
    until(lambda: tab.input_value("#recipe-text") == typed)
    assert tab.locator("#recipe-text").is_visible()
    tab.click("#save-text")
    until(lambda: "# not saved yet" in (served.folder / "kit.toml").read_text())
    until(lambda: tab.evaluate("sessionStorage.length") == 0)
