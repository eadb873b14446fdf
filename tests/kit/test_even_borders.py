"""Borders that look even where the cut misses, by hand.

That 1.5 to 1 still looks even is common practice, no published source.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from kit import letters
from kit.letters import width_ems
from kit.recipe import parse_recipe
from kit.registration import EVEN_RATIO, border_ratio, narrowest_border_mm, needed_border_mm
from kit.shapes import Rect
from kit.stickers import even_slots, filler_slot, slots_of


@pytest.mark.parametrize(
    ("border", "miss", "ratio"),
    [
        (3.0, 0.6, 1.5),
        (1.0, 0.5, 3.0),
        (2.0, 0.0, 1.0),
        (0.5, 0.5, math.inf),
        (0.4, 0.5, math.inf),
        (-0.4, 0.5, math.inf),
    ],
)
def test_a_border_shows_more_on_one_side_by_twice_the_miss(border, miss, ratio) -> None:
    assert border_ratio(border, miss) == pytest.approx(ratio)


def test_the_border_that_is_needed_differs_by_just_the_ratio() -> None:
    for miss in (0.2, 0.5, 1.1):
        assert border_ratio(needed_border_mm(miss), miss) == pytest.approx(EVEN_RATIO)
    assert needed_border_mm(0.5) == pytest.approx(2.5)


@pytest.mark.parametrize(
    ("sides", "narrowest"),
    [
        ((3, 4, 3, 4), 3),
        ((5, 4, 5, 4), 4),
        ((3, 4, 3.04, 4), 3),
        ((3, 4, 2.96, 4), 2.96),
        ((3, 4, 3.06, 4), 4),  # out of the middle on purpose
        ((3, 4, 2.94, 4), 4),
        ((3, 2, 3, 2.04), 2),
        ((3, 2, 3, 1.94), 3),
        ((3, 2, 4, 1), math.inf),
    ],
)
def test_only_a_border_with_its_like_opposite_is_compared(sides, narrowest) -> None:
    """Else a maker is told to widen a border that was meant to be narrow."""
    left, top, right, bottom = sides
    printed = Rect(10 + left, 20 + top, 60 - left - right, 40 - top - bottom)
    assert narrowest_border_mm(Rect(10, 20, 60, 40), printed) == pytest.approx(narrowest)


# ---- stickers whose places are known


def asked(*rows: str):
    text = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n'
    text += '[[patterns]]\nfile = "a.png"\n'
    return parse_recipe(text + "".join(f"[[rows]]\n{row}\n" for row in rows), Path("kit.toml"))


def even(row: str, miss_mm: float):
    recipe = asked(row)
    slots = slots_of(recipe)
    return even_slots(recipe, slots, [miss_mm] * len(slots))[0]


PANEL = 'sticker = "full box"\nfill = "palette"\npanel = "white"\n'


def test_the_worst_place_of_a_row_decides_for_all_of_it() -> None:
    """Else stickers of one row have borders of two widths."""
    recipe = asked('sticker = "dot"\ncount = 3\nfill = "a"', PANEL + "count = 2")
    found = even_slots(recipe, slots_of(recipe), [0.2, 0.6, 0.4, 0.7, 0.8])
    assert [slot.clear_mm for slot in found] == pytest.approx([3.0, 3.0, 3.0, 4.0, 4.0])
    assert [slot.border_mm for slot in found] == pytest.approx([0.0, 0.0, 0.0, 4.0, 4.0])
    with pytest.raises(ValueError, match="zip"):
        even_slots(recipe, slots_of(recipe), [0.2])


@pytest.mark.parametrize(
    ("more", "miss", "border"),
    [
        ("", 0.3, 3.0),  # never under 3 mm
        ("", 0.6, 3.0),
        ("", 0.602, 3.1),  # whole tenths, upwards
        ("", 0.62, 3.1),
        ("", 2.0, 10.0),
        ('frame = "a"\nframe_width = "1.5mm"\n', 0.8, 5.5),
        ('border = "4mm"\n', 2.0, 4.0),  # as it was asked for
        ('size = "30mm x 24mm"\n', 2.0, 10.0),  # 4 mm of panel are left
        ('size = "30mm x 23mm"\n', 2.0, 9.5),
        ('size = "23mm x 30mm"\n', 2.0, 9.5),
    ],
)
def test_a_border_grows_with_the_miss_as_far_as_its_panel_lets_it(more, miss, border) -> None:
    assert even(PANEL + more + "count = 1", miss).border_mm == pytest.approx(border)


def test_a_border_is_never_narrower_than_the_recipes_registration_asks_for() -> None:
    recipe = asked(PANEL + "count = 1")
    (slot,) = slots_of(recipe)
    assert even_slots(recipe, [slot], [0.0])[0].border_mm == slot.border_mm == 3.0


def test_words_of_a_stated_size_keep_their_room_on_the_panel() -> None:
    """Their widest, and 1.5 mm on each side; other words give way."""
    row = PANEL + 'text = ["Eggs", "Marmalade"]\n'
    wide = width_ems("Marmalade") * 12 * 25.4 / 72
    stated = even(row + 'text_size = "12pt"', 4.0)
    assert stated.border_mm == pytest.approx((40 - wide) / 2 - 1.5, abs=1e-3)
    assert stated.text_pt == pytest.approx(12.0)
    free = even(row, 2.0)
    assert free.border_mm == pytest.approx(10.0)
    assert free.text_pt < slots_of(asked(row))[0].text_pt
    bare = even(PANEL + "count = 1", 2.0)
    assert (bare.border_mm, bare.text_pt) == (10.0, 0.0)


def test_words_in_a_font_of_the_makers_own_are_measured_in_it() -> None:
    """Else wide letters run into the border that was widened."""
    fonts = Path(letters.__file__).parent / "fonts"
    (own,) = [
        file
        for file in sorted(fonts.glob("*.ttf"))
        if width_ems("Marmalade", file) != width_ems("Marmalade")
    ]
    wide = width_ems("Marmalade", own) * 12 * 25.4 / 72
    row = PANEL + 'text = "Marmalade"\ntext_size = "12pt"\n'
    recipe = asked(f'{row}[letters]\nfont = "{own.as_posix()}"')
    (slot,) = even_slots(recipe, slots_of(recipe), [4.0])
    assert slot.border_mm == pytest.approx((40 - wide) / 2 - 1.5, abs=1e-3)


def test_a_list_keeps_its_room() -> None:
    """Twenty millimetres to write on, and its marks: here (52 - 42) / 2 above them."""
    row = 'sticker = "full box"\nfill = "palette"\npanel = "ruled"\n'
    assert even(row + "checks = 3\ncount = 1", 4.0).border_mm == pytest.approx(10.0)
    # five lines 8 mm apart, a mark of 4.8 mm, a millimetre above and below
    marked = even(row + 'checks = 5\npitch = "8mm"\ncount = 1', 4.0)
    assert marked.border_mm == pytest.approx((52 - (4 * 8 + 4.8 + 2)) / 2)
    # a title takes as much as a line
    titled = even(row + 'checks = 4\npitch = "8mm"\ntext = "To do"', 4.0)
    assert titled.border_mm == pytest.approx((52 - (3 * 8 + 4.8 + 2 + 8)) / 2)


def test_what_fills_a_sheet_up_has_even_borders_too() -> None:
    recipe = asked('sticker = "dot"\ncount = 1\nfill = "palette"')
    (slot,) = slots_of(recipe)
    filler = filler_slot(recipe, "writing box", 1)
    _, found = even_slots(recipe, [slot, filler], [0.2, 1.0])
    assert (found.clear_mm, found.border_mm) == (5.0, 5.0)
    plain = filler_slot(recipe, "half box", 1)
    assert even_slots(recipe, [slot, plain], [0.2, 1.0])[1].border_mm == 0.0
