"""Stickers that the maker put somewhere: they lie there, and moving one moves no other."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from kit.compose import without_misplaced
from kit.layout import Layout, arrange, check_places, lay_out, mark_keep_outs, misplaced
from kit.recipe import OwnPlace, Recipe, parse_recipe, with_box
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from kit.stickers import slots_of

AREA = Rect(10.0, 10.0, 190.0, 260.0)
GAP_MM = 3.0


def recipe_of(*rows: str, sheet: str = "") -> Recipe:
    """A recipe of rows such as "half box, 5, at = [...]"."""
    text = f'[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\ngap = "{GAP_MM}mm"\n{sheet}\n'
    text += '[[patterns]]\nfile = "a.png"\n'
    for row in rows:
        kind, count, *more = row.split(", ", 2)
        text += f'[[rows]]\nsticker = "{kind}"\ncount = {count}\nfill = "a"\n{"".join(more)}\n'
    return parse_recipe(text, Path("kit.toml"))


def laid(recipe: Recipe, area: Rect = AREA) -> Layout:
    """Where stickers lie, as ``compose`` asks for it."""
    slots = slots_of(recipe)
    check_places(recipe, slots, area)
    slots, layout = arrange(recipe, slots, area, lay_out(recipe, slots, area, recipe.sheet.gap))
    return layout


def boxes(layout: Layout) -> dict[int, tuple[int, Rect]]:
    sheets = enumerate(layout.sheets)
    return {spot.index: (number, spot.box) for number, spots in sheets for spot in spots}


def assert_apart(layout: Layout) -> None:
    for spots in layout.sheets:
        for one in spots:
            assert AREA.holds(one.box, slack_mm=1e-6)
        for one, other in combinations(spots, 2):
            apart = GAP_MM / 2.0 - 0.011  # places are written in hundredths of a millimetre
            assert not one.box.grow(apart).overlaps(other.box.grow(apart))


@pytest.mark.parametrize(
    ("at", "places"),
    [
        ('["auto", "12.5mm x 1in"]', [None, OwnPlace(12.5, 25.4)]),
        ('["12.5mm 80mm on sheet 2"]', [OwnPlace(12.5, 80.0, 2)]),
        ('"1 x 2cm on sheet 12, on its side"', [OwnPlace(10.0, 20.0, 12, on_its_side=True)]),
        ('["", "12,5mm x 80mm on its side"]', [None, OwnPlace(12.5, 80.0, on_its_side=True)]),
    ],
)
def test_each_sticker_has_its_own_place(at: str, places: list[OwnPlace | None]) -> None:
    slots = slots_of(recipe_of(f"half box, 3, at = {at}"))
    assert [slot.at for slot in slots] == [*places, None, None, None][:3]


@pytest.mark.parametrize(
    "at", ['"left"', '["12mm"]', "5", "[[1, 2]]", '["1mm x 2mm on sheet 0"]', '["1 x 2"]']
)
def test_what_is_no_place_is_refused_in_one_line(at: str) -> None:
    with pytest.raises(RecipeError, match=r"rows.1.at.*place") as refused:
        recipe_of(f"half box, 3, at = {at}")
    assert len(str(refused.value)) <= 300


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        (['half box, 1, at = ["5mm x 20mm"]'], "half box 1 cannot lie.*stickers may lie from 10"),
        (
            ['half box, 2, at = ["auto", "20mm x 260mm"]'],
            "half box 2 cannot lie.*260 to 286 mm down",
        ),
        (['half box, 2, at = ["20mm x 20mm", "30mm x 30mm"]'], "half box 2.*half box 1 is there"),
        (
            ['half box, 1, at = ["20mm x 20mm"]', 'dot, 1, at = ["62mm x 20mm"]'],
            "rows.2.at: dot 1.*half box 1 is nearer than the gap",
        ),
        (['header, 1, text = "notes"\nat = "20mm x 20mm on its side"'], "never laid on its side"),
        (['half box, 1, at = ["auto", "20mm x 20mm"]'], "only 1 stickers"),
    ],
)
def test_a_place_that_no_sticker_can_have_is_refused_in_one_line(
    rows: list[str], fault: str
) -> None:
    with pytest.raises(RecipeError, match=fault) as refused:
        laid(recipe_of(*rows))
    assert len(str(refused.value)) <= 300


def test_a_mark_for_the_machine_keeps_its_quiet_zone() -> None:
    mark = '[[marks]]\nshape = "disc"\nat = "30mm x 30mm"\nsize = "5mm"\n'
    recipe = recipe_of(f'half box, 1, at = ["20mm x 20mm"]\n{mark}')
    with pytest.raises(RecipeError, match="a mark for the machine is there"):
        laid(recipe)


@pytest.mark.parametrize("layout", ["rows", "pack"])
def test_moving_one_to_a_free_place_moves_no_other(layout: str) -> None:
    """Else a sheet that was set by hand is lost with the next sticker that is set."""
    rows = ["half box, 7", "header, 5", "dot, 9"]
    sheet = f'layout = "{layout}"'
    before = boxes(laid(recipe_of(*rows, sheet=sheet)))
    rows[1] += ', at = ["auto", "150mm x 240mm"]'
    now = laid(recipe_of(*rows, sheet=sheet))
    after = boxes(now)
    assert after.pop(8)[1].centre_mm[1] > 240.0
    assert {i: one for i, one in before.items() if i != 8} == after
    assert now.gave_way == ()
    assert_apart(now)


@pytest.mark.parametrize("layout", ["rows", "pack"])
def test_what_is_in_the_way_moves_to_the_nearest_free_place(layout: str) -> None:
    rows, sheet = ["half box, 7", "dot, 12"], f'layout = "{layout}"'
    before = boxes(laid(recipe_of(*rows, sheet=sheet)))
    _, there = before[10]
    at = f'at = ["auto", "{there.x_mm - 4:.2f}mm x {there.y_mm - 4:.2f}mm"]'
    now = laid(recipe_of(f"half box, 7, {at}", rows[1], sheet=sheet))
    after = boxes(now)
    assert_apart(now)
    assert len(after) == 19
    moved = {i for i in before if before[i] != after[i]}
    assert 10 in now.gave_way
    assert moved == {1, *now.gave_way}


def test_what_has_no_place_left_goes_to_the_next_sheet() -> None:
    full = ["full box, 16", "header, 4"]
    before = boxes(laid(recipe_of(*full)))
    assert len(before) == 20
    assert {number for number, _ in before.values()} == {0}
    middle = 'full box, 16, at = ["36mm x 70mm"]'
    now = laid(recipe_of(middle, full[1]))
    assert len(now.sheets) == 2
    assert_apart(now)
    assert sorted(boxes(now)) == sorted(before)
    assert set(now.gave_way) >= {spot.index for spot in now.sheets[1]}


def test_a_sticker_moves_to_another_sheet_and_the_last_one_takes_its_sheet_with_it() -> None:
    rows = ["full box, 13", 'half box, 1, size = "40mm x 45mm"']
    assert [len(spots) for spots in laid(recipe_of(*rows)).sheets] == [13, 1]
    more = laid(recipe_of(rows[0] + ', at = ["20mm x 20mm on sheet 2"]', rows[1]))
    assert [len(spots) for spots in more.sheets] == [12, 2]
    assert_apart(more)
    next_one = laid(recipe_of(rows[0] + ', at = ["20mm x 20mm on sheet 3"]', rows[1]))
    assert [len(spots) for spots in next_one.sheets] == [12, 1, 1]
    fewer = laid(recipe_of(rows[0], rows[1] + '\nat = ["100mm x 200mm"]'))
    assert [len(spots) for spots in fewer.sheets] == [14]
    assert_apart(fewer)


@pytest.mark.parametrize("top_up", ["", 'layout = "pack"\ntop_up = ["dot"]'])
def test_a_sheet_after_an_empty_one_moves_up(top_up: str) -> None:
    """Else a smaller gap or larger paper leaves a kit that cannot be drawn any more."""
    two = 'half box, 4, at = ["20mm x 20mm on sheet 3", "20mm x 20mm on sheet 5"]'
    now = laid(recipe_of(two, sheet=top_up), Rect(10.0, 10.0, 90.0, 80.0))
    assert len(now.sheets) == 3
    there = boxes(now)
    assert [there[i][0] for i in range(4)] == [1, 2, 0, 0]
    assert (there[0][1].x_mm, there[1][1].y_mm) == (20.0, 20.0)
    assert_apart(now)
    assert len(laid(recipe_of('half box, 1, at = ["20mm x 20mm on sheet 2"]')).sheets) == 1


def test_of_two_that_meet_the_one_that_is_moved_is_in_the_wrong() -> None:
    """Else a maker is told that the sticker in the hand is in its own way."""
    recipe = recipe_of('half box, 2, at = ["20mm x 20mm", "30mm x 30mm"]')
    slots = slots_of(recipe)
    assert list(misplaced(recipe, slots, AREA)) == [(1, "half box 1 is there too")]
    assert list(misplaced(recipe, slots, AREA, last=[0])) == [(0, "half box 2 is there too")]


def test_a_larger_box_lets_go_of_the_places_that_it_leaves_no_room_for() -> None:
    row = 'half box, 3, at = ["20mm x 20mm", "64mm x 20mm", "20mm x 150mm"]'
    recipe = recipe_of(row)
    assert without_misplaced(recipe) == (recipe, {})
    larger, gone = without_misplaced(with_box(recipe, "44mm x 52mm"))
    assert gone == {0: (1,)}
    assert larger.rows[0].at == (OwnPlace(20.0, 20.0), None, OwnPlace(20.0, 150.0))
    assert_apart(laid(larger))


def test_stickers_that_only_fill_the_sheet_make_room() -> None:
    """A hole to move to would be nowhere on a sheet that is topped up."""
    sheet, small = 'layout = "pack"\ntop_up = ["dot"]', Rect(10.0, 10.0, 90.0, 80.0)
    before = laid(recipe_of("half box, 2", sheet=sheet), small)
    (there,) = (spot.box for spot in before.sheets[0] if spot.index == 1)
    at = f'at = ["{there.x_mm:.2f}mm x {there.y_mm + 30:.2f}mm"]'
    now = laid(recipe_of(f"half box, 2, {at}", sheet=sheet), small)
    assert len(now.sheets) == 1
    assert_apart(now)
    was, after = boxes(before), boxes(now)
    assert sorted(after) == list(range(len(after)))
    assert was[1] == after[1]
    assert now.gave_way == ()
    assert 2 < len(after) <= len(was)


# ---- the limits of a place, each on both sides


def faults(*rows: str, last: tuple[int, ...] = ()) -> list[tuple[int, str]]:
    recipe = recipe_of(*rows)
    return list(misplaced(recipe, slots_of(recipe), AREA, last))


@pytest.mark.parametrize(
    ("inside", "outside"),
    [
        ("9.98mm x 20mm", "9.97mm x 20mm"),
        ("160.02mm x 20mm", "160.03mm x 20mm"),
        ("20mm x 9.98mm", "20mm x 9.97mm"),
        ("20mm x 244.02mm", "20mm x 244.03mm"),
    ],
)
def test_a_place_may_pass_the_area_by_what_is_rounded_off(inside: str, outside: str) -> None:
    assert faults(f'half box, 1, at = ["{inside}"]') == []
    ((number, why),) = faults(f'half box, 1, at = ["{outside}"]')
    assert number == 0
    assert why.endswith("stickers may lie from 10 to 200 and 10 to 270 mm")


def test_what_is_said_of_a_place_that_cannot_be() -> None:
    said = []
    for row in ('at = ["5.25mm x 20mm"]', 'at = ["150mm x 250mm on its side"]'):
        with pytest.raises(RecipeError) as refused:
            laid(recipe_of("dot, 2", f"half box, 1, {row}"))
        said.append(str(refused.value))
    assert said == [
        'kit.toml: rows.2.at: half box 1 cannot lie at "5.25mm x 20mm" (it takes 5.25 to 45.25 mm '
        "across and 20 to 46 mm down; stickers may lie from 10 to 200 and 10 to 270 mm). "
        'Write another place, or "auto" to have kitloom find one.',
        'kit.toml: rows.2.at: half box 1 cannot lie at "150mm x 250mm" on its side (it takes 150 '
        "to 176 mm across and 250 to 290 mm down; stickers may lie from 10 to 200 and 10 to 270 "
        'mm). Write another place, or "auto" to have kitloom find one.',
    ]


@pytest.mark.parametrize(
    ("at", "why"),
    [
        ("62.985mm x 20mm", None),
        ("62.975mm x 20mm", "half box 1 is nearer than the gap"),
        ("60.01mm x 20mm", "half box 1 is nearer than the gap"),
        ("59.9mm x 20mm", "half box 1 is there too"),
        ("62mm x 48.985mm", None),
        ("62mm x 48.975mm", "half box 1 is nearer than the gap"),
        ("20mm x 20mm on sheet 2", None),
    ],
)
def test_the_gap_to_one_that_was_placed_before(at: str, why: str | None) -> None:
    found = faults(f'half box, 2, at = ["20mm x 20mm", "{at}"]')
    assert found == ([] if why is None else [(1, why)])


def test_one_that_cannot_lie_there_is_in_nobodys_way() -> None:
    three = 'half box, 3, at = ["20mm x 20mm", "50mm x 40mm", "64mm x 20mm"]'
    assert faults(three) == [(1, "half box 1 is there too")]
    assert faults(three, last=(0,)) == [
        (2, "half box 2 is there too"),
        (0, "half box 2 is there too"),
    ]
    upright = faults('header, 2, text = "notes"\nat = ["auto", "20mm x 20mm on its side"]')
    assert upright == [(1, "it is never laid on its side")]


def test_a_sticker_may_touch_the_zone_of_a_mark() -> None:
    mark = '[[marks]]\nshape = "disc"\nat = "100mm x 100mm"\nsize = "5mm"\n'
    (zone,) = mark_keep_outs(recipe_of(f"half box, 1, \n{mark}"))
    for x, y, clear in (
        (zone.right_mm - 0.019, 95.0, True),
        (zone.right_mm - 0.031, 95.0, False),
        (95.0, zone.bottom_mm - 0.019, True),
        (95.0, zone.bottom_mm - 0.031, False),
    ):
        found = faults(f'half box, 1, at = ["{x:.3f}mm x {y:.3f}mm"]\n{mark}')
        told = [(0, "a mark for the machine is there, and nothing may lie so near to one")]
        assert found == ([] if clear else told)


@pytest.mark.parametrize("kinds", ['"dot", "label"', '"label", "dot"', '"dot"'])
def test_of_fillers_that_find_no_place_the_last_of_their_kind_go(kinds: str) -> None:
    """Each that stays is still of the size that its place was made for."""
    sheet, small = f'layout = "pack"\ntop_up = [{kinds}]', Rect(10.0, 10.0, 90.0, 80.0)
    recipe = recipe_of('half box, 2, at = ["22mm x 22mm"]', sheet=sheet)
    slots = slots_of(recipe)
    all_slots, layout = arrange(
        recipe, slots, small, lay_out(recipe, slots, small, recipe.sheet.gap)
    )
    there = boxes(layout)
    assert sorted(there) == list(range(len(all_slots)))
    for index, (_, box) in there.items():
        slot = all_slots[index]
        assert sorted((box.width_mm, box.height_mm)) == pytest.approx(
            sorted((slot.width_mm, slot.height_mm))
        )
    rows = [slot.row for slot in all_slots]
    assert rows == sorted(rows)
    free = recipe_of("half box, 2", sheet=sheet)
    plain, _ = arrange(free, slots_of(free), small, lay_out(free, slots_of(free), small, 3.0))
    assert len(all_slots) < len(plain), "none had to go"
