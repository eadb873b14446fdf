"""Lists on panels: marks and lines of one pitch, a title, and what has no room.

Sizes are common practice, no published source.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.shapes import Rect, bounding_box
from kit.stickers import even_slots, light_of, slots_of, title_colour

LIST = 'sticker = "checklist"\nsize = "1 x 1 box"\npanel = "ruled"\n'


def recipe(row: str):
    head = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n'
    head += '[[patterns]]\nfile = "a.png"\n[[rows]]\nfill = "palette"\n'
    count = "" if "text" in row else "count = 1\n"
    return parse_recipe(f"{head}{row}{count}", Path("kit.toml"))


def one(row: str):
    return slots_of(recipe(row))[0]


def parts(slot, x=7.0, y=11.0):
    """Marks, lines and panel of a sticker that lies there, as boxes."""
    box = Rect(x, y, slot.width_mm, slot.height_mm)
    marks = [bounding_box(mark) for mark in slot.check_marks(box)]
    return marks, [bounding_box(line) for line in slot.rules(box)], box.grow(-slot.border_mm)


@pytest.mark.parametrize(
    "row",
    [
        LIST,
        LIST + 'text = "To do"\n',
        LIST + 'pitch = "5mm"\n',
        LIST + 'pitch = "5mm"\ntext = "To do"\n',
        LIST + "checks = 3\n",
        LIST + 'checks = 3\npitch = "8mm"\ncheck = "square"\n',
        'sticker = "writing box"\nchecks = 4\n',
        'sticker = "half box"\npanel = "ruled"\ncheck = "square"\n',
        'sticker = "stitched box"\npanel = "ruled"\nborder = "5mm"\nchecks = 2\n',
    ],
)
def test_marks_and_lines_have_one_pitch_and_lie_in_the_middle(row: str) -> None:
    """Else marks drift off their lines, or the list hangs to one side of its panel."""
    slot = one(row)
    marks, lines, panel = parts(slot)
    assert len(marks) == len(lines) >= 2
    steps = np.diff([line.y_mm for line in lines])
    assert steps == pytest.approx(np.diff([mark.y_mm for mark in marks]))
    assert steps == pytest.approx(np.full(len(steps), steps[0]))
    assert slot.pitch_mm is None or steps[0] == pytest.approx(slot.pitch_mm)
    for mark, line in zip(marks, lines, strict=True):
        assert mark.bottom_mm == pytest.approx(line.y_mm)
        assert 1.0 <= line.x_mm - mark.right_mm <= 2.0
        assert mark.y_mm >= panel.y_mm
    assert marks[0].x_mm - panel.x_mm == pytest.approx(panel.right_mm - lines[0].right_mm)
    title = slot.title_band(Rect(7.0, 11.0, slot.width_mm, slot.height_mm), 1.5)
    top = panel.y_mm if title is None else bounding_box(title).bottom_mm
    assert marks[0].y_mm - top == pytest.approx(panel.bottom_mm - lines[-1].y_mm)
    assert marks[0].y_mm - top >= 1.0 - 1e-9


def test_a_plain_list_has_its_marks_at_the_same_places_and_no_lines() -> None:
    ruled, plain = parts(one(LIST)), parts(one(LIST.replace("ruled", "white")))
    assert ruled[0] == plain[0]
    assert plain[1] == []


def test_a_title_stands_in_a_band_as_wide_as_the_panel() -> None:
    slot = one(LIST + 'text = ["To do", "Shopping"]\n')
    box = Rect(0.0, 0.0, 40.0, 52.0)
    band = bounding_box(slot.title_band(box, 1.5))
    panel = box.grow(-slot.border_mm)
    assert (band.x_mm, band.y_mm, band.right_mm) == (panel.x_mm, panel.y_mm, panel.right_mm)
    assert band.holds(slot.words_area(box))
    (rest,) = slot.written_on(box, 1.5)
    below = bounding_box(rest)
    # a little of both lies one over the other: nothing shows between them
    assert 0.0 < band.bottom_mm - below.y_mm < 0.5
    assert below.bottom_mm == panel.bottom_mm
    assert slot.upright, "a title must stay the right way up"


def test_lines_keep_a_pitch_without_marks_too() -> None:
    slot = one('sticker = "writing box"\npitch = "5mm"\n')
    marks, lines, panel = parts(slot)
    assert not marks
    assert np.diff([line.y_mm for line in lines]) == pytest.approx(np.full(len(lines) - 1, 5.0))
    assert lines[0].y_mm - panel.y_mm == pytest.approx(panel.bottom_mm - lines[-1].y_mm)
    assert 5.0 <= lines[0].y_mm - panel.y_mm < 7.5


@pytest.mark.parametrize("more", ["", "checks = 5\n"])
def test_a_column_of_marks_keeps_a_pitch_in_the_middle_of_its_sticker(more: str) -> None:
    slot = one(f'sticker = "checklist"\npitch = "6mm"\n{more}')
    marks, _, _ = parts(slot, 0.0, 0.0)
    assert len(marks) == (5 if more else 9)
    assert np.diff([mark.y_mm for mark in marks]) == pytest.approx(np.full(len(marks) - 1, 6.0))
    assert marks[0].y_mm == pytest.approx(52.0 - marks[-1].bottom_mm)


def test_a_panel_too_narrow_to_write_on_keeps_its_column() -> None:
    slot = one('sticker = "checklist"\nsize = "18mm x 52mm"\npanel = "white"\n')
    marks, _, _ = parts(slot, 0.0, 0.0)
    assert {round(mark.centre_mm[0], 6) for mark in marks} == {9.0}


def test_a_wider_border_leaves_a_list_its_lines() -> None:
    """The border grows with the cut's miss: at the worst by as much as the lines leave free."""
    asked = recipe('sticker = "full box"\npanel = "ruled"\nchecks = 5\npitch = "8mm"\n')
    (slot,) = slots_of(asked)
    (even,) = even_slots(asked, [slot], [3.0])
    marks, lines, panel = parts(even)
    assert slot.border_mm < even.border_mm < 15.0
    assert all(panel.holds(part) for part in (*marks, *lines))


