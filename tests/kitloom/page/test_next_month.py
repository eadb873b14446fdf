"""Next month's kit out of last month's, and a recipe whose files are not all here."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from kit.recipe import with_patterns
from kitloom.page.state import Bench
from kitloom.sets.motifs import with_liftable_motifs

from .conftest import draw, tile_file
from .test_dropped import zipped

pytestmark = pytest.mark.slow

BACK = {"back": "/step/artwork"}


@pytest.fixture
def kit(client: TestClient, bench: Bench, tmp_path: Path) -> Bench:
    for i, name in enumerate(("apples", "bees", "clover")):
        content = tile_file(tmp_path / "old" / f"{name}.png", i).read_bytes()
        assert client.post("/upload", files={"files": (f"{name}.png", content)}).status_code == 303
    bench.edit("fills of its own", lambda text: f"{text}{ROW.format(name='clover')}")
    return bench


ALL_OVER = (
    '\n[[coordinates]]\nkind = "all-over"\nfrom = "bees"\nmotif = 2\n'
    'colours = ["#f4ecdc"]\nsize = "9mm"\n'
)
ROW = '\n[[rows]]\nsticker = "full box"\ncount = 2\nfill = ["{name}", "apples"]\n'


def exchange(client: TestClient, files: dict[str, bytes]) -> int:
    sent = [("files", (name, content)) for name, content in files.items()]
    return client.post("/upload", data={"instead": "yes"}, files=sent).status_code


def test_other_tiles_take_the_parts_of_last_months_as_the_command_gives_them(
    client: TestClient, kit: Bench, tmp_path: Path
) -> None:
    """A season's kits share one recipe: only the artwork may differ."""
    kit.edit("an all-over", lambda text: f"{text}{ALL_OVER}")
    before, old = kit.workspace.text(), kit.recipe()
    assert old is not None
    new = {f"{n}.png": tile_file(tmp_path / "new" / f"{n}.png", i + 4).read_bytes()
           for i, n in enumerate(("zinnia", "bees", "aster"))}  # fmt: skip
    assert exchange(client, new) == 303
    recipe = kit.recipe()
    assert recipe is not None
    folder = kit.workspace.artwork / "set"
    wanted, _ = with_patterns(old, [folder / n for n in ("aster.png", "bees.png", "zinnia.png")])
    assert [one.file.name for one in recipe.patterns] == [one.file.name for one in wanted.patterns]
    # each is called as its own file: "apples" beside asters would mislead
    own = {one.label: one.file.stem for one in wanted.patterns}
    assert [one.label for one in recipe.patterns] == list(own.values())
    assert recipe.rows[-1].fill == tuple(own[name] for name in wanted.rows[-1].fill)
    (part,) = recipe.coordinates  # the new bees are waves without motifs
    (shown,) = with_liftable_motifs(wanted).coordinates
    assert (part.source, part.motif) == (own[shown.source or ""], shown.motif) == ("aster", 1)
    assert (kit.workspace.artwork / "apples.png").is_file()  # last month's stay
    draw(kit)
    assert kit.drawing.fault is None
    kit.undo()
    assert kit.workspace.text() == before


def test_fewer_tiles_stand_for_all_names_and_more_join_the_kit(
    client: TestClient, kit: Bench, tmp_path: Path
) -> None:
    content = tile_file(tmp_path / "new" / "zinnia.png", 5).read_bytes()
    assert exchange(client, {"new.zip": zipped({"a/zinnia.png": content})}) == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert [one.label for one in recipe.patterns] == ["zinnia"]
    assert recipe.rows[-1].fill == ("zinnia", "zinnia")
    kit.undo()
    four = {
        f"{i}.png": tile_file(tmp_path / "four" / f"{i}.png", i + 4).read_bytes() for i in range(4)
    }
    assert exchange(client, four) == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert [one.label for one in recipe.patterns] == ["0", "1", "2", "3"]


def test_what_cannot_be_used_is_told_and_the_rest_is_exchanged(
    client: TestClient, kit: Bench, tmp_path: Path
) -> None:
    before = kit.workspace.text()
    assert exchange(client, {"a.png": b"no picture"}) == 422
    assert kit.workspace.text() == before
    assert not (kit.workspace.artwork / "set").exists()
    good = tile_file(tmp_path / "new" / "zinnia.png", 5).read_bytes()
    assert exchange(client, {"a.png": b"no picture", "zinnia.png": good}) == 422
    assert kit.workspace.undoable()[0].label == "other artwork: 1 tile"


def test_files_that_are_not_here_are_said_to_be_so_and_taken_out_at_once(
    client: TestClient, kit: Bench
) -> None:
    """Nothing may say that it measures a file that will never come."""
    for name in ("apples", "bees"):
        (kit.workspace.artwork / f"{name}.png").unlink()
    page = client.get("/step/artwork").text
    assert "2 files that this kit names are not here" in page
    for step in ("tiles", "print"):
        page = client.get(f"/step/{step}", params={"tile": "bees"}).text
        assert "bees.png</strong> is not here" in page
        assert "Measuring" not in page
    assert client.post("/edit/remove-missing", data=BACK).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert [one.label for one in recipe.patterns] == ["clover"]
    (kit.workspace.artwork / "clover.png").unlink()
    assert client.post("/edit/remove-missing", data=BACK).status_code == 422
