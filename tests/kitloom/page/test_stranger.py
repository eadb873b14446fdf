"""Words, order and tidiness of the page as someone new to it needs them, checked at the server.

No published source: what the page promises is checked against what it does.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from kit.draft import DraftTile, draft_recipe
from kit.recipe import parse_recipe
from kit.shapes import Rect
from kit.writers import path_data
from kitloom.findings import nudge_or_leave
from kitloom.page.edits import Form, Incoming
from kitloom.page.edits.forms import LABELS
from kitloom.page.edits.table import apply
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt
from kitloom.page.state.workspace import Workspace
from kitloom.page.views.findings_view import findings_view
from kitloom.page.views.page_words import share_of
from kitloom.page.views.sheet_view import PURPOSES
from palette.exchange import FORMATS

from .conftest import cropped_tile, draw, neon_tile, take_artwork, tile_file

pytestmark = pytest.mark.slow


@pytest.fixture
def kit(bench: Bench, tmp_path: Path) -> Bench:
    """Two good tiles, then one with a seam that prints well, then a neon one."""
    paths = [tile_file(tmp_path / f"{name}.png", i) for i, name in enumerate(("waves", "ripples"))]
    paths += [cropped_tile(tmp_path / "cropped.png"), neon_tile(tmp_path / "neon.png")]
    for path in paths:
        take_artwork(bench, Incoming(path.name, path.read_bytes(), drop="one"))
    draw(bench)
    return bench


def test_a_drop_is_undone_and_made_again_as_one(client: TestClient, kit: Bench) -> None:
    assert "Undo: added 4 tiles" in client.get("/step/artwork").text
    client.post("/edit/undo", data={"back": "/step/artwork"})
    assert kit.recipe() is None
    assert "Redo: added 4 tiles" in client.get("/step/artwork").text
    client.post("/edit/redo", data={"back": "/step/artwork"})
    assert len(kit.recipe().patterns) == 4  # type: ignore[union-attr]


def test_a_form_of_several_files_is_one_drop_too(client: TestClient, tmp_path: Path) -> None:
    files = [
        ("files", (f"{i}.png", tile_file(tmp_path / f"{i}.png", i).read_bytes())) for i in (1, 2)
    ]
    client.post("/upload", files=files)
    assert "Undo: added 2 tiles" in client.get("/step/artwork").text


def test_drops_apart_and_single_steps_are_undone_one_by_one(tmp_path: Path) -> None:
    work = Workspace(tmp_path)
    for text, drop in (("a", "one"), ("b", "one"), ("c", "two"), ("d", ""), ("e", "")):
        work.save(text, text, drop)
    texts = []
    while Workspace(tmp_path).undoable():  # a new start knows drops too
        work = Workspace(tmp_path)
        work.undo()
        texts.append(work.text())
    assert texts == ["d", "c", "b", ""]


def test_a_tab_still_gets_the_picture_of_a_sheet_that_has_just_become_impossible(
    client: TestClient, kit: Bench
) -> None:
    place = "/picture/sheet?number=1"
    before = client.get(place).content
    apply(kit, "box", Form({"box-wide": "410", "box-high": "52"}))
    draw(kit)
    assert kit.drawing.fault is not None
    answer = client.get(place)
    assert (answer.status_code, answer.content) == (200, before)


def test_the_sheet_is_shown_with_its_words(client: TestClient, kit: Bench) -> None:
    """Headers without their words look like a fault of the kit, and cannot be proofread."""
    place = "/picture/sheet?number=1"
    row = next(i for i, row in enumerate(kit.recipe().rows) if row.sticker == "header")
    kit.edit("words", lambda text: rt.with_row_value(text, row, "text", ["I"]))
    draw(kit)
    few = client.get(place).content
    kit.edit("words", lambda text: rt.with_row_value(text, row, "text", ["WWWW"]))
    draw(kit)
    assert client.get(place).content != few


def test_a_tab_still_gets_the_picture_of_a_second_sheet_that_is_no_more(
    client: TestClient, kit: Bench
) -> None:
    """Its page asks for the picture a moment after an undo took the sheet away."""
    apply(kit, "add-row", Form({"sticker": "full box"}))
    draw(kit)
    assert len(kit.drawing.pictures) == 2
    place = "/picture/sheet?number=2"
    before = client.get(place).content
    kit.undo()
    draw(kit)
    assert len(kit.drawing.pictures) == 1
    answer = client.get(place)
    assert (answer.status_code, answer.content) == (200, before)
    assert client.get("/picture/sheet?number=3").status_code == 404


def test_steps_open_on_the_worst_tile_until_one_is_chosen(client: TestClient, kit: Bench) -> None:
    assert kit.recipe() is not None
    assert "<h3>cropped " in client.get("/step/tiles").text
    assert "<h3>neon</h3>" in client.get("/step/print").text
    assert "<h3>waves " in client.get("/step/tiles?tile=waves").text
    back = re.search(
        r'action="/edit/lattice"[^>]*><input[^>]*value="([^"]*)"', client.get("/step/tiles").text
    )
    assert back is not None
    place = back[1].split("#")[0]
    assert place == "/step/tiles?tile=cropped"  # an edit does not jump to another tile


def test_the_page_speaks_of_buttons_not_of_commands_and_keys(kit: Bench) -> None:
    job = kit.drawing.job
    assert job is not None
    view = findings_view(job, {one.code for one in job.findings})
    items = [one for group in (*view["grave"], *view["notes"]) for one in group["items"]]
    assert {"seam", "fill-shift", "press-limits"} <= {one["code"] for one in items}
    for one in items:
        said = f"{one['what']} {one['why']} {one['remedy']}"
        assert not re.search(r"kitloom [a-z]+ |--[a-z]|report of|[a-z]\.[a-z_]+ |FOGRA", said), said


def test_what_prints_duller_is_said_in_a_plain_sentence(client: TestClient, kit: Bench) -> None:
    assert kit.recipe() is not None
    text = client.get("/step/print?tile=neon").text
    assert re.search(r"<p>On glossy paper, .* of this tile prints duller than it looks", text)
    assert share_of(0.999, "it") == "all of it"
    assert share_of(0.63, "it") == "63% of it"


@pytest.mark.parametrize(
    ("wide", "high", "box"),
    [
        ("38,5", "50", "38.5mm x 50mm"),
        ("1,5in", "2 inch", "1.5in x 2in"),
        ("42 x 50 mm", "52 mm", "42mm x 50mm"),
        ("1.5 x 2in", "", "1.5in x 2in"),
        ("4 cm", "50.0 mm", "40mm x 50mm"),
    ],
)
def test_a_box_is_taken_as_it_is_typed(kit: Bench, wide: str, high: str, box: str) -> None:
    apply(kit, "box", Form({"box-wide": wide, "box-high": high}))
    assert f'box = "{box}"' in kit.workspace.text()


def test_a_length_in_two_ways_is_told_by_the_fields_own_label(kit: Bench) -> None:
    with pytest.raises(PageError) as told:
        apply(kit, "box", Form({"box-wide": "1,125in", "box-high": "50"}))
    assert told.value.where == "Day box of your planner, width"
    assert told.value.remedy == 'Write "1.125in" or "1125in".'
    assert told.value.field == "box-wide"


@pytest.mark.parametrize(
    ("step", "edit", "fields", "field"),
    [
        ("kit", "box", {"box-wide": "38;5", "box-high": "50"}, "box-wide"),
        ("kit", "sheet", {"key": "gap", "value": "3;5"}, "set-gap"),
        ("kit", "margin", {"key": "margin", "value": "x"}, "set-margin"),
        ("kit", "registration", {"key": "shift", "value": "99"}, "set-shift"),
        ("kit", "row", {"row": "0", "count": "0", "sticker": "full box"}, "count-0"),
        ("tiles", "repeat", {"tile": "waves", "repeat": "3;5"}, "repeat"),
    ],
)
def test_what_is_refused_stands_beside_its_field(
    client: TestClient, kit: Bench, step: str, edit: str, fields: dict[str, str], field: str
) -> None:
    given = {"back": f"/step/{step}", "of": str(len(kit.recipe().rows)), **fields}
    answer = client.post(f"/edit/{edit}", data=given)
    assert answer.status_code == 422
    assert LABELS[re.sub(r"-\d+$", "", field)] in answer.text
    flagged = re.search(
        rf'<input[^>]*id="{field}"[^>]*aria-invalid="true"[^>]*>(<span[^>]*>)', answer.text
    )
    assert flagged is not None
    assert f'id="{field}-fault"' in flagged[1]


def test_a_panel_is_drawn_where_a_motif_is_placed(client: TestClient, kit: Bench) -> None:
    apply(kit, "add-row", Form({"sticker": "writing box"}))
    count = len(kit.recipe().rows)
    last = {"row": str(count - 1), "of": str(count)}
    wanted = {"sticker": "writing box", "count": "1", "fill": "waves"}
    apply(kit, "row", Form({**last, **wanted}))
    draw(kit)
    job = kit.drawing.job
    assert job is not None
    number = next(i for i, slot in enumerate(job.kit.slots) if slot.row == count - 1)
    text = client.get(f"/step/sheet?sticker={number}").text
    slot = job.kit.slots[number]
    edge = slot.panels(Rect(0.0, 0.0, slot.width_mm, slot.height_mm), 1.5)[0]
    assert f'<path class="panel" d="{path_data(edge)}" fill="#ffffff"/>' in text
    assert "Centre on a motif" not in text
    assert "Centre on a motif" in client.get("/step/sheet?sticker=0").text


def test_a_list_is_drawn_where_a_motif_is_placed_and_goes_with_its_panel(
    client: TestClient, kit: Bench
) -> None:
    """Else its maker places a motif that the title's band will cover."""
    row = {"sticker": "checklist", "size": "1 x 1 box", "panel": "ruled", "pitch": "6mm"}
    row |= {"text": "To do", "fill": "waves", "count": 1}
    kit.edit("a list", lambda text: rt.with_row(text, row))
    count = len(kit.recipe().rows)
    last = {"row": str(count - 1), "of": str(count)}
    draw(kit)
    job = kit.drawing.job
    assert job is not None
    number = next(i for i, slot in enumerate(job.kit.slots) if slot.row == count - 1)
    text = client.get(f"/step/sheet?sticker={number}").text
    slot = job.kit.slots[number]
    box = Rect(0.0, 0.0, slot.width_mm, slot.height_mm)
    band = slot.title_band(box, 1.5)
    assert band is not None
    assert f'<path d="{path_data(band)}" fill="#' in text
    assert all(f'<path class="rule" d="{path_data(one)}"/>' in text for one in slot.rules(box))
    # its keys have no effect on a strip, so they go with it
    strip = {"sticker": "strip", "count": "1", "fill": "waves"}
    apply(kit, "row", Form({**last, **strip}))
    recipe = kit.recipe()
    assert recipe is not None
    assert (recipe.rows[-1].sticker, recipe.rows[-1].pitch) == ("strip", None)


