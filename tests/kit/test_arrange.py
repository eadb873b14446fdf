"""Sheets topped up, packed, and what would save one: each claim tried out by laying again."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from kit.layout import advice, arrange, lay_out
from kit.layout.ground import Item
from kit.layout.packing import pack
from kit.recipe import Recipe, parse_recipe
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from kit.stickers import slots_of

AREA = Rect(10.0, 10.0, 190.0, 260.0)


def recipe_of(rows: str, sheet: str = "") -> Recipe:
    text = f'[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\ngap = "3mm"\n{sheet}\n'
    return parse_recipe(text + '[[patterns]]\nfile = "a.png"\n' + rows, Path("kit.toml"))


def boxes(count: int) -> str:
    return f'[[rows]]\nsticker = "full box"\ncount = {count}\nfill = "palette"\n'


def arranged(recipe: Recipe, slots):
    """Slots and layout as ``compose`` gets them."""
    return arrange(recipe, slots, AREA, lay_out(recipe, slots, AREA, recipe.sheet.gap))


def laid(recipe: Recipe):
    return arranged(recipe, slots_of(recipe))


def test_topping_up_fills_the_sheet_and_takes_no_other() -> None:
    plain = laid(recipe_of(boxes(4)))
    slots, layout = laid(recipe_of(boxes(4), 'top_up = ["checklist", "half box"]'))
    assert len(layout.sheets) == len(plain[1].sheets) == 1
    added = [slot.kind.name for slot in slots[4:]]
    assert {"checklist", "half box"} == set(added)
    spots = layout.sheets[0]
    assert len(spots) == len(slots)
    for one, other in combinations(spots, 2):
        assert not one.box.grow(1.49).overlaps(other.box.grow(1.49))
    # one more of either kind would need another sheet
    for kind in ("checklist", "half box"):
        more = boxes(4) + f'[[rows]]\nsticker = "{kind}"\ncount = {added.count(kind) + 1}\n'
        other = next(name for name in ("checklist", "half box") if name != kind)
        more += f'[[rows]]\nsticker = "{other}"\ncount = {added.count(other)}\n'
        assert len(laid(recipe_of(more))[1].sheets) > 1


def test_packing_turns_stickers_only_where_it_may() -> None:
    rows = boxes(3) + '[[rows]]\nsticker = "strip"\ncount = 6\nfill = "a"\nsize = "180mm x 12mm"\n'
    upright = rows.replace('size = "180', 'upright = true\nsize = "180')
    for text, turned_allowed in ((rows, True), (upright, False)):
        recipe = recipe_of(text + boxes(20), 'layout = "pack"')
        slots, layout = laid(recipe)
        turned = [
            slots[s.index].kind.name for sheet in layout.sheets for s in sheet if s.on_its_side
        ]
        if not turned_allowed:
            assert "strip" not in turned


@pytest.mark.parametrize("count", [17, 21])
def test_what_would_save_a_sheet_does_save_it(count: int) -> None:
    recipe = recipe_of(boxes(count))
    slots = slots_of(recipe)
    _, layout = arranged(recipe, slots)
    found = advice(recipe, slots, AREA, layout)
    assert len(layout.sheets) == 2
    assert found is not None
    assert found.fewer is not None
    fewer = laid(recipe_of(boxes(count - found.fewer)))[1]
    assert len(fewer.sheets) == 1
    not_enough = laid(recipe_of(boxes(count - found.fewer + 1)))[1]
    assert len(not_enough.sheets) == 2


def test_nothing_saves_a_single_sheet() -> None:
    recipe = recipe_of(boxes(3))
    slots = slots_of(recipe)
    assert advice(recipe, slots, AREA, arranged(recipe, slots)[1]) is None


def test_fillers_lie_together() -> None:
    """Strewn into every gap they have to be looked for."""
    recipe = recipe_of(boxes(10), 'layout = "pack"\ntop_up = ["label", "dot"]')
    slots, layout = laid(recipe)
    assert len(layout.sheets) == 1
    assert layout.parted == 0
    assert len(slots) > 40


def test_a_tidy_layout_keeps_rows_together_though_it_takes_a_sheet_more() -> None:
    """This kit fits two sheets only where each sticker is laid by itself."""
    items = [Item(25.0, 56.0, 0, may_turn=True)] * 7 + [Item(16.0, 32.0, 1)] * 3
    small = Rect(0.0, 0.0, 100.0, 80.0)
    sheets = [
        len(pack(items, small, 2.0, **how).sheets) for how in ({}, {"tidy": True}, {"quick": True})
    ]
    assert sheets == [2, 3, 3]


def test_a_packed_sticker_is_laid_on_its_side_unless_it_stays_upright() -> None:
    """Day boxes of 40 x 52 mm, where only 45 mm are free down the page."""
    low = Rect(0.0, 0.0, 60.0, 45.0)
    recipe = recipe_of(boxes(1), 'layout = "pack"')
    ((spot,),) = lay_out(recipe, slots_of(recipe), low, 3.0).sheets
    assert spot.on_its_side
    upright = recipe_of(boxes(1) + "upright = true\n", 'layout = "pack"')
    with pytest.raises(RecipeError, match="does not fit"):
        lay_out(upright, slots_of(upright), low, 3.0)
