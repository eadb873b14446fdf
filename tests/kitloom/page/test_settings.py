"""Whatever a recipe can hold, the page can: each key has a form, and the text is beside it.

No published source: the keys are those of the recipe's own models.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator, Mapping, Sequence
from html import unescape
from importlib.resources import files as files_of
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from kit.recipe import RecipeKey, recipe_keys
from kitloom.page.edits import Form
from kitloom.page.edits.table import EDITS, apply
from kitloom.page.page_error import PageError
from kitloom.page.state import (
    BY_HAND,
    NOT_ASKED,
    Bench,
    Place,
    id_of,
    names_of,
    path_of,
    settings_of,
    tables_of,
    value_at,
    value_of,
)

from .conftest import ROOT, Served, drawn, drop, tile_file
from .test_browser import WCAG, faults
from .test_without_script import Forms
from .waiting import until

# a recipe in which every key has an effect somewhere
TEXT = """\
# a comment that stays
[kit]
name = "Quince"

[planner]
box = "40mm x 52mm"

[sheet]
paper = "A4"
margin = "9mm"                # all four
registration = "0.4mm"
ruler_reads = "180mm"
keep_out = [{ edge = "top", depth = "12mm" }]

[press]
profile = "mine.icc"

[[marks]]
shape = "corner"
at = "20mm x 20mm"
size = "5mm"

[[patterns]]
file = "artwork/waves.png"
repeat = "20mm"

[[patterns]]
file = "artwork/ripples.png"
repeat = "20mm"

[[coordinates]]
kind = "stripe"
colours = ["white", "#3b5b7a"]
size = "8mm"

[[coordinates]]
kind = "tartan"
colours = ["white", "#3b5b7a", "#8c2f14"]
sett = "W24 B4 R2"
size = "30mm"

[[rows]]
sticker = "full box"
count = 2
panel = "ruled"
band = "waves"

[[rows]]
sticker = "full box"
count = 2
panel = "white"
checks = 3
frame = "#f4e7cf"

[[rows]]
sticker = "header"
count = 4
fill = "palette"
text = "Notes"

[[rows]]
sticker = "custom"
outline = "leaf.svg"
size = "20mm x 20mm"
count = 2

[[rows]]
sticker = "icon"
picture = "bee.png"
fill = "palette"
count = 2

