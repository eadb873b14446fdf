"""A change leaves every other sticker's fill, window and place as it was, for ``make`` too."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from kit.recipe import RowPart, read_recipe, with_patterns
from kit.render import render_page
from kitloom.kits import make_kit
from kitloom.page.edits import Incoming
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state.bench import FINE_DPI
from kitloom.page.views.changes_view import gave_way
from kitloom.report import jpeg_bytes

from .conftest import Shown, draw, edit, laid, made, shown, take_artwork, tile_file

pytestmark = pytest.mark.slow


def differing(before: Shown, after: Shown) -> set[tuple[int, int]]:
    return {key for key in before.keys() & after.keys() if before[key] != after[key]}


def any_edit(bench: Bench, chance: random.Random) -> tuple[str, dict[str, object], Any]:
    """Return a random edit, and which stickers of those shown it is about."""
    job = made(bench)
    recipe, rows = job.recipe, len(job.recipe.rows)
    row = chance.randrange(rows)
    place = chance.randrange(recipe.rows[row].count)
    colours = [swatch.hex for swatch in job.verdict.palette.swatches]
    fill = chance.choice([*recipe.fill_names, *colours])
    count = max(1, recipe.rows[row].count + chance.choice((-1, 1, 2)))
    old, new = chance.choice(colours), f"#{chance.randrange(16**6):06x}"
    layout = "pack" if recipe.sheet.layout == "rows" else "rows"
    one: dict[str, object] = {"row": row, "of": rows}
    same = {"sticker": recipe.rows[row].sticker, "fill": "as it is", "panel": ""}
    own = recipe.rows[row].fill
    if isinstance(own, str):
        same["fill"] = own
    swapped = {key for key, (choice, _) in shown(job).items() if old in (choice.fill, choice.panel)}
    return chance.choice(
        [
            ("fill", {**one, "place": place, "fill": fill}, {(row, place)}),
            ("row", {**one, **same, "count": count}, set()),
            ("swap", {"colour": old, "other": new}, swapped),
            ("sheet", {"key": "layout", "value": layout}, set()),
            ("sheet", {"key": "gap", "value": chance.choice((2, 3, 4))}, set()),
        ]
    )


@pytest.mark.parametrize(
    "seed", [1, *(pytest.param(seed, marks=pytest.mark.slow) for seed in (2, 3, 4, 5))]
)
def test_an_edit_leaves_every_other_fill_and_window(kit: Bench, seed: int) -> None:
    """Else a sheet that was set sticker by sticker is lost at each step, unseen."""
    chance = random.Random(seed)
    states = [(kit.workspace.text(), shown(made(kit)))]
    for _ in range(5):
        name, fields, about = any_edit(kit, chance)
        edit(kit, name, **fields)
        after = shown(made(kit))
        odd = differing(states[-1][1], after) - about
        assert [(states[-1][1][key], after[key]) for key in odd] == [], (name, fields)
        if kit.workspace.text() != states[-1][0]:
            states.append((kit.workspace.text(), after))
    again = make_kit(read_recipe(kit.workspace.recipe), [], lambda: None)
    assert shown(again) == states[-1][1]
    assert laid(again) == laid(made(kit))
    whole = [render_page(replace(one, dpi=FINE_DPI), again.kit.planes) for one in again.kit.sheets]
    pictures = tuple(jpeg_bytes(one.printed, quality=92) for one in whole)
    assert kit.drawing.pictures == pictures  # though most of it was drawn before
    for text, _ in reversed(states[:-1]):
        kit.undo()
        assert kit.workspace.text() == text
    draw(kit)
    assert shown(made(kit)) == states[0][1]


def test_a_fill_moves_nothing_and_what_a_count_moves_is_named(kit: Bench) -> None:
    first = made(kit)
    edit(kit, "fill", row=0, of=4, place=1, fill="#0f5c5c")
    assert gave_way(kit.drawing.earlier, made(kit)).words == ""
    assert laid(made(kit)) == laid(first)
    edit(kit, "row", row=0, of=4, sticker="half box", fill="as it is", panel="", count=12)
    now = made(kit)
    changes = gave_way(kit.drawing.earlier, now)
    was = laid(first)
    keys = dict(zip(shown(first), was, strict=True))
    moved = {
        number
        for number, key in enumerate(shown(now))
        if key in keys and was[keys[key]] != laid(now)[number]
    }
    assert moved
    assert changes.stickers == moved
    assert "in another place" in changes.words


@pytest.mark.slow
def test_those_after_one_that_was_taken_out_stay_and_keep_what_they_show(kit: Bench) -> None:
    """A hole is filled by hand; a sheet that slid together must be set once more."""
    first = made(kit)
    edit(kit, "remove-several", of=4, stickers="0.1 0.3")
    now, stayed = made(kit), {0: 0, 1: 2, 2: 4}
    before, after = shown(first), shown(now)
    assert [after[0, new] for new in stayed] == [before[0, old] for old in stayed.values()]
    was, lies = laid(first), laid(now)
    for new, old in stayed.items():
        there, box = was[old][1], lies[new][1]
        assert (box.x_mm, box.y_mm) == pytest.approx((there.x_mm, there.y_mm), abs=0.02)
        assert was[old][0] == lies[new][0]
    assert not gave_way(kit.drawing.earlier, now).stickers & stayed.keys()


@pytest.mark.slow
def test_an_edit_measures_no_tile_again(kit: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """Else each edit takes five times as long until its sheet is shown."""

    def again(*_: object) -> None:
        raise AssertionError("a tile was measured again")

    for name in ("fields_of", "thin_lines"):
        monkeypatch.setattr(f"kitloom.page.state.study_cache.{name}", again)
    edit(kit, "fill", row=0, of=4, place=1, fill="#0f5c5c")
    assert kit.drawing.fault is None
    assert made(kit).kit.choices[1].fill == "#0f5c5c"


@pytest.mark.slow
def test_stickers_taken_away_come_back_as_they_were(kit: Bench) -> None:
    before = shown(made(kit))
    row = {"row": 0, "of": 4, "sticker": "half box", "fill": "patterns", "panel": ""}
    edit(kit, "row", **row, count=3)
    edit(kit, "row", **row, count=5)
    after = shown(made(kit))
    assert {key for key in differing(before, after) if key[0] < 4} == set()
    other, _ = with_patterns(made(kit).recipe, [kit.workspace.artwork / "bands.png"])
    assert not other.holds  # other artwork has other windows


@pytest.mark.slow
def test_a_tile_of_another_size_keeps_its_stickers_and_finds_new_windows(kit: Bench) -> None:
    edit(kit, "sheet", key="gap", value="4")
    before = shown(made(kit))
    edit(kit, "repeat", tile="waves", repeat="17mm")
    after = shown(made(kit))
    assert [choice for choice, _ in after.values()] == [choice for choice, _ in before.values()]
    showing = {key for key, (one, _) in before.items() if "waves" in (one.fill, one.panel)}
    assert differing(before, after) <= showing
    held = [one for row in made(kit).recipe.rows for one in row.held]
    assert all(one.offset is None for one in held if one.fill == "waves")


@pytest.mark.slow
def test_a_colour_that_left_the_palette_gives_way_to_the_nearest(kit: Bench) -> None:
    edit(kit, "sheet", key="gap", value="4")
    before = shown(made(kit))
    gone = before[1, 0][0].fill
    edit(kit, "leave-out", colour=gone, leave="yes")
    after = shown(made(kit))
    colours = {swatch.hex for swatch in made(kit).verdict.palette.swatches}
    assert gone not in colours
    assert {key for key in differing(before, after) if key[0] == 0} == set()
    assert after[1, 0][0].fill in colours
    said = [one for one in made(kit).findings if one.code == "held-lost"]
    assert len(said) == 1
    assert "header" in said[0].what


@pytest.mark.slow
def test_dealt_out_anew_are_all_or_a_row_or_one(kit: Bench) -> None:
    """A deal that shows what was there already would be a button that does nothing."""
    edit(kit, "fill", row=0, of=4, place=1, fill="waves")
    before = shown(made(kit))
    edit(kit, "deal", row=0, of=4, place=0)
    one = shown(made(kit))
    assert differing(before, one) == {(0, 0)}
    assert one[0, 0][0].fill != before[0, 0][0].fill
    edit(kit, "deal", row=1, of=4)
    row = shown(made(kit))
    assert {number for number, _ in differing(one, row)} == {1}
    edit(kit, "deal")
    everything = shown(made(kit))
    assert {number for number, _ in differing(row, everything)} >= {0, 1}
    assert everything[0, 1][0].fill == "waves"  # chosen by hand
    kit.undo()
    draw(kit)
    assert shown(made(kit)) == row


@pytest.mark.slow
def test_a_row_of_one_colour_has_nothing_else_to_deal(kit: Bench) -> None:
    edit(kit, "row", row=3, of=4, sticker="dot", fill="#0f5c5c", panel="", count=6)
    text = kit.workspace.text()
    with pytest.raises(PageError, match="no other fill"):
        edit(kit, "deal", row=3, of=4)
    assert kit.workspace.text() == text


@pytest.mark.slow
def test_drafted_rows_follow_the_box_until_they_are_changed(bench: Bench, tmp_path: Path) -> None:
    content = tile_file(tmp_path / "waves.png", 1).read_bytes()
    take_artwork(bench, Incoming("waves.png", content))
    draw(bench)
    edit(bench, "pin", colour=made(bench).verdict.palette.swatches[0].hex, keep="yes")
    held = bench.recipe()
    assert held is not None
    assert held.holds
    counts = [row.count for row in held.rows]
    edit(bench, "box", **{"box-wide": "30", "box-high": "40"})
    assert counts != [row.count for row in rows_of(bench)]
    counts = [row.count for row in rows_of(bench)]
    edit(bench, "sheet", key="gap", value="6")
    assert counts == [row.count for row in rows_of(bench)]


def rows_of(bench: Bench) -> tuple[RowPart, ...]:
    recipe = bench.recipe()
    assert recipe is not None
    return recipe.rows
