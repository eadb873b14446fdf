"""Every control is an edit of the recipe's text: what it changes, and what it leaves alone."""

from __future__ import annotations

import difflib
import io
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from starlette.testclient import TestClient

from kit.recipe import RowPart, idle_in_row, idle_places, parse_recipe
from kit.recipe_error import RecipeError
from kitloom.page.edits import Form, Incoming, take_recipe
from kitloom.page.edits.table import EDITS, apply
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, open_bench
from kitloom.page.state import recipe_text as rt
from kitloom.page.views.planner_view import planner_view
from tests.conftest import dot_tile

from .conftest import ROOT, draw, take_artwork, tile_file

SAMPLE = ROOT / "samples" / "allotment" / "kit.toml"
TEXT = SAMPLE.read_text()


@pytest.fixture
def kit(bench: Bench, tmp_path: Path) -> Bench:
    for i, name in enumerate(("waves", "ripples")):
        content = tile_file(tmp_path / "art" / f"{name}.png", i).read_bytes()
        take_artwork(bench, Incoming(f"{name}.png", content))
    draw(bench)
    return bench


def rows_of(bench: Bench) -> str:
    """How many rows the kit has, as the page's fields say it."""
    recipe = bench.recipe()
    assert recipe is not None
    return str(len(recipe.rows))


def change(before: str, after: str) -> list[str]:
    """Return the lines that differ, without the comments' alignment."""
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm="")
    return [line for line in lines if line[:3] not in {"---", "+++"} and line[:2] != "@@"]


def test_a_box_typed_in_inches_is_shown_in_inches() -> None:
    """A maker who measured 1.5 inches does not know 38.1 mm for hers."""
    boxes = {"1.5in x 1.9in": ("1.5 in", "1.9 in"), "40mm x 52mm": ("40 mm", "52 mm")}
    for box, shown in boxes.items():
        text = rt.with_value(TEXT, "planner", "box", box)
        fields = planner_view(parse_recipe(text, SAMPLE), text)["box"]
        assert (fields["wide"], fields["high"]) == shown


def test_one_stickers_words_change_and_the_others_stay() -> None:
    """A month's own header costs one word, not a list written anew."""
    text = '[[rows]]\nsticker = "header"\ntext = "days"\n'
    row = RowPart(sticker="header", text="days", count=7)
    after = rt.with_words(text, 0, 6, row, "October")
    assert tomllib.loads(after)["rows"][0]["text"] == [*row.words[:6], "October"]
    bare = RowPart(sticker="header", count=2)
    text = '[[rows]]\nsticker = "header"\ncount = 2\n'
    one = rt.with_words(text, 0, 1, bare, "October")
    assert tomllib.loads(one)["rows"][0]["text"] == ["", "October"]
    said = RowPart(sticker="header", count=2, text=("", "October"))
    assert rt.with_words(one, 0, 1, said, "") == text


def test_two_tiles_change_places_in_all_that_names_them() -> None:
    """Next month's tiles come in the order of their names, which is seldom the one wanted."""
    text = (
        '[[patterns]]\nfile = "a.png"\n\n[[patterns]]\nfile = "b.png"\n\n'
        '[[rows]]\nsticker = "full box"\nfill = ["a", "b", "a"]\ncount = 3\n'
        'held = [{fill = "b", offset = "1mm x 2mm"}]\n'
    )
    after = tomllib.loads(rt.with_patterns_exchanged(text, (0, "a"), (1, "b")))
    assert [one["file"] for one in after["patterns"]] == ["b.png", "a.png"]
    assert after["rows"][0]["fill"] == ["b", "a", "b"]
    assert after["rows"][0]["held"] == [{"fill": "a"}]  # a window of b's is none of a's


def test_one_value_changes_one_line_and_keeps_its_comment() -> None:
    after = rt.with_value(TEXT, "sheet", "margin", "12mm")
    assert change(TEXT, after) == [
        '-margin = "10mm"                  # what printer or cutter cannot reach along the edges',
        '+margin = "12mm"                  # what printer or cutter cannot reach along the edges',
    ]