def test_the_page_writes_what_a_draft_writes() -> None:
    tiles = [DraftTile(f"artwork/{i}.png", 20.0 + i, "straight") for i in range(4)]
    text = draft_recipe("A kit", "kit.toml", tiles[:1]).text
    for tile in tiles[1:]:
        before = parse_recipe(text, Path("kit.toml"))
        text = rt.with_pattern(text, tile)
        text = rt.with_drafted_rows(text, before, parse_recipe(text, Path("kit.toml")))
    assert text == draft_recipe("A kit", "kit.toml", tiles).text


def test_drafted_rows_fill_another_paper_until_somebody_changes_one() -> None:
    """Else the sheet is half empty after the maker names a larger paper, or a row is lost."""
    text = draft_recipe("A kit", "kit.toml", [DraftTile("a.png", 20.0, "straight")]).text
    before = parse_recipe(text, Path("kit.toml"))
    other = rt.with_value(text, "sheet", "paper", "A5")
    after = parse_recipe(other, Path("kit.toml"))
    filled = rt.with_drafted_rows(other, before, after)
    assert parse_recipe(filled, Path("kit.toml")).rows != before.rows
    assert filled.split("[[rows]]")[0] == other.split("[[rows]]")[0]
    own = parse_recipe(rt.with_row_value(text, 0, "count", 3), Path("kit.toml"))
    mine = rt.with_row_value(other, 0, "count", 3)
    assert rt.with_drafted_rows(mine, own, parse_recipe(mine, Path("kit.toml"))) == mine


