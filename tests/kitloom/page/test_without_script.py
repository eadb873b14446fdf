"""The page without its script: every form is an ordinary form, and the whole job can be done.

Forms are read out of the page with Python's own HTML reader and sent as a browser would send them.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from kit.recipe import parse_recipe
from kitloom.page.server.app import Handlers, page_app
from kitloom.page.server.safety import Door
from kitloom.page.state import Bench

from .conftest import ORIGIN, cropped_tile, draw, neon_tile, tile_file
from .waiting import until

pytestmark = pytest.mark.slow

ELSEWHERE = {"/upload", "/making", "/edit/undo", "/edit/redo"}  # sent in other tests
PLACES = (
    "artwork", "tiles", "tiles?tile=cropped&try=mend", "palette", "print",
    "print?tile=neon&try=repair", "kit", "kit?row=0", "sheet", "sheet?sticker=0", "home",
)  # fmt: skip


@dataclass
class Sent:
    """One form: where it goes, and what it sends if nothing is touched."""

    method: str
    action: str
    fields: dict[str, str] = field(default_factory=dict)
    files: list[str] = field(default_factory=list)
    buttons: int = 0


class Forms(HTMLParser):
    """Reads the forms of a page, by the rules of HTML's "constructing the form data set"."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[Sent] = []
        self._select = self._text = ""
        self.feed(text)

    def handle_data(self, data: str) -> None:
        if self._text:  # the line end after the tag is not a part of it
            self.found[-1].fields[self._text] += data.removeprefix("\n")

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self._text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = dict(attrs)
        if tag == "form":
            self.found.append(Sent(has.get("method") or "get", has.get("action") or ""))
        elif tag == "input" and self.found:
            self._input(has)
        elif tag == "button":
            self.found[-1].buttons += has.get("type") != "button"
        elif tag == "textarea":
            self._text = has.get("name") or ""
            self.found[-1].fields[self._text] = ""
        elif tag == "select":
            self._select = has.get("name") or ""
        elif tag == "option" and self._select and "value" in has:
            first = self._select not in self.found[-1].fields
            if first or "selected" in has:
                self.found[-1].fields[self._select] = has["value"] or ""

    def _input(self, has: dict[str, str | None]) -> None:
        name, kind, form = has.get("name"), has.get("type") or "text", self.found[-1]
        if kind == "image":
            form.buttons += 1
            form.fields |= {f"{name}.x": "5", f"{name}.y": "5"}
        elif kind == "file" and name:
            form.files.append(name)
        elif (
            name
            and "disabled" not in has
            and (kind not in {"radio", "checkbox"} or "checked" in has)
        ):
            form.fields[name] = has.get("value") or ""


@pytest.fixture
def kit(client: TestClient, bench: Bench, tmp_path: Path) -> Bench:
    paths = [tile_file(tmp_path / "art" / f"{name}.png", i) for i, name in enumerate("ab")]
    paths += [cropped_tile(tmp_path / "cropped.png"), neon_tile(tmp_path / "neon.png")]
    for path in paths:
        answer = client.post("/upload", files={"files": (path.name, path.read_bytes())})
        assert answer.status_code == 303
    draw(bench)
    return bench


def shown(client: TestClient, place: str) -> str:
    """A step's page, once what it has begun to try is made."""
    until(lambda: '<meta http-equiv="refresh"' not in client.get(f"/step/{place}").text)
    return client.get(f"/step/{place}").text