def test_rows_and_patterns_come_go_and_move() -> None:
    moved = rt.with_row_moved(TEXT, 10, 1)
    assert [r.sticker for r in parse_recipe(moved, SAMPLE).rows][10:12] == ["motif", "header"]
    assert rt.with_row_moved(TEXT, 0, -1) == TEXT
    fewer = rt.without_pattern(TEXT, 0, "pods")
    recipe = parse_recipe(fewer, SAMPLE)
    assert recipe.patterns[0].label == "marigolds"
    assert recipe.rows[0].fill == ("marigolds", "patterns", "radishes", "watering-cans")
    with pytest.raises(RecipeError, match="no longer there"):
        rt.with_row_value(TEXT, 99, "count", 1)


SIDE_BY_SIDE = """[[rows]]
sticker = "full box"
count = 1

[[rows]]
sticker = "label"
count = 2
beside = true
"""


def test_rows_side_by_side_stay_so_when_they_change_places() -> None:
    """The first row could not be moved below one beside it, or the two came apart."""
    swapped = rt.with_row_moved(SIDE_BY_SIDE, 0, 1)
    rows = tomllib.loads(swapped)["rows"]
    assert [(row["sticker"], row.get("beside")) for row in rows] == [
        ("label", None),
        ("full box", True),
    ]
    assert rt.with_row_moved(SIDE_BY_SIDE, 1, -1) == swapped
    assert "beside" not in rt.without_row(SIDE_BY_SIDE, 0)


@pytest.mark.slow
def test_a_rows_form_folds_what_would_be_refused_there_and_nothing_else() -> None:
    """A folded setting that works is not found; one in sight that does nothing misleads."""
    values = {
        "text": "a", "month": "2027-01", "week": "Monday", "text_size": "3mm", "border": "4mm",
        "frame": "pods", "frame_width": "2mm", "panel_line": True, "band_height": "5mm",
        "checks": 3, "check": "square", "pitch": "7mm", "rule": "light", "upright": True,
        "turn": 90, "scale": 1.5, "offset": "1mm x 1mm", "distance": "2mm", "beside": True,
    }  # fmt: skip
    recipe = parse_recipe(TEXT, SAMPLE)
    for number in (0, 4):
        folded = idle_in_row(recipe, number)
        assert folded <= values.keys()
        for key, value in values.items():
            text = rt.with_row_value(TEXT, number, key, value)
            refused = ("rows", number, key) in idle_places(text, SAMPLE)
            assert refused is (key in folded), (number, key)


@pytest.mark.slow
def test_a_first_row_of_motifs_is_added_and_what_is_refused_loses_nothing(
    client: TestClient, kit: Bench
) -> None:
    form = {"part": "rows-new", "from": "ripples", "count": "2", "border": "#ffeecc"}
    form |= {"size": "wide", "distance": "1.5", "back": "/step/kit#motifs-fold"}
    refused = client.post("/edit/add-motifs", data=form)
    assert refused.status_code == 422
    assert 'data-of="all-rows-new-size"' in refused.text
    for name in ("count", "border", "distance"):
        assert re.search(rf'id="all-rows-new-{name}"[^>]* value="{form[name]}"', refused.text)
    assert '<option value="ripples" selected>' in refused.text
    dotted = Image.fromarray(dot_tile(240))
    out = io.BytesIO()
    dotted.save(out, "PNG")
    take_artwork(kit, Incoming("dots.png", out.getvalue()))
    answer = client.post("/edit/add-motifs", data={**form, "from": "dots", "size": "20mm x 20mm"})
    assert answer.status_code == 303, answer.text
    recipe = kit.recipe()
    assert recipe is not None
    row = recipe.rows[-1]
    assert (row.sticker, row.source, row.count, row.fill) == ("motif", "dots", 2, "#ffeecc")
    assert (row.size, row.distance) == ((20.0, 20.0), 1.5)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("edit", "field", "sent"),
    [
        ("name", "name", {"name": "9" * 5000}),
        ("name", "name", {"name": "bell \a"}),
        ("add-motifs", "all-rows-new-size", {"part": "rows-new", "size": "9" * 5000}),
        ("add-motifs", "all-rows-new-border", {"part": "rows-new", "border": "9" * 5000}),
        ("add-motifs", "all-rows-new-count", {"part": "rows-new", "count": ""}),
    ],
)
@pytest.mark.usefixtures("kit")
def test_too_much_is_refused_beside_its_field_in_few_words(
    client: TestClient, edit: str, field: str, sent: dict[str, str]
) -> None:
    usual = {"from": "waves", "count": "1", "back": "/step/kit"}
    answer = client.post(f"/edit/{edit}", data={**usual, **sent})
    assert answer.status_code == 422
    told = re.search(rf'data-of="{field}">([^<]*)<', answer.text)
    assert told is not None
    assert 10 < len(told[1]) < 400
    (said,) = re.findall(r'<p class="said stop">(.*?)</p>', answer.text, re.DOTALL)
    assert len(said) < 700


