"""Every area of ink on the sheets gets the print verdict: fills, panels, words, borders, drawings.

No published source: the limits are the palette's own (``palette.proof``), and the colours are far
outside what any press here prints, or far inside it.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageDraw

from kit.recipe import read_recipe
from kitloom.cli import kitloom
from kitloom.findings import Finding, sheet_colour_findings
from kitloom.findings.places import key_words, where_words
from kitloom.findings.printing import shift_findings
from kitloom.inks import (
    Drawing,
    InkPlace,
    InkVerdict,
    JudgedDrawing,
    SheetInks,
    drawn_ink,
    judge_inks,
)
from kitloom.kits import JudgedKit, make_kit, plain_inks
from palette.choose import bins_of
from palette.press import open_press
from palette.proof import assess_colours

PROFILE = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"
NEON = {
    "fill": "#00ff00",
    "panel": "#8a2be2",
    "word": "#ff00c8",
    "border": "#2b2bff",
    "icon": "#00ff3c",
}
CALM = {
    "fill": "#5c7854",
    "panel": "#a8573f",
    "word": "#c9a66b",
    "border": "#3b5b7a",
    "icon": "#5c7854",
}
RECIPE = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A4"
dpi = 72
frame = true
{press}
[palette]
colours = 3
pinned = ["#7a3b4f", "#3f6b4a"{pinned}]
[[marks]]
shape = "disc"
at = "12mm x 12mm"
size = "4mm"
[[patterns]]
file = "drops.png"
repeat = "18mm"
[[rows]]
sticker = "half box"
count = 2
fill = "{fill}"
[[rows]]
sticker = "full box"
count = 1
fill = "drops"
panel = "{panel}"
[[rows]]
sticker = "header"
text = ["Monday", "Tuesday"]
fill = "{word}"
[[rows]]
sticker = "full box"
count = 1
fill = "{border}"
panel = "white"
[[rows]]
sticker = "icon"
picture = "bee.png"
size = "20mm x 20mm"
count = 2
fill = "#ffffff"
[[rows]]
sticker = "dot"
count = 2
fill = "{upper}"
[[rows]]
sticker = "checklist"
count = 1
fill = "drops"
"""


def recipe(folder: Path, colours: dict[str, str], *, press: str = "", pinned: str = "") -> Path:
    tile = Image.new("RGB", (240, 240), "#f4ecd8")
    pen = ImageDraw.Draw(tile)
    pen.ellipse((60, 60, 130, 130), fill="#7a3b4f")
    pen.ellipse((150, 140, 200, 190), fill="#3f6b4a")
    tile.save(folder / "drops.png")
    bee = Image.new("RGBA", (200, 200), (0, 0, 0, 0))
    ImageDraw.Draw(bee).ellipse((10, 10, 190, 190), fill=colours["icon"])
    bee.save(folder / "bee.png")
    path = folder / "kit.toml"
    filled = {**colours, "upper": colours["fill"].upper(), "press": press, "pinned": pinned}
    path.write_text(RECIPE.format(**filled))
    return path


def made(path: Path) -> JudgedKit:
    return make_kit(read_recipe(path), [], lambda: None)


def shifts(findings: list[Finding]) -> dict[str, Finding]:
    """Return what shifts in print by its colour or file; two of one subject are a fault."""
    told = [one for one in findings if one.code in {"colour-shift", "fill-shift"}]
    assert len({one.subject for one in told}) == len(told)
    return {one.subject: one for one in told}


WANTED = {
    "#00ff00": ("fill of half box (row 1) and dot (row 6)", "rows.1.fill, rows.6.fill"),
    "#8a2be2": ("panel of full box (row 2)", "rows.2.panel"),
    "#ff00c8": ("fill behind words of header (row 3)", "rows.3.fill"),
    "#2b2bff": ("border of full box (row 4)", "rows.4.fill"),
    "bee.png": ("drawing of icon (row 5)", "rows.5.picture"),
}


def test_neon_in_any_place_is_told_with_kind_and_row(tmp_path: Path) -> None:
    """A maker would print dull headers, dots and drawings after "Nothing to fix"."""
    found = shifts(list(made(recipe(tmp_path, NEON)).findings))
    assert set(found) == set(WANTED)
    for subject, (places, keys) in WANTED.items():
        one = found[subject]
        assert one.severity == "warn"
        assert places in one.what
        assert keys in one.remedy
        assert str(one.measures["nearest_hex"]) in one.remedy
        assert [place["row"] for place in one.measures["places"]] == sorted(
            {int(key.split(".")[1]) for key in keys.split(", ")}
        )
        assert max(len(one.what), len(one.why), len(one.remedy)) <= 300