def test_tables_come_move_and_go_with_their_blank_lines() -> None:
    tiles = [DraftTile(f"{i}.png", 20.0, "straight") for i in range(3)]
    text = draft_recipe("A kit", "kit.toml", tiles).text
    text = rt.with_row(text, {"sticker": "strip", "count": 3, "fill": "patterns"})
    text = rt.with_row_moved(text, 4, -1)
    text = rt.with_value(text, "fills", "variety", 0.3)
    text = rt.with_pattern_value(text, 2, "looked", "0123456789ab")
    text = rt.without_pattern(text, 2, "2")
    assert "# What is on the sheet, row by row." in text
    assert re.search(r'lattice = "straight"\n\n# What is on the sheet', text)
    assert not re.search(r"[^\n]\n\[", text.replace("\n\n[", ""))  # a blank line before each table
    assert "\n\n\n" not in text
    assert not text.endswith("\n\n")


def test_a_comment_keeps_its_column() -> None:
    text = draft_recipe("A kit", "kit.toml", [DraftTile("a.png", 20.0, "straight")]).text
    column = next(row for row in text.splitlines() if row.startswith("paper")).index("#")
    text = rt.with_value(text, "sheet", "paper", "A4")
    assert next(row for row in text.splitlines() if row.startswith("paper")).index("#") == column