def test_the_last_row_stays() -> None:
    text = TEXT
    for _ in parse_recipe(TEXT, SAMPLE).rows[1:]:
        text = rt.without_row(text, 0)
    with pytest.raises(RecipeError, match="only this one row"):
        rt.without_row(text, 0)


def test_pins_are_written_sticker_by_sticker_and_go_when_the_last_goes() -> None:
    row = parse_recipe(TEXT, SAMPLE).rows[0]
    one = rt.with_pin(TEXT, 0, 2, row, "3mm x 4mm")
    assert 'offset = ["auto", "auto", "3mm x 4mm", "auto"]' in one
    row = parse_recipe(one, SAMPLE).rows[0]
    assert row.pin_of(2) == (3.0, 4.0)
    assert parse_recipe(rt.with_pin(one, 0, 2, row, "auto"), SAMPLE).rows[0].offset is None


@pytest.mark.parametrize(
    ("name", "fields", "expected"),
    [
        ("repeat", {"tile": "waves", "repeat": "1.25in"}, 'repeat = "1.25in"'),
        ("repeat", {"tile": "waves", "repeat": "30"}, 'repeat = "30mm"'),
        ("lattice", {"tile": "waves", "lattice": "half-drop"}, 'lattice = "half-drop"'),
        ("colours", {"colours": "5"}, "colours = 5"),
        ("pin", {"colour": "#0F5C5C", "keep": "yes"}, 'pinned = ["#0f5c5c"]'),
        ("leave-out", {"colour": "#0F5C5C", "leave": "yes"}, 'without = ["#0f5c5c"]'),
        ("no-colours-from", {"tile": "waves"}, 'tiles = ["ripples"]'),
        ("surface", {"surface": "matt"}, 'surface = "matt"'),
        ("name", {"name": 'A "new" name'}, 'name = "A \\"new\\" name"'),
        ("box", {"box-wide": "1.5in", "box-high": "50 mm"}, 'box = "1.5in x 50mm"'),
        ("paper", {"paper": "A4"}, 'paper = "A4"'),
        ("paper", {"paper": "other", "paper-wide": "200", "paper-high": "250"}, '"200mm x 250mm"'),
        ("sheet", {"key": "gap", "value": "4"}, 'gap = "4mm"'),
        ("sheet", {"key": "layout", "value": "pack"}, 'layout = "pack"'),
        ("margin", {"value": "7"}, 'margin = "7mm"'),
        ("registration", {"value": "0.3"}, 'shift = "0.3mm"'),
        ("add-row", {"sticker": "strip"}, 'sticker = "strip"'),
        ("top-up", {"kind": "dot"}, 'top_up = ["dot"]'),
        ("variety", {"variety": "0.8"}, "variety = 0.8"),
        ("variety", {"variety": "0.4371584699453552"}, "variety = 0.44"),  # a slider's own
        ("fill", {"row": "0", "place": "0", "fill": "#0f5c5c"}, 'fill = ["#0f5c5c",'),
        ("fill", {"stickers": "0.0 0.2", "fill": "#0f5c5c"}, '"#0f5c5c", "patterns", "#0f5c5c"'),
        ("remove-several", {"stickers": "0.0 0.2"}, "count = 2"),
        ("double-several", {"stickers": "0.0 0.2"}, "count = 6"),
        ("artwork", {"row": "0", "place": "0", "percent": "150"}, "scale = ["),
        ("artwork", {"row": "0", "place": "0", "percent": "100", "turn": "30"}, "turn = ["),
        ("tolerance", {"bleed": "1.3", "gap": "3.2"}, 'bleed = "1.3mm"'),
        ("border", {"kind": "full box", "border": "4"}, 'border = "4mm"'),
    ],
)
def test_edits_do_what_they_say_and_undo_gives_the_bytes_back(
    kit: Bench, name: str, fields: dict[str, str], expected: str
) -> None:
    before = kit.workspace.text()
    apply(kit, name, Form({**fields, "of": rows_of(kit)}))
    assert expected in kit.workspace.text()
    kit.undo()
    assert kit.workspace.text() == before


