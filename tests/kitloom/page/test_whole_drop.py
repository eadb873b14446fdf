"""Which files of a drop come in, and what is said of the others."""

from __future__ import annotations

import io
import json
import zipfile

import pytest
from starlette.testclient import TestClient

from kit.writers import WRITERS
from kitloom.disk import SINGLE_FILES
from kitloom.page.edits import Incoming, pictures_in, recipe_among, sort_drop
from kitloom.page.state import Bench
from palette.errors import KitloomError

RECIPE = b"""[planner]
box = "40mm x 52mm"
[sheet]
paper = "A4"
[[patterns]]
file = "artwork/set/bees.png"
[[patterns]]
file = 'C:\\Art\\moths.png'
[[rows]]
sticker = "full box"
count = 1
"""
SHEETS = [f"sheet-1{one.suffix}" for one in WRITERS.values()]
WRITTEN = [*SHEETS, *SINGLE_FILES]


def come(names: list[str], recipe: bytes | None = None) -> tuple[list[str], list[str]]:
    """Return the names of what comes, and what is said."""
    found = sort_drop(names, recipe)
    return [names[i] for i in found.come], [one.line() for one in found.told]


def test_next_months_kit_opens_from_last_months_working_folder() -> None:
    """Else the maker looks for each tile by hand, and prints sheets as if they were artwork."""
    names = [
        "my-page/.kitloom/steps/000011.json",
        "my-page/artwork/bees.png",
        "my-page/artwork/set/Bees.PNG",
        "my-page/artwork/moths.png",
        "my-page/kit.toml",
        *(f"my-page/kit/{one}" for one in WRITTEN),
        "my-page/kit/how-to-print-and-cut.txt",
        "my-page/palettes/autumn.css",
    ]
    at = recipe_among(names)
    assert at is not None
    assert names[at] == "my-page/kit.toml"
    taken, told = come(names, RECIPE)
    assert taken == [names[2], names[3], names[-1]]
    assert len(told) == 1
    assert f"{len(WRITTEN) + 1} files that kitloom wrote" in told[0]
    assert "1 picture that the recipe does not name" in told[0]


def test_artwork_that_is_called_as_a_sheet_is_taken_where_the_recipe_names_it() -> None:
    recipe = RECIPE.replace(b"artwork/set/bees", b"sheet-1")
    assert come(["kit.toml", "sheet-1.png", "kit.pdf"], recipe)[0] == ["sheet-1.png"]


def test_a_written_set_without_its_recipe_leads_to_it() -> None:
    taken, told = come([f"march/{one}" for one in WRITTEN])
    assert taken == []
    assert len(told) == 2
    assert "Drop the recipe (mostly march.toml, beside that folder)" in told[0]
    assert all(len(one) <= 300 for one in told)


def test_a_makers_own_files_of_such_names_come() -> None:
    """Only what lies with a recipe or a lock is known to be kitloom's."""
    names = ["palette.json", "palette.css", "sheet-1.png"]
    assert come(names) == (names, [])
    assert come(["spring/inner/daisies.png", "spring/.DS_Store"]) == (
        ["spring/inner/daisies.png"],
        [],
    )


@pytest.mark.parametrize("names", [[], ["spring/.DS_Store", "__MACOSX/a.png"]])
def test_a_drop_that_holds_nothing_is_answered(names: list[str]) -> None:
    taken, told = come(names)
    assert taken == []
    assert "holds nothing to add" in told[0]


@pytest.mark.parametrize("recipe", [b"", b"[", b"\xff", b"rows = 3", bytes(3_000_000)])
def test_a_recipe_that_is_none_is_refused(recipe: bytes) -> None:
    with pytest.raises(KitloomError):
        sort_drop(["a/kit.toml", "a/b.png"], recipe)


def test_of_several_recipes_the_outermost_opens() -> None:
    names = ["a/b/kit.toml", "a/old.toml", "a/kit.toml", "a/.kitloom/beginning.toml"]
    assert recipe_among(names) == 2
    assert "2 other recipes" in come(names, RECIPE)[1][0]


def test_the_finished_archive_opens_its_recipe_and_no_sheet_becomes_a_tile() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name in (*WRITTEN, "set/bees.png"):
            archive.writestr(name, b"x")
        archive.writestr("kit.toml", RECIPE)
    found = list(pictures_in(out, "march.zip", "one", 0))
    files = [one for one in found if isinstance(one, Incoming)]
    assert [one.name for one in files] == ["kit.toml", "set/bees.png"]
    assert files[0].along == ("set/bees.png",)
    assert {one.drop for one in files} == {"one"}
    told = [one.line() for one in found if isinstance(one, KitloomError)]
    assert len(told) == 1
    assert f"{len(WRITTEN)} files that kitloom wrote" in told[0]


@pytest.mark.slow
def test_the_recipe_of_a_drop_opens_and_waits_for_its_own_artwork(
    client: TestClient, bench: Bench
) -> None:
    """Else last month's bees would be printed under the name of this month's."""
    bench.workspace.artwork.joinpath("bees.png").write_bytes(b"other bees")
    names = ["old/kit.toml", "old/artwork/set/bees.png", "old/kit/kit.lock.json", "old/x.png"]
    fields = {"names": json.dumps(names), "drop": "one"}
    assert client.post("/sorting", data=fields).json() == {"recipe": 0}
    sent = {"recipe": ("recipe.toml", RECIPE)}
    answer = client.post("/sorting", data=fields, files=sent).json()
    assert answer["come"] == [1]
    assert "1 file that kitloom wrote and 1 picture that the recipe" in answer["page"]
    recipe = bench.recipe()
    assert recipe is not None
    files = [part.file.as_posix() for part in recipe.patterns]
    assert files == ["artwork/set/bees.png", "artwork/moths.png"]
    assert bench.workspace.undoable()[0].drop == "one"


def test_names_that_are_no_list_are_refused(client: TestClient) -> None:
    for names in ("", "3", "[[", "null"):
        assert client.post("/sorting", data={"names": names}).status_code == 400, names