def test_a_tiny_tile_offers_each_size_once(client: TestClient, bench: Bench) -> None:
    rng = np.random.default_rng(1)
    small = Image.fromarray(rng.integers(0, 255, (40, 40, 3), np.uint8))
    path = bench.workspace.folder / "tiny.png"
    small.save(path)
    take_artwork(bench, Incoming("tiny.png", path.read_bytes()))
    text = client.get("/step/tiles").text
    sizes = re.findall(r'id="size-\w+"[^>]*>\w+, ([\d.]+) mm<', text)
    assert len(sizes) == len(set(sizes))
    assert "large" not in re.findall(r'id="size-(\w+)"', text)
    assert f"It has pixels enough for {sizes[-1]} mm, not more." in text


def test_every_palette_file_says_what_it_is_for() -> None:
    names = [one.file_name for one in FORMATS.values()] + ["palette.json"]
    said = [next(words for ends, words, _ in PURPOSES if re.fullmatch(ends, n)) for n in names]
    assert len(set(said)) == len(names)


def test_the_layered_pdf_says_where_its_cut_lines_are() -> None:
    said = next(words for ends, words, _ in PURPOSES if re.fullmatch(ends, "sheet-1-layers.pdf"))
    assert "hidden layer" in said


def test_the_palettes_foot_agrees_with_its_colours(client: TestClient, kit: Bench) -> None:
    """Where colours print duller, the foot does not say that there is nothing to fix."""
    job = kit.drawing.job
    assert job is not None
    dull = [one for one in job.verdict.colours if one.grade == "will shift"]
    assert dull
    text = client.get("/step/palette").text
    verb = "prints" if len(dull) == 1 else "print"
    assert f"{len(dull)} of them {verb} duller" in client.get("/step/print").text
    assert "Nothing to fix here." not in text
    clear = "Nothing else to fix. Colours that print duller are marked above."
    assert (clear in text) != ('class="finding warn"' in text)
    for one in dull:
        assert text.count(nudge_or_leave(one)) == 2  # to be seen, and to be heard
        assert f"{one.nearest_de2000:.1f} off" in text