def test_an_edit_takes_out_what_it_leaves_without_effect(kit: Bench) -> None:
    """Else the kit would be refused for a key that the page has no field for."""

    def set_row(key: str, value: object) -> None:
        kit.edit(key, lambda text: rt.with_row_value(text, 0, key, value))

    set_row("count", 4)
    set_row("turn", 30)
    set_row("panel", "white")
    set_row("border", "4mm")
    set_row("offset", ["auto", "3mm x 4mm", "auto", "1mm x 2mm"])
    set_row("fill", ["patterns", "#0f5c5c", "patterns", "patterns"])
    row = kit.parse(kit.workspace.text()).rows[0]
    assert (row.turn, row.border, row.pins) == (30.0, 4.0, (None, None, None, (1.0, 2.0)))
    set_row("count", 3)
    assert kit.parse(kit.workspace.text()).rows[0].pins == (None, None, None)
    set_row("panel", None)
    set_row("fill", "palette")
    row = kit.parse(kit.workspace.text()).rows[0]
    assert (row.turn, row.border, row.offset) == (0.0, None, None)
    kit.edit("profile", lambda text: rt.with_value(text, "press", "profile", "a.icc"))
    assert 'surface = "' not in kit.workspace.text()
    before = kit.workspace.position
    set_row("turn", 30)  # on plain colours: nothing to keep, and no step to undo
    assert kit.workspace.position == before


def test_a_recipe_with_keys_without_effect_is_opened_without_them(tmp_path: Path) -> None:
    text = TEXT.replace('surface = "glossy"', 'surface = "glossy"\nchart = "a.toml"')
    (tmp_path / "kit.toml").write_text(text)
    bench = open_bench(tmp_path)
    try:
        assert 'surface = "' not in bench.workspace.text()
        assert bench.fault() is None
        bench.undo()
        assert bench.workspace.text() == text
    finally:
        bench.close()


def test_a_swapped_colour_leaves_all_others_as_they_are(kit: Bench) -> None:
    job = kit.drawing.job
    assert job is not None
    shown = [swatch.hex for swatch in job.verdict.palette.swatches]
    apply(kit, "swap", Form({"colour": shown[1], "other": "#123456"}))
    draw(kit)
    assert kit.drawing.job is not None
    now = {swatch.hex for swatch in kit.drawing.job.verdict.palette.swatches}
    assert now == ({*shown} - {shown[1]}) | {"#123456"}


def test_a_click_in_the_tile_takes_a_colour_of_the_tile(kit: Bench) -> None:
    job = kit.drawing.job
    assert job is not None
    old = job.verdict.palette.swatches[0].hex
    place = {"at.x": "50", "at.y": "20", "wide": "100", "high": "100", "tile": "waves"}
    pixels = job.patterns[0].study.artwork.pixels
    apply(kit, "swap", Form({"colour": old, **place}))
    recipe = kit.recipe()
    assert recipe is not None
    colours = {"#{:02x}{:02x}{:02x}".format(*p) for p in pixels.reshape(-1, 3)}
    assert set(recipe.palette.pinned) <= colours