def test_what_shifts_in_many_rows_stays_short() -> None:
    """Two offers behind the longest list of keys were more than a maker reads in one go."""
    press = open_press()
    rows = [InkPlace("fill", "dot", row, f"rows.{row}.fill") for row in range(10, 200)]
    colours = assess_colours(["#00ff00", "#ff00c8", "#8a2be2", "#2b2bff", "#ffff00"], press)
    told = shift_findings(colours, press, {one.hex: rows for one in colours})
    assert len(told) == len(colours)
    assert any("own hue" in one.remedy for one in told)
    for one in told:
        assert one.remedy.startswith(
            "Set by rows.10.fill, rows.11.fill and 188 more in the recipe."
        )
        assert str(one.measures["nearest_hex"]) in one.remedy
        assert max(len(one.what), len(one.why), len(one.remedy)) <= 300


def test_colours_that_print_are_not_told(tmp_path: Path) -> None:
    assert shifts(list(made(recipe(tmp_path, CALM)).findings)) == {}


def test_the_proof_of_a_recipe_says_what_make_says(tmp_path: Path) -> None:
    path = recipe(tmp_path, NEON)
    done = CliRunner().invoke(kitloom, ["proof", str(path), "--json"], standalone_mode=False)
    assert done.exception is None, done.exception
    told = json.loads(done.stdout)
    proofed = shifts([Finding(**one) for one in told["findings"]])
    assert proofed == shifts(list(made(path).findings))
    places = {one["hex"]: one["places"] for one in told["sheet_colours"]}
    uses = {place["use"] for own in places.values() for place in own}
    assert {"fill", "panel", "border", "words", "check marks", "marks", "frame", "ruler"} <= uses
    assert places["#2b2bff"] == [
        {"use": "border", "kind": "full box", "row": 4, "key": "rows.4.fill"}
    ]
    assert [one["file"] for one in told["drawings"]] == ["bee.png"]
    assert told["drawings"][0]["share_out_of_gamut"] > 0.95


def test_a_colour_of_the_palette_is_told_once_with_its_rows(tmp_path: Path) -> None:
    path = recipe(tmp_path, CALM | {"panel": "#00ff00"}, pinned=', "#00ff00"')
    one = shifts(list(made(path).findings))["#00ff00"]
    assert "panel of full box (row 2)" in one.what


def test_a_colour_typed_beside_a_recipe_is_told_once(tmp_path: Path) -> None:
    path = recipe(tmp_path, CALM | {"panel": "#00ff00"})
    words = ["proof", "#00ff00", str(path), "--json"]
    done = CliRunner().invoke(kitloom, words, standalone_mode=False)
    assert done.exception is None, done.exception
    found = shifts([Finding(**one) for one in json.loads(done.stdout)["findings"]])
    assert list(found) == ["#00ff00"]
    assert "panel of full box (row 2)" in found["#00ff00"].what


def test_an_ink_of_our_own_that_shifts_is_a_note(tmp_path: Path) -> None:
    """Through a profile without black point compensation black comes out as a dark grey."""
    press = f'[press]\nprofile = "{PROFILE.as_posix()}"\nblack_point_compensation = false\n'
    found = shifts(list(made(recipe(tmp_path, CALM, press=press)).findings))
    (black,) = [one for one in found.values() if one.severity == "note"]
    assert black.subject == "#000000"
    assert "marks on the page" in black.what
    assert "whatever the recipe says" in black.remedy


def test_the_plain_inks_of_a_proof_are_those_of_the_kit(tmp_path: Path) -> None:
    """Proof composes without artwork; the fills that it leaves to kitloom must be make's."""
    path = recipe(tmp_path, NEON)
    path.write_text(path.read_text().replace('fill = "drops"\n', 'fill = "palette"\n'))
    wanted = read_recipe(path)
    kit = made(path)
    bins = {one.name: one.study.bins for one in kit.patterns}
    assert plain_inks(wanted, bins).colours == kit.inks.inks.colours


def verdict_on(on_white: np.ndarray, alpha: np.ndarray) -> InkVerdict:
    place = InkPlace("drawing", "icon", 1, "rows.1.picture")
    bee = Drawing("bee.png", on_white, drawn_ink(on_white, alpha), (place,))
    return judge_inks(SheetInks({}, (bee,), ()), open_press())


def drawing(on_white: np.ndarray, alpha: np.ndarray) -> JudgedDrawing:
    (judged,) = verdict_on(on_white, alpha).drawings
    return judged


def test_only_what_is_seen_of_a_drawing_counts() -> None:
    """A neon bee on a wide clear ground is as dull in print as one without that ground."""
    on_white, alpha = np.full((400, 300, 3), 255, np.uint8), np.zeros((400, 300), np.uint8)
    on_white[:20, :30], alpha[:20, :30] = (0, 255, 60), 255
    on_white[20:40, :30], alpha[20:40, :30] = (92, 120, 84), 255
    judged = drawing(on_white, alpha)
    assert judged.printed.share_out_of_gamut == pytest.approx(0.5)
    assert judged.worst is not None
    assert judged.worst.hex == "#00ff3c"
    assert judged.worst_share == pytest.approx(0.5)
    assert judged.drawing.ink.visible == pytest.approx(0.01)


