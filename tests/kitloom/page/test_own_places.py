"""Stickers moved by hand: one line of the recipe's text, and every other one stays where it is."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from kit.layout import lay_out, sticker_area, usable_area
from kit.recipe import OwnPlace, PatternPart, parse_recipe, read_recipe
from kit.render import render_page
from kit.stickers import slots_of
from kitloom.kits import make_kit
from kitloom.page.edits import Form
from kitloom.page.edits.table import apply
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt
from kitloom.page.state.bench import FINE_DPI
from kitloom.page.views.changes_view import gave_way
from patterns.plane import Plane

from .conftest import draw, edit, laid, made, shown, tile_file

TEXT = """[planner]
box = "40mm x 52mm"
[sheet]
paper = "A4"
[[patterns]]
file = "pods.png"
[[rows]]
sticker = "half box"
count = 3
at = ["auto", "20mm x 30mm on sheet 2"]
"""


def places(text: str) -> list[OwnPlace | None]:
    row = parse_recipe(text, Path("kit.toml")).rows[0]
    return [row.at_of(i) for i in range(row.count)]


def test_a_place_is_written_for_its_own_sticker_alone() -> None:
    row = parse_recipe(TEXT, Path("kit.toml")).rows[0]
    there = OwnPlace(12.345, 80.0, on_its_side=True)
    text = rt.with_places(TEXT, 0, {0: there}, row)
    assert 'at = ["12.35mm x 80mm on its side", "20mm x 30mm on sheet 2"]' in text
    assert places(text)[1:] == [OwnPlace(20.0, 30.0, 2), None]
    assert "at =" not in rt.with_places(TEXT, 0, {1: None}, row)


def test_a_place_goes_with_its_sticker_when_others_come_and_go() -> None:
    row = parse_recipe(TEXT, Path("kit.toml")).rows[0]
    there = OwnPlace(20.0, 30.0, 2)
    assert places(rt.without_stickers(TEXT, 0, [0], row)) == [there, None]
    assert places(rt.without_stickers(TEXT, 0, [1], row)) == [None, None]
    doubled = rt.with_doubled(TEXT, 0, {0: "patterns", 1: "patterns"}, row)
    assert places(doubled) == [None, None, there, None, None]


@pytest.mark.slow
def test_one_that_is_moved_moves_no_other_and_changes_no_fill(kit: Bench) -> None:
    """Else a sheet that was set sticker by sticker is lost at each step, unseen."""
    text, first = kit.workspace.text(), made(kit)
    fields = {"of": 4, "stickers": "0.1 3.0", "to": "150 200 1 0;20.004 230 1 0"}
    edit(kit, "place", **fields)
    now = made(kit)
    assert shown(now) == shown(first)
    was, after = laid(first), laid(now)
    keys = list(shown(now))
    moved = {keys[i] for i in was if was[i] != after[i]}
    fillers = {key for key in keys if key[0] == 4}  # they only fill the sheet, and make room
    assert moved - fillers == {(0, 1), (3, 0)}
    assert moved & fillers < fillers
    box = after[keys.index((0, 1))][1]
    assert (box.x_mm, box.y_mm) == (150.0, 200.0)
    assert 'at = ["auto", "150mm x 200mm"]' in kit.workspace.text()
    named = gave_way(first, now)
    assert {keys[i] for i in named.stickers} == moved & fillers
    again = make_kit(read_recipe(kit.workspace.recipe), [], lambda: None)
    assert laid(again) == after
    edit(kit, "place", of=4, row=0, place=1, how="auto")
    assert laid(made(kit))[keys.index((0, 1))] == was[keys.index((0, 1))]
    edit(kit, "place", of=4, row=3, place=0, how="auto")
    assert laid(made(kit)) == was
    for _ in range(3):
        kit.undo()
    assert kit.workspace.text() == text


@pytest.mark.slow
def test_a_place_that_is_taken_or_out_of_reach_is_refused(kit: Bench) -> None:
    text, there = kit.workspace.text(), laid(made(kit))
    one = {"of": 4, "row": 0, "place": 1}
    box = there[3][1]
    taken = {"left": f"{box.x_mm + 5:.2f}", "top": f"{box.y_mm:.2f}"}
    for wish, said in (
        (taken, "half box 4 lies there"),
        ({"left": "1", "top": "20"}, "stickers may lie from"),
        ({"left": "50", "top": "twenty"}, "twenty"),
    ):
        with pytest.raises(PageError, match=said) as refused:
            edit(kit, "place", **one, **wish)
        assert refused.value.field in {"left", "top"}
        assert len(str(refused.value)) <= 300
        assert kit.workspace.text() == text


@pytest.mark.slow
def test_a_sheet_after_an_empty_one_moves_up_and_takes_others(kit: Bench) -> None:
    """Else the kit has no sheet any more, or a sticker set beside another comes to a third one."""
    edit(kit, "place", of=4, row=0, place=1, left="50", top="20", sheet=3)
    assert kit.drawing.fault is None
    assert [number for number, _ in laid(made(kit)).values()].count(1) >= 1
    edit(kit, "place", of=4, row=0, place=2, left="110", top="20", sheet=2)
    there = laid(made(kit))
    assert there[1][0] == there[2][0] == 1
    assert "on sheet 3" not in kit.workspace.text()


@pytest.mark.slow
def test_a_place_that_an_edit_leaves_no_room_for_is_let_go_and_named(kit: Bench) -> None:
    """Else a wider gap would leave the maker without a sheet to look at."""
    edit(kit, "place", of=4, stickers="3.0 3.1", to="20 230 1 0;33 230 1 0")
    edit(kit, "sheet", key="gap", value="5")
    assert kit.drawing.fault is None
    assert [row.at for row in made(kit).recipe.rows if row.at] == [(OwnPlace(20.0, 230.0),)]
    assert "1 placed sticker did not fit any more" in kit.workspace.undoable()[0].label


@pytest.mark.slow
def test_an_edit_draws_no_other_sticker_again(kit: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """Else each edit of one sticker takes as long as the whole sheet."""
    edit(kit, "fill", of=4, row=0, place=0, fill="waves")
    drawn, sample = [], Plane.sample

    def counted(self: Plane, *args: Any, **more: Any) -> Any:
        drawn.append(args[4])
        return sample(self, *args, **more)

    monkeypatch.setattr(Plane, "sample", counted)
    edit(kit, "fill", of=4, row=0, place=0, fill="ripples")
    assert drawn.count(FINE_DPI) == 1
    monkeypatch.undo()
    made_now = made(kit).kit
    files = {part.label: kit.workspace.artwork / part.file.name for part in recipe_parts(kit)}
    for sheet in made_now.sheets:
        again = render_page(replace(sheet, dpi=FINE_DPI), kit.windows.planes(made_now, files))
        afresh = render_page(replace(sheet, dpi=FINE_DPI), made_now.planes)
        assert np.array_equal(again.printed, afresh.printed)


def recipe_parts(kit: Bench) -> tuple[PatternPart, ...]:
    recipe = kit.recipe()
    assert recipe is not None
    return recipe.patterns


def test_a_shorter_row_loses_the_places_of_those_that_are_gone() -> None:
    """Else a row of twelve cannot become one of eight: ten places would stay in its list."""
    places = ", ".join(["'auto'"] * 8 + ["'9mm x 9mm'"] * 4)
    text = f"[[rows]]\nsticker = 'dot'\ncount = 8\nat = [{places}]\n"
    short = rt.without_keys(text, [("rows", 0, "at", place) for place in range(8, 12)])
    assert short.count("mm x") == 0
    assert short.count("auto") == 8


def test_a_sticker_doubled_or_taken_out_on_the_sheet_moves_no_other(bench: Bench) -> None:
    """A maker set her sheet by hand; one more dot must not lay all of it anew."""
    rows = (("full box", 3), ("dot", 5), ("strip", 2))
    words = "".join(
        f'[[rows]]\nsticker = "{kind}"\ncount = {count}\nfill = "#3b5b7a"\n' for kind, count in rows
    )
    tile_file(bench.workspace.folder / "artwork" / "waves.png")
    pattern = '[[patterns]]\nfile = "artwork/waves.png"\nrepeat = "30mm"\n'
    bench.edit(
        "a kit",
        lambda _: f'[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n{pattern}{words}',
    )

    def lies(row: int, place: int) -> tuple[int, float, float]:
        recipe = bench.parse(bench.workspace.text())
        slots = slots_of(recipe)
        area = sticker_area(usable_area(recipe.sheet), recipe)
        laid = lay_out(recipe, slots, area, recipe.sheet.gap)
        number = sum(one.count for one in recipe.rows[:row]) + place
        return next(
            (sheet, round(spot.box.x_mm, 1), round(spot.box.y_mm, 1))
            for sheet, spots in enumerate(laid.sheets)
            for spot in spots
            if spot.index == number
        )

    def others() -> list[tuple[int, float, float]]:
        return [lies(0, 0), lies(0, 1), lies(1, 0), lies(1, 2), lies(2, 0), lies(2, 1)]

    before = others()
    apply(bench, "double-sticker", Form({"row": "0", "place": "2", "of": "3"}))
    assert others() == before
    assert len({lies(0, place) for place in range(4)}) == 4
    apply(bench, "double-sticker", Form({"row": "1", "place": "4", "of": "3"}))
    assert others() == before
    last = lies(1, 5)
    apply(bench, "remove-sticker", Form({"row": "1", "place": "1", "of": "3"}))
    assert [lies(1, 0), lies(1, 1), lies(1, 4), lies(2, 1)] == [
        before[2],
        before[3],
        last,
        before[5],
    ]


@pytest.mark.slow
def test_a_copy_that_lies_on_another_sheet_is_named(bench: Bench) -> None:
    """Else a maker doubles a sticker, sees nothing come, and doubles it again."""
    tile_file(bench.workspace.folder / "artwork" / "waves.png")
    pattern = '[[patterns]]\nfile = "artwork/waves.png"\nrepeat = "30mm"\n'
    sheet = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "105mm x 148mm"\n'
    row = '[[rows]]\nsticker = "full box"\ncount = 4\nfill = "#3b5b7a"\n'
    bench.edit("a kit", lambda _: f"{sheet}{pattern}{row}")
    draw(bench)
    assert len(made(bench).kit.sheets) == 1
    edit(bench, "double-sticker", row=0, place=0, of=1)
    changes = gave_way(bench.drawing.earlier, made(bench))
    assert "1 new full box lies on sheet 2." in changes.words
    assert len(changes.stickers) == 1