[[rows]]
sticker = "dot"
fill = "palette"
month = "2027-02"
"""
PROFILE = ROOT / "tests" / "standards" / "data" / "FOGRA39L_coated.icc"
FONT = ROOT / "kit" / "letters" / "fonts" / "Lato-Bold.ttf"
LEAF = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M1 1H8L4 8Z"/></svg>'
LINE = TEXT.splitlines().index('shape = "corner"') + 1
STEPS = ("artwork", "tiles", "palette", "print", "kit", *(f"kit?row={i}" for i in range(6)))


def write_kit(folder: Path) -> None:
    """Write the kit and all that it names, and other files that it might."""
    from PIL import Image, ImageDraw

    for i, name in enumerate(("waves", "ripples")):
        tile_file(folder / "artwork" / f"{name}.png", i)
    (folder / "leaf.svg").write_text(LEAF)
    bee = Image.new("RGBA", (90, 90))
    ImageDraw.Draw(bee).ellipse((10, 20, 80, 70), fill="#8c2f14")
    bee.save(folder / "bee.png")
    (folder / "mine.icc").write_bytes(PROFILE.read_bytes())
    (folder / "spring.css").write_text(":root { --leaf: #557a46; --bud: #d8a7b1; }\n")
    (folder / "chart.toml").write_text("no chart")
    (folder / "own.ttf").write_bytes(FONT.read_bytes())


# what is typed where a type alone does not say what is valid
WORDS: Mapping[str, Sequence[str]] = {
    "sheet.dpi": [str(dpi) for dpi in range(72, 1201, 47)],
    "sheet.ruler_reads": ["179", "181mm", "18,1cm", "179.5 x 180.5"],
    "sheet.top_up": ["dot", "dot\nhalf box"],
    "sheet.registration.scale": ["0.1%", "0.002"],
    "press.chart": ["chart.toml"],
    "palette.pinned": ["#3b5b7a", "white\n#8c2f14"],
    "palette.without": ["orange"],
    "palette.from": ["spring.css"],
    "palette.tiles": ["waves", "ripples"],
    "palette.allow": ["white, #3b5b7a\n#8c2f14, white"],
    "letters.font": ["own.ttf"],
    "cut.offset": ["0.3mm -0.2mm"],
    "marks.at": ["20 x 25", "2cm x 3cm"],
    "coordinates.kind": ["gingham", "stripe"],
    "coordinates.style": ["ticking"],
    "coordinates.colours": ["white\n#557a46"],
    "coordinates.size": ["12", "35mm"],
    "coordinates.sett": ["W20 B6 R4"],
    "coordinates.from": ["waves"],
    "rows.fill": ["palette", "waves", "#3b5b7a", "waves\nstripe"],
    "rows.panel": ["white", "ruled", "none", "#f4e7cf", "waves"],
    "rows.frame": ["waves", "#3b5b7a"],
    "rows.band": ["stripe", "#3b5b7a"],
    "rows.border": ["4", "4.5mm"],
    "rows.size": ["30 x 34", "2 x 0.5 box", "32mm x 36mm"],
    "rows.checks": ["1", "2", "3"],
    "rows.pitch": ["5", "6.5mm"],
    "rows.scale": ["1,5", "0.8\n1.2"],
    "rows.turn": ["30", "15deg\n45"],
    "rows.offset": ["centred", "3 x 4", "auto\n2mm x 3mm"],
    "rows.at": ["20 x 60", "20 x 25", "auto\n2cm x 30mm on its side"],
    "rows.text": ["days", "To do", "Mon\nTue\nWed"],
    "rows.text_size": ["7pt"],
    "rows.month": ["2027-01", "2028-02"],
    "rows.outline": ["leaf.svg"],
    "rows.picture": ["bee.png"],
}


def words_for(key: RecipeKey) -> Sequence[str]:
    """What a maker may type into a key's field, by its type alone where that is enough."""
    if key.name in WORDS:
        return WORDS[key.name]
    if key.sort == "yes or no" or key.choices:
        return key.choices or ("true", "false")
    if key.unit:
        return [f"{tenths / 10}{key.unit}" for tenths in range(5, 20)]
    return ["1", "2", "3"] if key.sort == "number" else ["Quince", "Sea holly"]


