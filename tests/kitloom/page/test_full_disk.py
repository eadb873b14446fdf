"""The page on a disk that fills: what was there stays, and the answer says why in one line."""

from __future__ import annotations

import html
import os
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from kit.recipe import parse_recipe
from kitloom.page.server.safety import Door
from kitloom.page.state import Bench
from kitloom.page.state.workspace import Workspace

from .conftest import Here, draw, entered, tile_file
from .waiting import HANGS_SECONDS, until

pytestmark = pytest.mark.slow
Content = dict[str, bytes]


@pytest.fixture
def disk(small_disk: Callable[[int], Path]) -> Path:
    return small_disk(30_000)


@pytest.fixture
def bench(disk: Path) -> Iterator[Bench]:
    made = Bench(Workspace(disk / "work"), Here())
    yield made
    assert made.close(HANGS_SECONDS)


@pytest.fixture
def client(bench: Bench, door: Door, tmp_path: Path) -> Iterator[TestClient]:
    """A client in whose folder a kit of one tile stands, drawn."""
    with entered(bench, door) as made:
        assert dropped(made, tile_file(tmp_path / "first.png", 1, 300)) == ""
        draw(bench)
        yield made


def fill(disk: Path, spare: int) -> Path:
    """Take all room of the disk but some bytes; return what has to go to have it back."""
    filler, room = disk / "filler", os.statvfs(disk)
    filler.write_bytes(bytes(max(0, room.f_bavail * room.f_frsize - spare)))
    return filler


def content_of(folder: Path) -> Content:
    """Return the content of all files below a folder but what undo remembers of its place."""
    files = (path for path in sorted(folder.rglob("*")) if path.is_file() and path.name != "at")
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


def refusal(text: str) -> str:
    """Return the one line in which a step refuses; empty where it does not."""
    stops = re.findall(r'<p class="said stop">(.*?)</p>', text, re.DOTALL)
    lines = [" ".join(html.unescape(re.sub(r"<[^>]+>", " ", stop)).split()) for stop in stops]
    return " | ".join(lines)


def dropped(client: TestClient, path: Path) -> str:
    answer = client.post("/upload", files={"files": (path.name, path.read_bytes())})
    assert answer.status_code in {303, 422}
    return refusal(answer.text)


def named(client: TestClient, name: str) -> str:
    answer = client.post("/edit/name", data={"name": name, "back": "/step/kit"})
    assert answer.status_code in {303, 422}
    return refusal(answer.text)


def made(client: TestClient) -> str:
    """Have the kit's files made; return the refusal that the last step shows in the end."""
    assert client.post("/making").status_code == 303

    def ended() -> bool:
        return '<meta http-equiv="refresh"' not in client.get("/step/home").text

    until(ended)
    return refusal(client.get("/step/home").text)


@pytest.mark.parametrize("spare", [0, 4_096, 12_288, 40_000, 400_000])
def test_what_finds_no_room_changes_nothing(
    spare: int, disk: Path, bench: Bench, client: TestClient, tmp_path: Path
) -> None:
    """The tile, the edit or the kit is there whole, or the folder is what it was."""
    second = tile_file(tmp_path / "second.png", 2, 300)
    filler = fill(disk, spare)
    for attempt, places in (
        (lambda: dropped(client, second), ("second", "kit.toml")),
        (lambda: named(client, "Another name"), ("kit.toml",)),
        (lambda: made(client), (f"{bench.workspace.made}:",)),
    ):
        before = content_of(bench.workspace.folder)
        line = attempt()
        after = content_of(bench.workspace.folder)
        if line:
            assert "cannot be written (the disk is full)" in line
            assert any(place in line for place in places)
            assert ".kitloom" not in line  # no place that a maker knows
            assert after == before
        else:
            assert after != before
        parse_recipe(bench.workspace.text(), bench.workspace.recipe)
        assert Workspace(bench.workspace.folder).text() == bench.workspace.text()
    filler.unlink()
    assert dropped(client, second) == ""
    assert named(client, "A third name") == ""
    draw(bench)
    assert made(client) == ""
    assert (bench.workspace.made / "kit.lock.json").is_file()


def test_a_set_that_was_there_stays(disk: Path, bench: Bench, client: TestClient) -> None:
    """Files made yesterday are whole when there is no room for today's."""
    assert made(client) == ""
    before = content_of(bench.workspace.made)
    assert named(client, "Another name") == ""
    draw(bench)
    filler = fill(disk, 40_000)
    assert "the disk is full" in made(client)
    assert content_of(bench.workspace.made) == before
    filler.unlink()
    assert made(client) == ""
    assert content_of(bench.workspace.made) != before


def test_a_large_file_finds_no_room_on_its_way(
    small_disk: Callable[[int], Path], client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A picture of over 1 MB waits in the system's temporary folder while it comes."""
    small = small_disk(200)
    monkeypatch.setattr("tempfile.tempdir", str(small))
    answer = client.post("/upload", files={"files": ("large.png", bytes(3_000_000))})
    assert answer.status_code == 422
    assert "the disk is full" in refusal(answer.text)
    assert list(small.iterdir()) == []
