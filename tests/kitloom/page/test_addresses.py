"""Addresses of the page: written once, read back as they were meant, and kept by panels.

Written and read by RFC 3986 and HTML's application/x-www-form-urlencoded, which the standard
library reads here.
"""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from urllib.parse import parse_qsl, unquote, urlsplit

import pytest
from starlette.testclient import TestClient

from kitloom.page.addresses import file_address, picture_address, step_address
from kitloom.page.state import Bench

from .conftest import draw, tile_file

ROSE = 'Rosé & "salt" <50%> + #1'


@pytest.fixture
def kit(client: TestClient, bench: Bench, tmp_path: Path) -> Bench:
    for i, name in enumerate("ab"):
        path = tile_file(tmp_path / "art" / f"{name}.png", i)
        answer = client.post("/upload", files={"files": (path.name, path.read_bytes())})
        assert answer.status_code == 303
    named = f"name = '{ROSE}'\nfile = \"artwork/b.png\""
    bench.edit("named", lambda text: text.replace('file = "artwork/b.png"', named))
    draw(bench)
    return bench


def test_what_is_written_is_read_back() -> None:
    choices = {"tile": ROSE, "swap": "#c95c3c", "to": "", "wear": None, "sticker": 0}
    parts = urlsplit(step_address("palette", choices, "part-swap"))
    assert (parts.path, parts.fragment) == ("/step/palette", "part-swap")
    assert parse_qsl(parts.query) == [("tile", ROSE), ("swap", "#c95c3c"), ("sticker", "0")]
    assert step_address("kit") == "/step/kit"
    assert parse_qsl(urlsplit(picture_address("cell", {"tile": "a&of=b"})).query) == [
        ("tile", "a&of=b")
    ]
    assert unquote(urlsplit(file_address("a?b#c.svg", {"show": "yes"})).path) == "/file/a?b#c.svg"


def links(text: str) -> list[str]:
    """The addresses of all links, read as a browser reads them."""
    return [unescape(one) for one in re.findall(r'<a [^>]*href="([^"]*)"', text)]


def tile_within(text: str, part: str) -> tuple[str, list[str]]:
    """The tile that a panel shows as chosen, and where its other tiles lead."""
    panel = text.partition(f'id="{part}"')[2].partition('<div id="part-')[0]
    strip = panel.partition('<ul class="strip"')[2].partition("</ul>")[0]
    here = strip.partition('aria-current="true"')[2]
    chosen = re.search(r'class="name">([^<]*)<', here)
    assert chosen is not None
    return unescape(chosen[1]), links(strip)


def test_another_tile_chosen_in_a_panel_keeps_it_open(client: TestClient, kit: Bench) -> None:
    assert kit.drawing.fault is None
    page = client.get("/step/palette").text
    for part in ("part-swap", "part-wear"):
        opened = next(one for one in links(page) if one.endswith(f"#{part}"))
        chosen, others = tile_within(client.get(opened).text, part)
        assert chosen == "a"
        shown = client.get(next(one for one in others if "Ros" in one)).text
        assert tile_within(shown, part)[0] == ROSE
        asked = dict(parse_qsl(urlsplit(opened).query))
        for key in {"swap", "wear"} & set(asked):
            assert all(dict(parse_qsl(urlsplit(one).query))[key] == asked[key] for one in others)


def test_a_colour_tried_in_a_tile_stays_in_it(client: TestClient, kit: Bench) -> None:
    job = kit.drawing.job
    assert job is not None
    hex_ = next(s.hex for s in job.verdict.palette.swatches if s.sources.get(ROSE, 0) > 0.1)
    asked = {"swap": hex_, "tile": ROSE, "to": "#336699"}
    text = client.get("/step/palette", params=asked).text
    form = text.split("data-go>")[1].split("</form>")[0]
    assert f'name="tile" value="{ROSE}"' in unescape(form)
    _, others = tile_within(text, "part-swap")
    assert all("to=%23336699" in one for one in others)


def test_what_is_gone_is_said(client: TestClient, kit: Bench) -> None:
    assert kit.drawing.fault is None
    for step, choice, said in (
        ("tiles", {"tile": "gone"}, 'There is no tile "gone" any more.'),
        ("palette", {"swap": "#010203"}, "#010203 is not in the palette any more."),
        ("palette", {"wear": "old.css"}, 'There is no palette "old.css" any more.'),
        ("sheet", {"sticker": "400"}, "The sticker that you chose is not on the sheet any more."),
    ):
        assert said in unescape(client.get(f"/step/{step}", params=choice).text)
        assert "any more" not in client.get(f"/step/{step}").text


def test_a_refused_file_keeps_what_was_open(client: TestClient, kit: Bench) -> None:
    assert kit.drawing.fault is None
    back = step_address("palette", {"tile": ROSE, "wear": "the kit's own palette"})
    files = {"files": ("torn.css", b"no colours")}
    answer = client.post("/upload", data={"back": back}, files=files)
    assert answer.status_code == 422
    assert tile_within(answer.text, "part-wear")[0] == ROSE
    good = {"files": ("leaf.css", b":root { --leaf: #557a46; --bud: #d8a7b1; }")}
    to = client.post("/upload", data={"back": back}, files=good).headers["location"]
    assert dict(parse_qsl(urlsplit(to).query)) == {"tile": ROSE, "wear": "leaf.css"}


def test_a_tile_of_another_file_has_pictures_of_other_addresses(
    client: TestClient, kit: Bench
) -> None:
    def thumbs() -> list[str]:
        text = client.get("/step/tiles").text
        return [unescape(one) for one in re.findall(r'src="(/picture/thumb[^"]*)"', text)]

    before = thumbs()
    path = kit.workspace.artwork / "b.png"
    tile_file(kit.workspace.artwork / "b-mended.png", 3)
    kit.edit("mended", lambda text: text.replace(path.name, "b-mended.png"))
    draw(kit)
    after = thumbs()
    assert after[0] == before[0]
    assert after[1] != before[1], "a browser would go on showing the old tile"