@pytest.mark.parametrize(
    ("name", "fields"),
    [
        ("repeat", {"tile": "waves", "repeat": "wide"}),
        ("repeat", {"tile": "waves", "repeat": "0"}),
        ("repeat", {"tile": "waves", "repeat": "nan"}),
        ("repeat", {"tile": "nobody", "repeat": "30"}),
        ("colours", {"colours": "999"}),
        ("swap", {"colour": "#zzzzzz", "other": "#000000"}),
        ("sheet", {"key": "dpi", "value": "1"}),
        ("sheet", {"key": "layout", "value": "elsewhere"}),
        ("row", {"row": "0", "of": "9", "sticker": "strip", "count": "1"}),
        ("row", {"row": "0", "of": "4", "sticker": "elephant", "count": "1"}),
        ("paper", {"paper": "other"}),
        ("remove-row", {}),
        ("artwork", {"row": "0", "of": "4", "place": "0", "percent": "9"}),
        ("remove-several", {"of": "4", "stickers": ""}),
        ("remove-several", {"of": "4", "stickers": "0.99"}),
        ("double-several", {"of": "4", "stickers": "0.0 no"}),
        ("artwork", {"row": "0", "of": "4", "place": "0", "percent": "large"}),
        ("remove-sticker", {"row": "0", "of": "4", "place": "400"}),
        ("nothing", {}),
    ],
)
def test_what_cannot_be_meant_is_refused_and_changes_nothing(
    kit: Bench, name: str, fields: dict[str, str]
) -> None:
    before = kit.workspace.text()
    with pytest.raises((PageError, RecipeError)):
        apply(kit, name, Form(fields))
    assert kit.workspace.text() == before


def test_every_edit_is_told_what_is_wrong_on_the_page(client: TestClient, kit: Bench) -> None:
    assert kit.recipe() is not None
    for name in EDITS:
        answer: Any = client.post(f"/edit/{name}", data={"back": "/step/kit"})
        assert answer.status_code in {303, 422}, name
        if answer.status_code == 422:
            assert 'class="said stop"' in answer.text


def test_drafted_rows_grow_with_the_tiles_until_they_are_changed(
    bench: Bench, tmp_path: Path
) -> None:
    """A maker drops tiles one by one and wants a place for each, until the rows are their own."""
    places, rows = [], []
    for i in range(26):
        content = tile_file(tmp_path / f"{i}.png", i).read_bytes()
        take_artwork(bench, Incoming(f"tile {i}.png", content))
        recipe = bench.recipe()
        assert recipe is not None
        places.append(sum(row.count for row in recipe.rows if row.fill == "patterns"))
        rows.append(recipe.rows)
        if i == 24:
            apply(bench, "remove-row", Form({"row": "0", "of": rows_of(bench)}))
    assert all(number > i for i, number in enumerate(places[:25]))
    assert places[24] > places[0]
    assert [row.count for row in rows[25]] == [row.count for row in rows[24][1:]]


def test_a_box_that_may_be_a_slip_is_said_beside_it(kit: Bench, client: TestClient) -> None:
    assert "suspiciously small size" not in client.get("/step/kit").text
    while len(kit.recipe().rows) > 1:  # a panel has no room in so small a box
        apply(kit, "remove-row", Form({"row": "1", "of": str(len(kit.recipe().rows))}))
    with pytest.raises(PageError, match=r"3\.81 mm is not .* decimal point or the unit wrong"):
        apply(kit, "box", Form({"box-wide": "0.15in", "box-high": "52"}))
    apply(kit, "box", Form({"box-wide": "8", "box-high": "52"}))
    draw(kit)
    shown = client.get("/step/kit").text
    assert "suspiciously small size" in shown
    assert "The day box is 8 mm wide and 52 mm high." in shown
    assert "set it in step 5" in shown


def test_what_no_colour_stands_for_is_said_in_one_place(kit: Bench, client: TestClient) -> None:
    assert "close to no palette colour" not in client.get("/step/palette").text
    apply(kit, "colours", Form({"colours": "1"}))
    draw(kit)
    shown = client.get("/step/palette").text
    assert shown.count("of the artwork is close to no palette colour") == 1
    assert "mostly in ripples" in shown or "mostly in waves" in shown


