"""Planner and paper come first, and what is a maker's own is saved by name for the next kit."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, save_piece, saved_in, saved_names, with_saved

from .conftest import tile_file

BACK = {"back": "/step/artwork"}


@pytest.fixture(autouse=True)
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def drop_tile(client: TestClient, tmp_path: Path, seed: int = 1) -> None:
    content = tile_file(tmp_path / f"{seed}.png", seed).read_bytes()
    assert client.post("/upload", files={"files": (f"{seed}.png", content)}).status_code == 303


def edit(client: TestClient, what: str, /, **fields: str) -> int:
    return client.post(f"/edit/{what}", data={**BACK, **fields}).status_code


def test_box_and_paper_are_asked_before_there_is_artwork(
    client: TestClient, bench: Bench, tmp_path: Path
) -> None:
    """All sizes are judged against them: asked last, a maker sets every size twice."""
    page = client.get("/step/artwork").text
    assert page.index('id="box-wide"') < page.index('id="drop"')
    assert edit(client, "box", **{"box-wide": "44 x 46 mm", "box-high": ""}) == 303
    assert edit(client, "paper", paper="A4") == 303
    page = client.get("/step/artwork").text
    assert 'value="44 mm"' in page
    assert "<option selected>A4</option>" in page
    drop_tile(client, tmp_path)
    recipe = bench.recipe()
    assert recipe is not None
    assert recipe.planner.box == (44.0, 46.0)
    assert recipe.sheet.paper.name == "A4"
    bench.undo()
    assert 'value="44 mm"' in client.get("/step/artwork").text


def test_a_box_that_no_planner_has_is_refused_before_artwork_too(client: TestClient) -> None:
    answer = client.post("/edit/box", data={**BACK, "box-wide": "wide", "box-high": "48"})
    assert answer.status_code == 422
    assert 'id="box-wide-fault"' in answer.text


def test_what_is_saved_is_a_plain_file_and_offered_in_the_next_kit(
    client: TestClient, bench: Bench, tmp_path: Path
) -> None:
    drop_tile(client, tmp_path)
    edit(client, "box", **{"box-wide": "1,75 inch", "box-high": "46"})
    edit(client, "margin", value="7", key="margin")
    for sort, name in (("planner", "Weekly, tall"), ("machine", "Desk cutter")):
        assert edit(client, "save", sort=sort, name=name) == 303
    file = saved_in("planner") / "Weekly- tall.toml"
    assert tomllib.loads(file.read_text("utf-8")) == {"planner": {"box": "1.75in x 46mm"}}
    edit(client, "box", **{"box-wide": "40", "box-high": "52"})
    edit(client, "margin", value="10", key="margin")
    page = client.get("/step/artwork").text
    assert "<option>Weekly- tall</option>" in page
    assert edit(client, "take-saved", sort="planner", name="Weekly- tall") == 303
    assert edit(client, "take-saved", sort="machine", name="Desk cutter") == 303
    recipe = bench.recipe()
    assert recipe is not None
    assert recipe.planner.box == pytest.approx((44.45, 46.0))
    assert recipe.sheet.margin.top == 7.0
    assert bench.workspace.undoable()[0].label == "your printer and cutter Desk cutter"


def test_a_saved_name_is_never_replaced(client: TestClient, bench: Bench, tmp_path: Path) -> None:
    drop_tile(client, tmp_path)
    assert edit(client, "save", sort="planner", name="Mine") == 303
    before = (saved_in("planner") / "Mine.toml").read_bytes()
    assert edit(client, "save", sort="planner", name="Mine") == 303  # the same again
    edit(client, "box", **{"box-wide": "36", "box-high": "48"})
    answer = client.post("/edit/save", data={**BACK, "sort": "planner", "name": "mine"})
    assert answer.status_code == 422
    assert 'id="save-planner-fault"' in answer.text
    assert (saved_in("planner") / "Mine.toml").read_bytes() == before
    assert edit(client, "save", sort="planner", name="Dr. Winter") == 303
    assert saved_names("planner") == ["Dr- Winter", "Mine"]
    assert edit(client, "save", sort="planner", name=" ") == 422
    assert edit(client, "save", sort="press", name="x") == 422
    assert bench.recipe() is not None


@pytest.mark.parametrize(
    "text", ["[planner", '[planner]\nbox = "wide"\n', '[kit]\nname = "x"\n', "planner = 3\n", "\0"]
)
def test_a_saved_file_that_was_spoilt_by_hand_changes_nothing(
    client: TestClient, bench: Bench, tmp_path: Path, text: str
) -> None:
    drop_tile(client, tmp_path)
    folder = saved_in("planner")
    folder.mkdir(parents=True)
    (folder / "spoilt.toml").write_text(text)
    before = bench.workspace.text()
    assert edit(client, "take-saved", sort="planner", name="spoilt") == 422
    assert edit(client, "take-saved", sort="planner", name="../spoilt") == 422
    assert bench.workspace.text() == before
    assert client.get("/step/kit").status_code == 200


def test_a_profile_is_found_from_any_kits_folder(tmp_path: Path) -> None:
    text = '[press]\nprofile = "profiles/own.icc"\n'
    save_piece("machine", "desk", text, tmp_path / "first kit")
    assert saved_names("machine") == ["desk"]
    taken = tomllib.loads(with_saved("machine", "desk", '[press]\nsurface = "matt"\n'))
    wanted = (tmp_path / "first kit" / "profiles" / "own.icc").resolve()
    assert taken == {"press": {"profile": wanted.as_posix()}}
    with pytest.raises(PageError, match="no saved"):
        with_saved("machine", "another", text)


def test_what_was_saved_is_shown_as_this_kits_own_by_its_whole_name(
    client: TestClient, bench: Bench
) -> None:
    """A maker who saved "Diary / 2027" looked for it under "2027", and saw none chosen."""
    edit(client, "box", **{"box-wide": "38 x 48 mm", "box-high": ""})
    assert edit(client, "save", sort="planner", name="Diary / 2027") == 303
    page = client.get("/step/artwork").text
    assert "<option selected>Diary - 2027</option>" in page
    assert 'value="Diary - 2027"' in page
    edit(client, "box", **{"box-wide": "40 x 52 mm", "box-high": ""})
    assert "<option>Diary - 2027</option>" in client.get("/step/artwork").text
    assert bench.recipe() is None
