"""Many kits of one recipe: a maker with a season of sets makes them all in one go."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from kit.recipe import parse_recipe
from kitloom.disk import own_files
from kitloom.sets.asked import Changes
from kitloom.sets.motifs import with_liftable_motifs
from kitloom.sets.one_set import SetRequest, make_set
from tests.conftest import dot_tile
from tests.kitloom.inside import called

RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "4in x 6in"
dpi = 100
gap = "3mm"
bleed = "1.1mm"
[palette]
colours = 3
[[patterns]]
file = "dots.png"
repeat = "20mm"
[[rows]]
sticker = "full box"
count = 2
fill = "patterns"
"""


def make(*words: object) -> tuple[int, str, str]:
    done = called("make", *words)
    return done.returncode, done.stdout, done.stderr


@pytest.fixture
def sets(tmp_path: Path) -> Path:
    """Lay a recipe and two sets; return the folder of the sets."""
    (tmp_path / "kit.toml").write_text(RECIPE)
    Image.fromarray(dot_tile(120)).save(tmp_path / "dots.png")
    for name, order in (("autumn", (2, 1, 0)), ("sea & sand", (1, 2, 0))):
        folder = tmp_path / "sets" / name
        folder.mkdir(parents=True)
        Image.fromarray(np.ascontiguousarray(dot_tile(120)[:, :, order])).save(folder / "a.png")
    return tmp_path / "sets"


def test_a_set_whose_tile_has_no_motifs_shows_those_of_another(tmp_path: Path) -> None:
    """A set would have no kit because a stripe took the name of last month's flowers."""
    Image.new("RGB", (300, 300), "#f4ecdc").save(tmp_path / "flowers.png")
    tile = Image.new("RGB", (300, 300), "#f4ecdc")
    ImageDraw.Draw(tile).ellipse((100, 100, 200, 200), fill="#3b5b7a")
    tile.save(tmp_path / "discs.png")
    drawn = (
        '[[patterns]]\nfile = "flowers.png"\n[[patterns]]\nfile = "discs.png"\n[[coordinates]]\n'
        'kind = "all-over"\nfrom = "flowers"\nmotif = 3\ncolours = ["#fff"]\nsize = "9mm"\n'
    )
    text = RECIPE.replace('[[patterns]]\nfile = "dots.png"\nrepeat = "20mm"\n', drawn)
    recipe = parse_recipe(text, tmp_path / "kit.toml")
    (part,) = with_liftable_motifs(recipe).coordinates
    assert (part.source, part.motif) == ("discs", 1)
    tile.save(tmp_path / "flowers.png")  # it has motifs, if not a third
    (part,) = with_liftable_motifs(recipe).coordinates
    assert (part.source, part.motif) == ("flowers", 1)


def standing(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_set_is_made_once_and_a_broken_one_is_told_in_a_line(sets: Path) -> None:
    def asked(name: str) -> SetRequest:
        changes = Changes(sets / name, None, None, None, None)
        return SetRequest(
            name, sets.parent / "kit.toml", changes, sets.parent / name, overwrite=False
        )

    (sets / "broken").mkdir()
    (sets / "broken" / "a.png").write_bytes(b"no picture")
    broken = make_set(asked("broken"))
    assert broken.error
    assert "\n" not in broken.error
    assert not broken.folder.exists()
    first, again = make_set(asked("autumn")), make_set(asked("autumn"))
    assert (first.error, first.unchanged, again.unchanged) == ("", False, True)
    assert first.files == again.files == tuple(again.folder / path.name for path in first.files)


@pytest.mark.slow
def test_one_failing_set_stops_no_other_and_a_second_run_goes_on(sets: Path) -> None:
    recipe, out = sets.parent / "kit.toml", sets.parent / "kits"
    (sets / "broken").mkdir()
    (sets / "broken" / "a.png").write_bytes(b"no picture")
    artwork = standing(sets)
    status, told, _ = make(recipe, "--each", sets, "--out", out, "--workers", 1, "--json")
    answer = json.loads(told)
    kits = {one["set"]: one for one in answer["kits"]}
    assert (status, answer["ok"]) == (1, False)  # as a list of tiles with an unreadable one
    assert list(kits) == ["autumn", "broken", "sea & sand"]
    assert kits["broken"]["error"]
    assert "\n" not in kits["broken"]["error"]
    assert not (out / "broken").exists()
    assert standing(sets) == artwork
    page = (out / "index.html").read_text()
    assert "sea%20%26%20sand/sheet-1.png" in page
    for name in ("autumn", "sea & sand"):
        assert [str(p) for p in own_files(out / name)] == sorted(kits[name]["files"])

    made = standing(out / "autumn")
    Image.fromarray(dot_tile(120)).save(sets / "broken" / "a.png")
    status, told, _ = make(recipe, "--each", sets, "--out", out, "--workers", 1)
    assert status == 0
    lines = sorted(told.splitlines()[:3])
    assert [line.split()[0] for line in lines] == ["made", "unchanged", "unchanged"]
    assert standing(out / "autumn") == made


@pytest.mark.slow
def test_each_kit_is_the_one_that_patterns_makes(sets: Path) -> None:
    recipe, out, alone = sets.parent / "kit.toml", sets.parent / "kits", sets.parent / "alone"
    assert make(recipe, "--each", sets, "--out", out)[0] == 0
    assert make(recipe, "--patterns", sets / "autumn", "--out", alone)[0] == 0
    assert standing(out / "autumn") == standing(alone)


@pytest.mark.slow
def test_a_set_that_changed_is_made_again_only_where_that_is_asked_for(sets: Path) -> None:
    words = (sets.parent / "kit.toml", "--each", sets, "--out", sets.parent / "kits")
    assert make(*words)[0] == 0
    before = standing(sets.parent / "kits" / "autumn")
    Image.fromarray(dot_tile(120)).save(sets / "autumn" / "a.png")
    status, told, _ = make(*words)
    assert status == 1
    assert "already holds files" in told
    assert standing(sets.parent / "kits" / "autumn") == before
    assert make(*words, "--overwrite")[0] == 0
    assert standing(sets.parent / "kits" / "autumn") != before


@pytest.mark.parametrize("place", ["the sets", "in the sets", "another set", "a page"])
def test_nothing_that_a_run_reads_is_replaced(sets: Path, place: str) -> None:
    out = {"the sets": sets, "in the sets": sets / "kits"}.get(place, sets.parent / "kits")
    if place == "another set":  # the kit of one set would lie where the other's artwork is
        out.mkdir()
        (out / "autumn").symlink_to(sets / "sea & sand")
    if place == "a page":
        out.mkdir()
        (out / "index.html").write_text("<p>my own page</p>")
    before = standing(sets.parent)
    status, told, line = make(sets.parent / "kit.toml", "--each", sets, "--out", out)
    assert (status, told) == (2, "")
    assert len(line.splitlines()) == 1
    assert standing(sets.parent) == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--each", "none"), "no such folder"),
        (("--each", "."), "holds no folders"),
        (("--each", ".", "--patterns", "."), "--patterns does not go with --each"),
        (("--workers", "2"), "--workers is for many kits"),
    ],
)
def test_a_call_that_cannot_be_told_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "kit.toml").write_text(RECIPE)
    status, told, line = make("kit.toml", *words)
    assert (status, told) == (2, "")
    assert len(line.splitlines()) == 1
    assert said in line
