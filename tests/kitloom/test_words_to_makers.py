"""What the command says where a maker might stop: one colour, half-drops, many notes, errors."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from kit.recipe import check_files, parse_recipe, read_recipe
from kit.recipe_error import RecipeError
from kit.stickers import slots_of
from kitloom.cli import kitloom
from kitloom.disk import artwork_files, check_free
from kitloom.disk.writing import OutputError
from kitloom.findings.codes import finding
from kitloom.findings.printing import weak_black_findings
from kitloom.present import console, show_findings
from kitloom.report.pictures import fair
from palette.errors import KitloomError
from palette.near_files import file_meant
from palette.press import open_press

SAMPLES = Path(__file__).parents[2] / "samples" / "allotment"
RECIPE = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A4"
[[patterns]]
file = "{file}"
[[rows]]
sticker = "full box"
count = {count}
fill = "{fill}"
"""


def run(*words: object) -> Result:
    return CliRunner().invoke(kitloom, [str(word) for word in words], standalone_mode=False)


def findings_of(result: Result) -> list[dict]:
    assert result.exception is None, result.exception
    return json.loads(result.stdout)["findings"]


def recipe(tmp_path: Path, *, file: str = "a.png", count: int = 4, fill: str = "patterns") -> Path:
    path = tmp_path / "kit.toml"
    path.write_text(RECIPE.format(file=file, count=count, fill=fill))
    return path


@pytest.mark.parametrize("size", [1, 2, 90])
def test_a_tile_of_one_colour_is_a_note(tmp_path: Path, size: int) -> None:
    Image.new("RGB", (size, size), "#8fb0a0").save(tmp_path / "flat.png")
    found = findings_of(run("check", tmp_path / "flat.png", "--json"))
    assert [one["code"] for one in found] == ["one-colour"]
    assert "#8fb0a0" in found[0]["what"]


def test_a_tile_of_two_colours_is_not(tmp_path: Path) -> None:
    pixels = np.full((64, 64, 3), 200, np.uint8)
    pixels[20:40, 20:40] = 40
    Image.fromarray(pixels).save(tmp_path / "two.png")
    found = findings_of(run("check", tmp_path / "two.png", "--json"))
    assert "one-colour" not in {one["code"] for one in found}


def test_a_half_drop_is_told_and_a_seam_in_every_lattice_is_not() -> None:
    trellis = SAMPLES / "tiles" / "artichoke-trellis.png"
    remedy = findings_of(run("check", trellis, "--json"))[0]["remedy"]
    assert 'lattice = "half-drop"' in remedy
    assert not [
        one
        for one in findings_of(run("check", trellis, "--lattice", "half-drop", "--json"))
        if one["code"] == "seam"
    ]
    cut = findings_of(run("check", SAMPLES / "faulty" / "cut-motif.png", "--json"))[0]
    assert "lattice" not in cut["remedy"]
    assert "kitloom mend" in cut["remedy"]


def test_the_remedy_for_a_line_that_stands_twice_names_the_command_that_takes_it_off() -> None:
    found = findings_of(run("check", SAMPLES / "faulty" / "doubled-row.png", "--json"))
    (seam,) = [one for one in found if one["code"] == "seam"]
    assert "Crop the tile by that one line" in seam["remedy"]
    assert "kitloom mend takes it off" in seam["remedy"]


def test_a_missing_file_is_told_with_its_line(tmp_path: Path) -> None:
    wanted = read_recipe(recipe(tmp_path, file="none.png"))
    with pytest.raises(RecipeError) as caught:
        check_files(wanted)
    assert caught.value.where.endswith("kit.toml, line 6")


def test_an_unknown_fill_is_told_with_its_line(tmp_path: Path) -> None:
    with pytest.raises(RecipeError) as caught:
        slots_of(read_recipe(recipe(tmp_path, fill="petunias")))
    assert caught.value.where.endswith("kit.toml, line 10")


def test_a_recipe_that_is_no_file_still_has_its_errors() -> None:
    text = RECIPE.format(file="a.png", count=2, fill="petunias")
    with pytest.raises(RecipeError, match="petunias"):
        slots_of(parse_recipe(text, Path("nowhere/kit.toml")))


def test_a_folder_is_no_recipe(tmp_path: Path) -> None:
    with pytest.raises(RecipeError, match="folder"):
        read_recipe(tmp_path)


def test_too_many_stickers_are_counted(tmp_path: Path) -> None:
    path = recipe(tmp_path, count=1900)
    path.write_text(path.read_text() + '[[rows]]\nsticker = "dot"\ncount = 1200\n')
    with pytest.raises(RecipeError, match="3100 stickers"):
        read_recipe(path)


def test_notes_of_one_kind_are_not_a_flood(capsys: pytest.CaptureFixture[str]) -> None:
    notes = [
        finding("sight", f"pair {i}", what="They differ.", why="", remedy="") for i in range(9)
    ]
    show_findings(console(), notes)
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 1
    assert "9 pairs of colours alike to some eyes: pair 0," in lines[0]
    assert "and 3 more" in lines[0]


def test_pictures_of_a_large_report_share_their_pixels() -> None:
    """However many there are, together they have no more pixels than the few of full size."""
    assert fair(1240, 3, 4) == 1240
    for count in (5, 49, 120):
        assert count * fair(1240, count, 4) ** 2 <= 1.02 * 4 * 1240**2