def test_what_is_half_clear_is_judged_as_it_lies_on_white() -> None:
    """A pale wash of a vivid colour prints, and would be told to be dull by its full colour."""
    full = np.full((50, 50, 3), (255, 85, 0), np.uint8)
    wash = np.full((50, 50, 3), (255, 188, 155), np.uint8)  # the same at 100 of 255
    assert drawing(full, np.full((50, 50), 255, np.uint8)).printed.share_out_of_gamut == 1.0
    assert drawing(wash, np.full((50, 50), 100, np.uint8)).printed.share_out_of_gamut == 0.0


def test_a_large_drawing_is_judged_by_a_fair_share_of_its_pixels() -> None:
    """Stripes a pixel wide would be missed, or counted alone, by steps of whole pixels."""
    on_white = np.full((1000, 1200, 3), (92, 120, 84), np.uint8)
    on_white[:, ::5] = (0, 255, 60)
    ink = drawn_ink(on_white, np.full((1000, 1200), 255, np.uint8))
    vivid = ink.bins.weight[(ink.bins.rgb8 == (0, 255, 60)).all(axis=1)].sum()
    assert vivid == pytest.approx(0.2, abs=0.01)
    assert len(ink.bins) == len(bins_of(on_white)) == 2


def test_many_places_stay_one_line() -> None:
    rows = [InkPlace("fill", "dot", row, f"rows.{row}.fill") for row in range(1, 100)]
    kinds = [InkPlace(f"use {i}", f"kind {i}", i, f"rows.{i}.panel") for i in range(30)]
    top_up = InkPlace("panel", "full box", None, "palette.pinned")
    page = InkPlace("frame", "", None, "")
    assert where_words(rows) == "fill of dot (rows 1, 2, 3, 4, 5 and 94 more)"
    assert len(where_words(kinds)) < 140
    assert where_words([top_up, page]) == "panel of full box (top-up), frame on the page"
    assert key_words(rows) == "rows.1.fill, rows.2.fill and 97 more"
    assert key_words([page]) == ""


def test_a_colour_that_the_palette_took_from_the_artwork_is_not_said_to_be_set() -> None:
    """A maker looked in the recipe for a pinned colour that was not there."""
    press = open_press()
    places = {"#39ff14": [InkPlace("fill", "dot", 6, "palette.pinned")]}
    (found,) = shift_findings(assess_colours(["#39ff14"], press), press, places)
    assert "palette.without in the recipe leaves it out" in found.remedy
    assert "Set by" not in found.remedy


def test_a_drawing_with_a_vivid_line_is_not_told() -> None:
    """2 % of it: under the limit of tiles."""
    on_white = np.full((50, 50, 3), (92, 120, 84), np.uint8)
    on_white[:1] = (0, 255, 60)
    verdict = verdict_on(on_white, np.full((50, 50), 255, np.uint8))
    assert verdict.drawings[0].printed.share_out_of_gamut == pytest.approx(0.02)
    assert sheet_colour_findings(verdict, open_press()) == []


def test_heavy_plain_colours_and_drawings_are_told_where_the_inks_are_known(
    tmp_path: Path,
) -> None:
    """Through a profile, solid black lays down three inks and more; only tiles were looked at."""
    press = f'[press]\nprofile = "{PROFILE.as_posix()}"\n'
    path = recipe(tmp_path, CALM | {"border": "#000000", "icon": "#000000"}, press=press)
    told = [one for one in made(path).findings if one.code == "ink" and one.severity == "warn"]
    assert {one.subject for one in told} == {"#000000", "bee.png"}
    (plain,) = [one for one in told if one.subject == "#000000"]
    assert plain.what.endswith("border of full box (row 4).")
    assert plain.measures["mean_coverage"] > 2.4


def test_icons_stand_in_the_order_of_ink(tmp_path: Path) -> None:
    """A black drawing beside pale fills is the wettest of the kit, and was told to take none."""
    pale = {"fill": "#f2e3c0", "panel": "#f2e3c0", "word": "#f2e3c0", "border": "#f2e3c0"}
    found = made(recipe(tmp_path, pale | {"icon": "#000000"})).findings
    (note,) = [one for one in found if one.code == "ink" and one.subject == "stickers"]
    assert note.what.startswith("Ink used, compared with solid black: icon, bee.png")
    assert note.measures["beside_black"]["icon, bee.png"] > 0.5


def test_each_of_two_recipes_says_which_it_is(tmp_path: Path) -> None:
    one = recipe(tmp_path, CALM | {"panel": "#00ff00"})
    other = tmp_path / "other.toml"
    other.write_text(one.read_text().replace('repeat = "18mm"', 'repeat = "auto"'))
    words = ["proof", str(one), str(other), "--surface", "matt", "--json"]
    done = CliRunner().invoke(kitloom, words, standalone_mode=False)
    assert done.exception is None, done.exception
    found = [Finding(**one) for one in json.loads(done.stdout)["findings"]]
    told = [one.subject for one in found if one.code == "colour-shift" and one.severity == "warn"]
    assert {"kit.toml: #00ff00", "other.toml: #00ff00"} <= set(told)