@pytest.mark.parametrize("inline", [False, True])
def test_a_recipe_from_elsewhere_names_no_file_of_that_machine(bench: Bench, inline: bool) -> None:
    own = {
        "press": {"profile": "/elsewhere/inkjet.icc", "chart": "/elsewhere/chart.txt"},
        "palette": {"from": "/elsewhere/spring.json"},
    }
    text = TEXT.replace('file = "tiles/', 'file = "/elsewhere/tiles/')
    for table, files in own.items():
        rest = text.split(f"[{table}]\n")[1].split("\n\n")[0]
        lines = [*(f'{key} = "{file}"' for key, file in files.items()), *rest.splitlines()]
        whole = f"[{table}]\n{rest}"
        if inline:
            text = f"{table} = {{ {', '.join(lines)} }}\n" + text.replace(whole, "")
        else:
            text = text.replace(whole, "\n".join([f"[{table}]", *lines]))
    take_recipe(bench, Incoming("kit.toml", text.encode()))
    recipe = bench.recipe()
    assert recipe is not None
    assert (recipe.press.profile, recipe.press.chart, recipe.palette.source) == (None, None, None)
    assert recipe.press.surface == "glossy"
    assert recipe.palette.colours == 8
    assert "elsewhere" not in bench.workspace.text()


def test_a_sticker_is_taken_out_with_all_that_was_said_of_it_and_doubled(kit: Bench) -> None:
    """A maker who pinned the third sticker must not find its pin on the fourth."""
    place = {"row": "0", "of": rows_of(kit)}
    kit.edit("count", lambda text: rt.with_row_value(text, 0, "count", 3))
    kit.edit("fill", lambda text: rt.with_row_value(text, 0, "fill", ["waves", "ripples", "waves"]))
    kit.edit(
        "pin", lambda text: rt.with_row_value(text, 0, "offset", ["auto", "auto", "1mm x 2mm"])
    )
    kit.edit("size", lambda text: rt.with_row_value(text, 0, "scale", [1, 1, 2]))
    apply(kit, "remove-sticker", Form({**place, "place": "1"}))
    row = kit.parse(kit.workspace.text()).rows[0]
    assert (row.count, row.fill, row.pins) == (2, "waves", (None, (1.0, 2.0)))
    assert row.scale == (1.0, 2.0)
    draw(kit)
    apply(kit, "double-sticker", Form({**place, "place": "1"}))
    row = kit.parse(kit.workspace.text()).rows[0]
    assert (row.count, row.pins, row.scale) == (3, (None, (1.0, 2.0), (1.0, 2.0)), (1.0, 2.0, 2.0))
    for _ in range(2):
        apply(kit, "remove-sticker", Form({**place, "place": "0"}))
    apply(kit, "remove-sticker", Form({**place, "place": "0"}))
    assert len(kit.parse(kit.workspace.text()).rows) == int(rows_of(kit)) == int(place["of"]) - 1


def test_two_stickers_swap_what_they_show_and_no_other_changes(kit: Bench) -> None:
    kit.edit("count", lambda text: rt.with_row_value(text, 0, "count", 3))
    kit.edit(
        "fill", lambda text: rt.with_row_value(text, 0, "fill", ["waves", "ripples", "#0f5c5c"])
    )
    draw(kit)
    assert kit.drawing.job is not None
    before = kit.drawing.job.kit
    apply(kit, "swap-stickers", Form({"row": "0", "of": rows_of(kit), "place": "0", "with": "1"}))
    draw(kit)
    assert kit.drawing.job is not None
    after = kit.drawing.job.kit
    order = [1, 0, 2]
    assert [one.fill for one in after.choices[:3]] == [before.choices[i].fill for i in order]
    for i in (0, 1):
        assert after.windows.offsets_mm[i] == pytest.approx(
            before.windows.offsets_mm[1 - i], abs=0.006
        )
    kit.undo()
    with pytest.raises(PageError, match="drawn"):
        apply(
            kit, "swap-stickers", Form({"row": "0", "of": rows_of(kit), "place": "0", "with": "99"})
        )