def test_the_draft_names_every_kind_and_where_keys_are(tmp_path: Path) -> None:
    Image.new("RGB", (90, 90), "#8fb0a0").save(tmp_path / "flat.png")
    assert run("draft", tmp_path, "--out", tmp_path / "kit.toml").exception is None
    text = (tmp_path / "kit.toml").read_text()
    assert "docs/recipe.md" in text
    assert "stitched box" in text
    assert "docs/recipe.md" in run("make", "--help").stdout


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('sticker = "full box"', 'sticker = "fullbox"', 'Did you mean "full box"?'),
        ('sticker = "full box"', 'sticker = "chek list"', 'Did you mean "checklist"?'),
        ('paper = "A4"', 'paper = "Leter"', 'Did you mean "Letter"?'),
        ('gap = "3mm"', "gap = 3mm", 'gap = "3mm"'),
        ('paper = "A4"', "paper = A4 # mine", 'paper = "A4"'),
        ('gap = "3mm"', 'gap = "3mm', "quotation mark is missing"),
        ('gap = "3mm"', 'gpa = "3mm"', 'Did you mean "gap"?'),
        ("count = 1", "cuont = 1", 'Did you mean "count"?'),
        ('file = "a.png"', 'file = "C:\\Users\\a.png"', 'file = "C:/Users/a.png"'),
        ('file = "a.png"', 'file = "C:\\tiles\\"', 'file = "C:/tiles/"'),
        ('paper = "A4"', "paper = “A4”", 'paper = "A4"'),
        ("[[rows]]", "[rows]", "[[rows]]"),
    ],
)
def test_a_slip_in_a_recipe_is_answered_with_what_was_meant(old: str, new: str, said: str) -> None:
    text = (
        '[planner]\nbox = "4cm x 5cm"\n[sheet]\npaper = "A4"\ngap = "3mm"\n'
        '[[patterns]]\nfile = "a.png"\n'
        '[[rows]]\nsticker = "full box"\ncount = 1\nfill = "#123456"\n'
    )
    parse_recipe(text, Path("kit.toml"))
    with pytest.raises(RecipeError) as caught:
        parse_recipe(text.replace(old, new), Path("kit.toml"))
    line = text.splitlines().index(old) + 1
    assert caught.value.where == f"kit.toml, line {line}"
    assert said in caught.value.remedy
    assert not caught.value.remedy.endswith("?.")
    assert not caught.value.also  # one slip, one message


@pytest.mark.parametrize(
    ("named", "said"),
    [
        ("tiel.png", 'Did you mean "tile.png"?'),
        ("Tile.PNG2", 'Did you mean "tile.png"?'),
        ("own", "Name one file in it"),
        ("C:\\tile.png", "in place of each backslash"),  # \t is a tab
    ],
)
def test_a_file_that_is_not_there_is_answered_with_the_one_meant(
    tmp_path: Path, named: str, said: str
) -> None:
    """A tab, which a backslash and a t make, cannot be seen."""
    Image.new("RGB", (9, 9)).save(tmp_path / "tile.png")
    (tmp_path / "own").mkdir()
    text = (
        f'[planner]\nbox = "4cm x 5cm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "{named}"\n'
        '[[rows]]\nsticker = "full box"\ncount = 1\nfill = "#123456"\n'
    )
    (tmp_path / "kit.toml").write_text(text)
    with pytest.raises(KitloomError) as caught:
        check_files(read_recipe(tmp_path / "kit.toml"))
    assert said in caught.value.remedy
    assert caught.value.where.endswith("line 6")


def test_a_name_that_is_nearly_one_in_its_folder_is_offered(tmp_path: Path) -> None:
    Image.new("RGB", (9, 9)).save(tmp_path / "tile.png")
    assert 'ends with a blank: write "tile.png"' in file_meant(tmp_path / "tile.png ")
    assert file_meant(tmp_path / "autumn.png") == ""
    with pytest.raises(KitloomError, match=r'Did you mean "tile\.png"'):
        artwork_files([tmp_path / "tyle.png"])


def test_a_box_larger_than_the_paper_gets_no_draft(tmp_path: Path) -> None:
    """A recipe of one box that make refuses would be all that the maker gets."""
    Image.new("RGB", (90, 90), "#8fb0a0").save(tmp_path / "flat.png")
    told = run("draft", tmp_path, "--box", "9in x 12in", "--out", tmp_path / "kit.toml")
    assert isinstance(told.exception, KitloomError)
    assert "does not fit on Letter" in told.exception.line()
    assert not (tmp_path / "kit.toml").exists()


def test_a_place_that_cannot_be_written_is_not_told_to_make_room(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError, match="not a writable folder"):
        check_free(tmp_path / "file" / "a.csv", overwrite=False)
    told = run("check", SAMPLES / "tiles" / "dots.png", "--csv", "/proc/a.csv")
    assert isinstance(told.exception, OutputError)
    assert "Make room" not in told.exception.remedy


@pytest.mark.parametrize(("surface", "notes"), [("matt", 1), ("glossy", 0)])
def test_a_kit_on_paper_with_a_weak_black_says_so_once(surface: str, notes: int):
    """Else dark neighbours that look well apart on screen come out as one."""
    found = weak_black_findings(open_press(surface))
    assert [one.code for one in found] == ["darks-closer"] * notes
    assert all("2.7" in one.why for one in found)