@pytest.mark.parametrize("ink", ["#000000", "#7a3b4f", "#ffffff"])
def test_a_light_rule_is_half_as_dark(ink: str) -> None:
    light = [int(light_of(ink)[i : i + 2], 16) for i in (1, 3, 5)]
    dark = [int(ink[i : i + 2], 16) for i in (1, 3, 5)]
    assert [255 - one for one in light] == pytest.approx(
        [(255 - one) / 2 for one in dark], abs=0.51
    )


@pytest.mark.parametrize(
    ("fill", "light"),
    [
        (None, False),
        ("#f4ecd8", False),
        ("#7a3b4f", True),
        ("#7c3d50", True),
        ("#3b2030", False),
        ("#3b5b7a", False),
    ],
)
def test_a_title_s_band_is_never_lost_on_its_border(fill: str | None, light: bool) -> None:
    """Else the white below it hangs low on its sticker."""
    ink = "#7a3b4f"
    assert title_colour(ink, fill) == (light_of(ink) if light else ink)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (
            LIST + 'pitch = "2mm"\n',
            "pitch: lines 2 mm apart leave no room for a pen",
        ),
        (LIST + 'pitch = "60mm"\n', "pitch: lines 60 mm apart have no room in 46.0 mm"),
        ('sticker = "writing box"\npitch = "60mm"\n', "pitch: lines 60 mm apart have no room"),
        ('sticker = "checklist"\npitch = "60mm"\n', "pitch: lines 60 mm apart have no room"),
        (LIST + 'pitch = "7mm"\nchecks = 9\n', "checks: 9 marks 7 mm apart have no room in 46.0"),
        (LIST + "checks = 40\n", "checks: 40 marks in 46.0 mm stand closer than the 4 mm"),
        ('sticker = "checklist"\npitch = "7mm"\nchecks = 9\n', "Set checks = 7 or fewer"),
        (
            'sticker = "label"\nsize = "20mm x 40mm"\npanel = "white"\nchecks = 2\n',
            "checks: a panel 14.0 mm wide has no room to write beside marks",
        ),
        (
            'sticker = "checklist"\nsize = "20mm x 40mm"\npanel = "white"\ntext = "To do"\n',
            "text: a checklist with a panel only 14.0 mm wide has no room for a title",
        ),
    ],
)
def test_what_has_no_room_is_told_in_one_line(row: str, says: str) -> None:
    with pytest.raises(RecipeError) as told:
        one(row)
    assert says in str(told.value)
    assert len(str(told.value)) <= 300


@pytest.mark.parametrize(
    ("row", "most"),
    [(LIST + 'pitch = "7mm"\nchecks = {}\n', 6), (LIST + "checks = {}\n", 11)],
)
def test_as_many_marks_as_a_refusal_names_have_room(row: str, most: int) -> None:
    with pytest.raises(RecipeError, match=f"Set checks = {most} or fewer"):
        one(row.format(most + 1))
    marks, lines, panel = parts(one(row.format(most)))
    assert len(marks) == most
    assert all(panel.holds(part) for part in (*marks, *lines))