@pytest.mark.slow
def test_every_form_can_be_sent_by_its_own_button(client: TestClient, kit: Bench) -> None:
    first, sent = kit.workspace.text(), set()
    done: set[str] = set()
    swap = re.search(r"swap=%23\w{6}", shown(client, "palette"))
    assert swap is not None
    for place in (*PLACES, f"palette?{swap.group()}&tile=a&to=%23336699"):
        for form in Forms(shown(client, place)).found:
            assert form.buttons == 1, (place, form)
            if form.method == "get" or form.action in ELSEWHERE:
                continue
            assert "back" in form.fields, (place, form)
            if str(form) in done:
                continue
            done.add(str(form))
            answer = client.post(form.action, data=form.fields)
            assert answer.status_code in {303, 422}, (place, form, answer.text)
            if answer.status_code == 422:
                assert 'class="said stop"' in answer.text, (place, form)
            sent.add(form.action)
            parse_recipe(kit.workspace.text(), kit.workspace.recipe)
            while kit.workspace.text() != first:  # each form is tried on the same kit
                assert client.post("/edit/undo", data={"back": "/step/kit"}).status_code == 303
    assert {
        "/edit/row",
        "/edit/box",
        "/edit/swap",
        "/edit/use-recoloured",
        "/edit/use-mended",
    } <= sent


def test_a_kit_is_made_with_forms_alone(client: TestClient, kit: Bench) -> None:
    assert kit.drawing.fault is None
    home = Forms(shown(client, "home")).found
    make = next(form for form in home if form.action == "/making")
    assert client.post(make.action, data=make.fields).status_code == 303
    page = shown(client, "home")
    assert "/file/sheet-1.pdf" in page
    assert client.get("/file/sheet-1.pdf").content.startswith(b"%PDF")


def test_artwork_recoloured_shows_before_and_after_and_can_be_undone(
    client: TestClient, kit: Bench
) -> None:
    job = kit.drawing.job
    assert job is not None
    old = next(s.hex for s in job.verdict.palette.swatches if s.sources.get("a", 0) > 0.1)
    where = {"swap": old, "tile": "a", "to": "#336699"}
    until(lambda: "Recolouring" not in client.get("/step/palette", params=where).text)
    assert "before" in client.get("/step/palette", params=where).text
    asked = {"tile": "a", "colour": old, "to": "#336699"}
    after = client.get("/picture/tried-recolour", params=asked)
    before = client.get("/picture/two-by-two", params={"tile": "a"})
    shift = np.abs(
        np.asarray(Image.open(io.BytesIO(after.content)), int)
        - np.asarray(Image.open(io.BytesIO(before.content)), int)
    )
    assert shift.max() > 60
    assert np.median(shift) < 12  # the rest of it stays
    whole = kit.workspace.text()
    form = {"colour": old, "to": "#336699", "back": "/step/palette"}
    assert client.post("/edit/use-recoloured", data=form).status_code == 303
    assert 'file = "artwork/a-recoloured.png"' in kit.workspace.text()
    assert client.post("/edit/undo", data={}).status_code == 303
    assert kit.workspace.text() == whole


def test_a_tile_of_one_bare_colour_goes_the_whole_way(
    client: TestClient, bench: Bench, tmp_path: Path
) -> None:
    bare = tmp_path / "bare.png"
    Image.new("RGB", (90, 60), (200, 120, 90)).save(bare)
    answer = client.post("/upload", files={"files": ("bare.png", bare.read_bytes())})
    assert answer.status_code == 303
    draw(bench)
    assert bench.drawing.fault is None
    for place in (
        "artwork",
        "tiles",
        "palette",
        "print",
        "kit",
        "sheet",
        "sheet?sticker=0",
        "home",
    ):
        assert client.get(f"/step/{place}").status_code == 200, place
    for kind in ("thumb", "two-by-two", "seam", "whole", "cell", "printed"):
        assert client.get(f"/picture/{kind}", params={"tile": "bare"}).status_code == 200, kind


def test_a_closed_browser_and_another_start_find_all_again(
    client: TestClient, kit: Bench, door: Door
) -> None:
    del client
    again = Bench(type(kit.workspace)(kit.workspace.folder), kit.runner)
    with TestClient(page_app(Handlers(again), door), base_url=ORIGIN) as other:
        other.get("/enter", params={"key": door.key})
        page = other.get("/step/artwork").text
    assert page.count('class="card"') == 4
    assert "Undo: added neon" in page
