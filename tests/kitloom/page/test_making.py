"""Long work in the background: it can be stopped, tells its faults, and its news reach tabs."""

from __future__ import annotations

import asyncio
import json
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event

import pytest
from starlette.testclient import TestClient

from kit.recipe import read_recipe
from kitloom.cache import KitCache, inputs_digest
from kitloom.jobs import Progress
from kitloom.page.edits import Incoming, begin_with_folder
from kitloom.page.state import Bench
from kitloom.page.state.bench import DrawnKit
from kitloom.page.state.signals import Signals
from kitloom.page.work import FileMaking
from kitloom.page.work import file_making as module

from .conftest import command_makes, draw, take_artwork, tile_file
from .waiting import HANGS_SECONDS, until

pytestmark = pytest.mark.slow


@pytest.fixture
def kit(bench: Bench, tmp_path: Path) -> Bench:
    content = tile_file(tmp_path / "art" / "waves.png").read_bytes()
    take_artwork(bench, Incoming("waves.png", content))
    return bench


def state(making: FileMaking) -> Progress:
    progress = making.progress
    assert progress is not None
    return progress


def wait(making: FileMaking) -> None:
    until(lambda: state(making).ended)


def test_a_stopped_run_leaves_what_was_there(kit: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    kit.workspace.made.mkdir()
    (kit.workspace.made / "sheet-1.pdf").write_bytes(b"old")
    under_way, go_on = Event(), Event()

    def slow(*_: object) -> dict[str, bytes]:
        under_way.set()
        assert go_on.wait(HANGS_SECONDS)
        return {"sheet-1.pdf": b"new"}

    monkeypatch.setattr(module, "kit_files", slow)
    making = FileMaking(kit)
    making.start()
    assert under_way.wait(HANGS_SECONDS)
    making.start()  # a second press changes nothing
    making.stop()
    go_on.set()
    wait(making)
    assert state(making).state == "stopped"
    assert (kit.workspace.made / "sheet-1.pdf").read_bytes() == b"old"


def test_the_page_makes_what_the_command_makes_byte_for_byte(kit: Bench, tmp_path: Path) -> None:
    making = FileMaking(kit)
    making.start()
    wait(making)
    assert state(making).error is None
    out = tmp_path / "by-command"
    by_command = command_makes(kit.workspace.recipe, out)
    assert {path.name: path.read_bytes() for path in making.files} == by_command
    recipe = read_recipe(kit.workspace.recipe)
    # the command knows the page's kit for its own, and makes nothing again
    assert KitCache(kit.workspace.made).summary(inputs_digest(recipe, None)) is not None


@pytest.mark.usefixtures("kit")
def test_pictures_for_a_shop_are_made_where_the_box_is_ticked(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = []

    def made(*_: object, listing: bool = False) -> dict[str, bytes]:
        asked.append(listing)
        return {"sheet-1.pdf": b"new", **({"listing-page.png": b"new"} if listing else {})}

    monkeypatch.setattr(module, "kit_files", made)
    for tick in ({}, {"listing": "yes"}):
        assert client.post("/making", data={"do": "start", **tick}).status_code == 303
        until(lambda: 'id="everything"' in client.get("/step/home").text)
    page = client.get("/step/home").text
    assert asked == [False, True]
    assert 'id="for-a-shop"' in page
    assert "--listing" in page  # the command that makes the same files
    assert re.search(r'id="listing"[^>]* checked', page)


def test_a_run_that_breaks_says_so_and_the_next_one_works(
    kit: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    making = FileMaking(kit)
    (kit.workspace.artwork / "waves.png").rename(kit.workspace.folder / "elsewhere.png")
    making.start()
    wait(making)
    assert state(making).state == "failed"
    assert state(making).error is not None
    assert "no such file" in str(state(making).error)
    (kit.workspace.folder / "elsewhere.png").rename(kit.workspace.artwork / "waves.png")
    monkeypatch.setattr(module, "kit_files", lambda *_: {"sheet-1.pdf": b"new"})
    making.start()
    wait(making)
    assert state(making).state == "done"
    assert [path.name for path in making.files] == ["sheet-1.pdf"]


def test_a_kit_that_does_not_fit_is_told_and_the_old_palette_stays(kit: Bench) -> None:
    draw(kit)
    job = kit.drawing.job
    kit.edit("too wide", lambda text: text.replace('"40mm x 52mm"', '"400mm x 52mm"'))
    draw(kit)
    assert isinstance(kit.drawing, DrawnKit)
    assert kit.drawing.fault is not None
    assert kit.drawing.job is job


def test_every_step_is_shown_whatever_state_the_kit_is_in(client: TestClient, kit: Bench) -> None:
    steps = ("artwork", "tiles", "palette", "print", "kit", "sheet", "home")

    def all_shown() -> None:
        for step in steps:
            assert client.get(f"/step/{step}").status_code == 200, step

    all_shown()  # nothing drawn yet
    draw(kit)
    all_shown()
    kit.edit("too wide", lambda text: text.replace('"40mm x 52mm"', '"400mm x 52mm"'))
    draw(kit)
    all_shown()
    (kit.workspace.artwork / "waves.png").unlink()
    all_shown()
    kit.workspace.recipe.write_text("[broken")
    all_shown()
    assert "cannot be read" in client.get("/step/kit").text
    kit.workspace.recipe.unlink()
    all_shown()


@pytest.mark.parametrize(
    "query", ["tile=nobody", "swap=%23nothing", "sticker=99999", "sticker=-1", "try=mend&tile=x"]
)
def test_what_is_gone_from_an_address_is_no_fault(
    client: TestClient, kit: Bench, query: str
) -> None:
    draw(kit)
    for step in ("tiles", "palette", "print", "sheet"):
        assert client.get(f"/step/{step}?{query}").status_code == 200


def test_a_folder_of_artwork_becomes_a_kit(bench: Bench) -> None:
    for i in range(3):
        tile_file(bench.workspace.folder / f"tile {i}.png", i)
    (bench.workspace.folder / "notes.png").write_text("no picture")
    refused = begin_with_folder(bench)
    recipe = bench.recipe()
    assert recipe is not None
    assert [part.label for part in recipe.patterns] == ["tile 0", "tile 1", "tile 2"]
    assert [error.where for error in refused] == ["notes"]


def test_news_cross_from_threads_and_old_ones_give_way() -> None:
    async def listen() -> list[str]:
        signals = Signals()
        stream = signals.stream()
        first = (await anext(stream)).decode()
        for _ in range(40):
            await asyncio.to_thread(signals.send, "drawn")
        later = [(await anext(stream)).decode() for _ in range(16)]
        await asyncio.to_thread(signals.end)  # else a tab that is open holds up the end
        assert [one async for one in stream] == []
        return [first, *later]

    with ThreadPoolExecutor(1) as pool:  # this thread may have a browser's loop already
        got = pool.submit(asyncio.run, listen()).result(HANGS_SECONDS)
    assert '"hello"' in got[0]
    assert json.loads(got[-1].removeprefix("data: "))["seen"] == 40  # the newest, none later


def test_a_fault_while_drawing_is_told_and_the_next_sheet_is_drawn(
    kit: Bench, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("by chance")

    with monkeypatch.context() as patch:
        patch.setattr(kit, "make", broken)
        kit.start()
        until_drawn(kit)
        assert kit.drawing.fault is not None
        assert "by chance" in kit.drawing.fault.line()
        assert "ZeroDivisionError" in capsys.readouterr().err
    kit.undo()
    kit.redo()
    until_drawn(kit)
    assert kit.drawing.fault is None
    assert kit.drawing.job is not None


def until_drawn(kit: Bench) -> None:
    until(lambda: kit.drawing.revision == kit.revision)