@pytest.fixture
def kit(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> Bench:
    write_kit(bench.workspace.folder)
    bench.rewrite(TEXT, "begun")
    monkeypatch.setattr(bench.reader, "check_chart", lambda _: None)  # its file is none
    return bench


def inner_name(place: Place, key: RecipeKey) -> str:
    return ".".join(key.path[len(names_of(place)) :])


def forms(client: TestClient, action: str = "/edit/settings") -> Iterator[dict[str, str]]:
    """The fields of each form for other keys, as the pages send them."""
    for step in STEPS:
        page = client.get(f"/step/{step}")
        assert page.status_code == 200
        yield from (one.fields for one in Forms(page.text).found if one.action == action)


def fields(client: TestClient) -> list[tuple[dict[str, str], Place, RecipeKey]]:
    """Each field of each such form: the form, the part of the recipe, and the key."""
    found = []
    for form in forms(client):
        steps = form["part"].split("-")
        place: Place = tuple(int(one) if one.isdigit() else one for one in steps)
        for key in settings_of(place):
            name = inner_name(place, key)
            if name in form or f"{name}:" in form:
                found.append((form, place, key))
    return found


def test_every_key_of_a_recipe_can_be_reached_on_the_page(client: TestClient, kit: Bench) -> None:
    """A key that has no place on the page is one that a maker without a terminal cannot use."""
    assert kit.fault() is None
    shown = {key.name for _, _, key in fields(client)}
    recipe = kit.recipe()
    assert recipe is not None
    last = len(recipe.rows)
    kit.edit(
        "motifs", lambda text: f'{text}\n[[rows]]\nsticker = "motif"\nfrom = "waves"\ncount = 1\n'
    )
    of_motifs = client.get(f"/step/kit?row={last}").text
    shown |= {"rows.from"} if f'id="all-rows-{last}-from"' in of_motifs else set()
    for key in recipe_keys():
        if key.sort in {"table", "tables"}:
            continue
        apart = [one for one in NOT_ASKED if f"{key.name}.".startswith(f"{one}.")]
        if key.name in BY_HAND:
            assert BY_HAND[key.name] in EDITS, key.name
            assert key.name not in shown, f"{key.name} is on the page twice"
        elif not apart:
            assert key.name in shown, f"{key.name} has no field"
    names = {key.name for key in recipe_keys()}
    assert not {*BY_HAND, *NOT_ASKED} - names, "no key of a recipe any more"
    pages = of_motifs + "".join(client.get(f"/step/{step}").text for step in STEPS)
    for edit in {*BY_HAND.values()} - {"colours", "repeat", "lattice", "looked"}:
        assert f'action="/edit/{edit}"' in pages  # those four need measured tiles
    for key in recipe_keys():
        if key.name in shown:
            assert key.label in unescape(pages)
            assert key.meaning.split("`")[0].split("[")[0][:40] in unescape(pages)


def set_one(
    bench: Bench, form: Mapping[str, str], place: Place, key: RecipeKey, typed: str
) -> PageError | None:
    """Send a page's own form with one field changed; return what was refused."""
    name, sent = inner_name(place, key), dict(form)
    if f"{name}:" in form:
        sent = {one: value for one, value in form.items() if not one.startswith(f"{name}:")}
        sent |= dict.fromkeys([f"{name}:", *(f"{name}:{one}" for one in typed.split("\n"))], "on")
    else:
        sent[name] = typed
    try:
        apply(bench, "settings", Form(sent))
    except PageError as error:
        return error
    return None


def holds(bench: Bench, place: Place, key: RecipeKey, typed: str) -> bool:
    tables = tables_of(bench.workspace.text())
    return bool(value_at(tables, path_of(place, key)) == value_of(key, typed))


@pytest.mark.slow
def test_every_field_sets_its_key_or_says_beside_itself_why_not(
    client: TestClient, kit: Bench
) -> None:
    before, done = kit.workspace.text(), set()
    every = fields(client)
    for form, place, key in every:
        typed = words_for(key)[0]
        refused = set_one(kit, form, place, key, typed)
        if refused is not None:
            assert refused.field == id_of(place, key), refused.line()
            assert kit.workspace.text() == before
            continue
        assert kit.fault() is None
        assert holds(kit, place, key, typed), (place, key.name, typed)
        done.add(key.name)
        while kit.workspace.text() != before:
            assert "# a comment that stays" in kit.workspace.text()
            kit.undo()
    all_over = {"coordinates.from", "coordinates.motif", "coordinates.spacing"}  # the kit has none
    assert done == {key.name for _, _, key in every} - all_over


@pytest.mark.slow
def test_what_is_typed_into_any_field_is_read_back_from_the_recipe(
    client: TestClient, kit: Bench
) -> None:
    every, first = fields(client), kit.workspace.text()

    @settings(max_examples=120, deadline=None, derandomize=True)
    @given(st.data())
    def run(data: st.DataObject) -> None:
        form, place, key = data.draw(st.sampled_from(every))
        typed = data.draw(st.sampled_from(words_for(key)))
        refused = set_one(kit, form, place, key, typed)
        if refused is None:
            assert holds(kit, place, key, typed)
        assert kit.fault() is None
        while kit.workspace.text() != first:
            kit.undo()

    run()


def post(client: TestClient, edit: str, **given: str) -> Any:
    return client.post(f"/edit/{edit}", data={"back": "/step/kit", **given})


def beside(answer: Any) -> list[tuple[str, str]]:
    """What is beside which fields."""
    found = re.findall(r'<span class="beside"[^>]* data-of="([^"]*)">(.*?)</span>', answer.text)
    return [(field, unescape(words)) for field, words in found]


@pytest.mark.slow
def test_what_was_not_touched_stays_as_another_tab_has_set_it(
    client: TestClient, kit: Bench
) -> None:
    form = next(one for one in forms(client) if one["part"] == "cut")
    assert post(client, "settings", part="cut", overcut="0.5", was="{}").status_code == 303
    assert post(client, "settings", **{**form, "spot": "CutHere"}).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert (recipe.cut.overcut, recipe.cut.spot) == (0.5, "CutHere")


@pytest.mark.slow
def test_one_edge_of_one_margin_for_all_leaves_the_others(client: TestClient, kit: Bench) -> None:
    assert post(client, "settings", part="sheet", **{"margin.top": "12"}).status_code == 303
    assert post(client, "settings", part="sheet", **{"registration.turn": "1"}).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    margin, registration = recipe.sheet.margin, recipe.sheet.registration
    assert (margin.top, margin.right, margin.bottom, margin.left) == (12.0, 9.0, 9.0, 9.0)
    # one length is the shift, and the rest is 0
    assert (registration.shift, registration.turn, registration.scale) == (0.4, 1.0, 0.0)


@pytest.mark.slow
def test_refusals_stand_beside_their_fields_with_what_was_typed(
    client: TestClient, kit: Bench
) -> None:
    before = kit.workspace.text()
    answer = post(client, "settings", part="sheet", dpi="12", back="/step/kit")
    assert beside(answer) == [("all-sheet-dpi", "is less than 72. Write at least 72.")]
    assert 'id="all-sheet-dpi" name="dpi" value="12"' in answer.text
    row = {"part": "rows-2", "of": "6", "back": "/step/kit?row=2"}
    answer = post(client, "settings", **row, border="3mm")
    ((field, words),) = beside(answer)
    assert field == "all-rows-2-border"
    assert "no panel" in words
    assert 'panel = "white"' in words
    answer = post(client, "settings", **row, fill="wavs")
    assert beside(answer)[0][0] == "all-rows-2-fill"
    assert 'Did you mean "waves"?' in beside(answer)[0][1]
    answer = post(client, "settings", part="rows-0", of="9", text="x")  # rows have come or gone
    assert answer.status_code == 422
    assert kit.workspace.text() == before


@pytest.mark.slow
def test_entries_of_lists_come_and_go(client: TestClient, kit: Bench) -> None:
    before = kit.workspace.text()
    mark = {"part": "marks-new", "shape": "cross", "at": "150 x 20", "size": "6"}
    assert post(client, "add-entry", **mark).status_code == 303
    band = {"part": "sheet-keep_out-new", "edge": "bottom", "depth": "1in"}
    assert post(client, "add-entry", **band).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert [mark.shape for mark in recipe.marks] == ["corner", "cross"]
    assert [(one.edge, one.depth) for one in recipe.sheet.keep_out][1] == ("bottom", 25.4)
    assert beside(post(client, "add-entry", part="marks-new", shape="disc"))[0][0] == (
        "all-marks-new-at"
    )
    assert post(client, "remove-entry", part="marks-1", of="2").status_code == 303
    assert post(client, "remove-entry", part="sheet-keep_out-1", of="2").status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert (len(recipe.marks), len(recipe.sheet.keep_out)) == (1, 1)
    for _ in range(4):
        kit.undo()
    assert kit.workspace.text() == before


@pytest.mark.slow
def test_a_tile_that_is_renamed_is_renamed_wherever_it_is_named(
    client: TestClient, kit: Bench
) -> None:
    post(client, "settings", part="rows-0", of="6", fill="waves\nripples")
    post(client, "settings", part="palette", **{"tiles:": "", "tiles:waves": "on"})
    here = "/step/tiles?tile=waves"
    answer = post(client, "settings", part="patterns-0", of="2", name="Sea", back=here)
    assert answer.headers["location"] == "/step/tiles?tile=Sea#all-patterns-0"
    recipe = kit.recipe()
    assert recipe is not None
    assert recipe.rows[0].fill == ("Sea", "ripples")
    assert recipe.rows[0].band == "Sea"
    assert recipe.palette.tiles == ("Sea",)


@pytest.mark.slow
def test_there_is_a_sticker_for_each_word(client: TestClient, kit: Bench) -> None:
    row = {"part": "rows-2", "of": "6"}
    assert post(client, "settings", **row, text="Mon\nTue\nWed").status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert recipe.rows[2].words == ("Mon", "Tue", "Wed")
    assert recipe.rows[2].count == 3
    assert post(client, "settings", **row, text="").status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert (recipe.rows[2].words, recipe.rows[2].count) == ((), 3)


@pytest.mark.slow
def test_own_drawings_and_files_are_dropped_where_they_belong(
    client: TestClient, kit: Bench
) -> None:
    before = kit.workspace.text()
    files = {"files": ("Leaf two.svg", LEAF.encode())}
    answer = client.post("/upload", data={"own-row": "custom", "back": "/step/kit"}, files=files)
    assert answer.status_code == 303
    row = {"part": "rows-3", "key": "rows.outline", "back": "/step/kit?row=3"}
    assert client.post("/upload", data=row, files=files).status_code == 303
    recipe = kit.recipe()
    assert recipe is not None
    assert recipe.rows[6].outline == Path("drawings/Leaf two.svg")
    assert recipe.rows[3].outline == Path("drawings/Leaf two-2.svg")
    kept = sorted((kit.workspace.folder / "drawings").iterdir())
    none = {"files": ("leaf.svg", b"no drawing")}
    answer = client.post("/upload", data=row, files=none)
    assert beside(answer)[0][0] == "all-rows-3-outline"
    answer = client.post("/upload", data={"own-row": "icon", "back": "/step/kit"}, files=none)
    assert beside(answer)[0][0] == "all-rows-new"
    assert sorted((kit.workspace.folder / "drawings").iterdir()) == kept
    offered = client.get("/step/kit").text.split('id="own-kind"')[1].split("</select>")[0]
    assert 'value="icon"' in offered
    assert 'value="motif"' not in offered, "a motif is lifted from a pattern: no drawing makes one"
    kit.undo()
    kit.undo()
    assert kit.workspace.text() == before


def text_form(client: TestClient, step: str = "kit") -> dict[str, str]:
    page = client.get(f"/step/{step}").text
    return next(one.fields for one in Forms(page).found if one.action == "/edit/text")


@pytest.mark.slow
def test_the_text_of_the_recipe_is_saved_to_the_letter_and_undone_at_once(
    client: TestClient, kit: Bench
) -> None:
    form = text_form(client)
    assert form["text"] == TEXT
    after = TEXT.replace('name = "Quince"', 'name = "Medlar"  # by hand').replace(
        "count = 2", "count = 3", 1
    )
    sent = after.replace("\n", "\r\n")  # as a browser sends it
    assert post(client, "text", **{**form, "text": sent}).status_code == 303
    assert kit.workspace.text() == after
    kit.undo()
    assert kit.workspace.text() == TEXT


@pytest.mark.slow
def test_a_text_that_is_no_recipe_is_refused_in_one_line_and_stays_to_be_mended(
    client: TestClient, kit: Bench
) -> None:
    form = text_form(client)
    for wrong, said in (
        (TEXT.replace("corner", "korner"), f"line {LINE}"),
        (TEXT.replace("[planner]", "[planner"), "TOML"),
        (TEXT + '\nborder = "2mm"\n', "has no effect"),
        ("", "empty"),
    ):
        answer = post(client, "text", **{**form, "text": wrong})
        ((field, words),) = beside(answer)
        assert field == "recipe-text"
        assert said in words
        assert len(words) <= 400
        assert text_in(answer) == wrong
        assert kit.workspace.text() == TEXT


def text_in(answer: Any) -> str:
    return next(
        one.fields["text"] for one in Forms(answer.text).found if one.action == "/edit/text"
    )


@pytest.mark.slow
def test_a_text_never_takes_the_place_of_what_another_tab_has_changed_unasked(
    client: TestClient, kit: Bench
) -> None:
    form = text_form(client)
    post(client, "name", name="From another tab")
    mine = {**form, "text": TEXT.replace("Quince", "Mine")}
    answer = post(client, "text", **mine)
    assert "another tab" in answer.text
    assert "From another tab" in kit.workspace.text()
    again = next(one.fields for one in Forms(answer.text).found if one.action == "/edit/text")
    assert again["text"] == mine["text"]
    assert post(client, "text", **again).status_code == 303  # as it was told
    assert 'name = "Mine"' in kit.workspace.text()


@pytest.mark.slow
def test_a_broken_recipe_is_mended_on_the_page(client: TestClient, kit: Bench) -> None:
    kit.workspace.recipe.write_text(TEXT.replace("[planner]", "[planner"))
    form = text_form(client, "artwork")
    assert "[planner\n" in form["text"]
    assert post(client, "text", **{**form, "text": TEXT}).status_code == 303
    assert kit.recipe() is not None


@pytest.mark.slow
def test_the_forms_in_a_browser_narrow_too(tab: Any, served: Served, tmp_path: Path) -> None:
    """Typed, refused, corrected, undone; a text that is being written outlives other changes."""
    kit = served.folder / "kit.toml"
    write_kit(tmp_path)
    for path in tmp_path.glob("*.*"):
        shutil.copy(path, served.folder)
    drop(tab, sorted((tmp_path / "artwork").iterdir()), 2)
    drawn(tab, served, "kit")
    tab.locator("#as-text-fold > summary").click()
    tab.fill("#recipe-text", TEXT)
    tab.click("#save-text")
    until(lambda: kit.read_text() == TEXT)
    drawn(tab, served, "kit?row=2")
    tab.fill("#all-rows-2-text", "Mon\nTue")
    tab.press("#all-rows-2-text", "Tab")
    until(lambda: 'text = ["Mon", "Tue"]' in kit.read_text())
    tab.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true })")
    tab.fill("#all-rows-2-border", "3")  # folded: it would do nothing on these
    tab.press("#all-rows-2-border", "Tab")
    tab.wait_for_selector("#all-rows-2-border-fault")
    assert tab.input_value("#all-rows-2-border") == "3"
    tab.fill("#all-rows-2-border", "")
    tab.press("#all-rows-2-border", "Tab")
    written = tab.input_value("#recipe-text").replace("Quince", "Medlar")
    tab.fill("#recipe-text", written)
    tab.fill("#count-0", "3")
    tab.press("#count-0", "Tab")
    until(lambda: "count = 3" in kit.read_text())
    tab.wait_for_selector("#undo:has-text('3 full box')")
    assert tab.input_value("#recipe-text") == written
    tab.click("#save-text")  # it was written from the recipe before that change
    tab.wait_for_selector("#recipe-text-fault")
    assert tab.input_value("#recipe-text") == written
    tab.click("#save-text")
    until(lambda: 'name = "Medlar"' in kit.read_text())
    tab.click("#undo")
    until(lambda: 'name = "Quince"' in kit.read_text())
    axe = (files_of("axe_playwright_python") / "axe.min.js").read_text()
    for place in ("kit?row=2", "palette", "print"):
        drawn(tab, served, place)
        tab.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        tab.evaluate(axe)
        tab.set_viewport_size({"width": 390, "height": 900})
        assert faults(tab, WCAG) == [], place
        assert tab.evaluate("document.documentElement.scrollWidth") == 390, place
