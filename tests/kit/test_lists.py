"""Lists on panels: marks and lines of one pitch, a title, and what has no room.

Sizes are common practice, no published source.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from kit.kinds import LineList, below_title, least_height_mm, most_lines, title_box
from kit.kinds.lists import mark_mm
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.shapes import Rect, bounding_box, circle, half_rounded, rounded_rectangle
from kit.stickers import dress, even_slots, light_of, slots_of, title_colour

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


# ---- by hand, each limit on both sides


@pytest.mark.parametrize(
    ("pitch", "across"),
    [(2.0, 1.6), (3.75, 3.0), (4.0, 3.0), (5.0, 3.0), (6.0, 3.6), (8.0, 4.8), (9.0, 5.0)],
)
def test_a_mark_is_six_tenths_of_the_pitch_if_it_can_be_ticked(pitch, across) -> None:
    """Three millimetres at the least where marks then stay apart, five at the most."""
    assert mark_mm(pitch) == pytest.approx(across)


@pytest.mark.parametrize(
    ("count", "pitch", "height"),
    [
        (1, None, 5.6),
        (5, None, 21.6),
        (5, 7.0, 34.2),
        (2, 8.0, 14.8),
        (1, 4.0, 5.0),
        (1, 10.0, 10.0),
    ],
)
def test_lines_with_marks_have_room_in_just_so_much(count, pitch, height) -> None:
    """Marks 4 mm apart at the least; a millimetre above the first and below the last."""
    assert least_height_mm(count, pitch) == pytest.approx(height)
    assert most_lines(height, pitch) == count
    assert most_lines(height + 0.01, pitch) == count
    assert most_lines(height - 0.01, pitch) == count - 1


def test_no_line_has_room_where_the_pitch_is_higher_than_the_panel() -> None:
    assert [most_lines(mm, 7.0) for mm in (0.5, 6.99, 7.0)] == [0, 0, 1]
    assert [most_lines(mm, None) for mm in (0.5, 1.5, 5.5)] == [0, 0, 0]


@pytest.mark.parametrize(
    ("height", "pitch", "high"),
    [(46, None, 7.0), (21, None, 7.0), (18, None, 6.0), (46, 9.0, 9.0), (46, 5.0, 7.0), (24, 9, 8)],
)
def test_a_title_is_as_high_as_a_line_and_a_third_of_the_panel_at_most(height, pitch, high) -> None:
    panel = Rect(5, 6, 30, height)
    band, rest = title_box(panel, pitch), below_title(panel, pitch)
    assert (band.x_mm, band.y_mm, band.width_mm, band.height_mm) == pytest.approx((5, 6, 30, high))
    assert (rest.x_mm, rest.y_mm, rest.right_mm, rest.bottom_mm) == pytest.approx(
        (5, 6 + high, 35, 6 + height)
    )


def test_marks_and_lines_by_hand() -> None:
    """Five 7 mm apart, marks of 4.2 mm: 32.2 of 34.2 mm, so the first begins a millimetre down."""
    lines = LineList(Rect(10, 20, 30, 34.2), 5, 7.0)
    assert lines.bases() == pytest.approx((25.2, 32.2, 39.2, 46.2, 53.2))
    for mark, y in zip(lines.marks("circle"), lines.bases(), strict=True):
        assert box_of(mark) == pytest.approx(box_of(circle(14.1, y - 2.1, 2.1)))
        assert len(mark.vertices) == 2
    for mark, y in zip(lines.marks("square"), lines.bases(), strict=True):
        expected = rounded_rectangle(Rect(12, y - 4.2, 4.2, 4.2), 0.525)
        assert [(v.x_mm, v.y_mm, v.bulge) for v in mark.vertices] == [
            pytest.approx((v.x_mm, v.y_mm, v.bulge)) for v in expected.vertices
        ]
    for line, y in zip(lines.rules(), lines.bases(), strict=True):
        assert [v.x_mm for v in line.vertices] == pytest.approx([17.4, 38.0])
        assert [v.y_mm for v in line.vertices] == [y, y]


def box_of(contour) -> tuple[float, ...]:
    box = bounding_box(contour)
    return box.x_mm, box.y_mm, box.width_mm, box.height_mm


@pytest.mark.parametrize(
    ("height", "count", "pitch", "lines", "step"),
    [
        (46.0, None, None, 6, 46 / 6.4),  # about 7 mm apart
        (13.2, None, None, 1, 13.2 / 1.4),
        (13.4, None, None, 2, 13.4 / 2.4),
        (3.0, None, None, 1, 3.0 / 1.4),
        (46.0, 3, None, 3, 46 / 3.4),
        (34.2, None, 7.0, 5, 7.0),
        (34.1, None, 7.0, 4, 7.0),
        (5.0, None, 7.0, 1, 7.0),
        (46.0, 2, 7.0, 2, 7.0),
    ],
)
def test_how_many_lines_there_are(height, count, pitch, lines: int, step: float) -> None:
    found = LineList(Rect(0, 0, 30, height), count, pitch)
    assert found.lines == lines == len(found.bases())
    assert found.step_mm == pytest.approx(step)


def test_a_titled_panel_by_hand() -> None:
    slot = one(LIST + 'text = "To do"\n')
    box = Rect(10, 20, 40, 52)
    assert slot.title_band(box, 1.5) == half_rounded(Rect(13, 23, 34, 7), 1.5)
    (below,) = slot.written_on(box, 1.5)
    expected = half_rounded(Rect(13, 29.8, 34, 39.2), 1.5, at_top=False)
    assert [(v.x_mm, v.y_mm) for v in below.vertices] == [
        pytest.approx((v.x_mm, v.y_mm)) for v in expected.vertices
    ]
    assert slot.words_area(box) == Rect(14.5, 23, 31, 7)
    assert (slot.room.wide_mm, slot.room.high_mm, slot.room.is_list) == (34, 39, True)
    untitled = one(LIST)
    assert untitled.title_band(box, 1.5) is None
    assert untitled.written_on(box, 1.5) == untitled.panels(box, 1.5) != ()
    assert (untitled.room.high_mm, untitled.is_titled) == (46, False)
    assert untitled.lines(box) == LineList(Rect(13, 23, 34, 46))


@pytest.mark.parametrize("panel", ["ruled", "white", "#f2e8cf"])
def test_only_a_sticker_with_words_has_a_title_and_the_others_stay_as_they_were(panel) -> None:
    """Else a title for one box puts an empty bar on every other box of its row."""
    row = f'sticker = "full box"\nchecks = 4\npanel = "{panel}"\n'
    before = slots_of(recipe(row))[0]
    slots = slots_of(recipe(row + 'text = ["", "Shopping", ""]\n'))
    box, misses = Rect(10, 20, 40, 52), [0.2] * 3
    assert [one.is_titled for one in slots] == [False, True, False]
    for one in even_slots(recipe(row + 'text = ["", "Shopping", ""]\n'), slots, misses):
        assert (one.title_band(box, 1.5) is not None) == (one.words != "") == (one.text_pt > 0)
    for one in (slots[0], slots[2]):
        assert one.panels(box, 1.5) == one.written_on(box, 1.5) == before.panels(box, 1.5)
        assert (one.rules(box), one.check_marks(box)) == (
            before.rules(box),
            before.check_marks(box),
        )


def test_a_title_is_lettered_for_the_band_that_it_is_in() -> None:
    """White on a dark band, however pale the border; and never on a white band of its own."""
    slot, box = one(LIST + 'text = "To do"\n'), Rect(10, 20, 40, 52)
    for title, ink in (("#26443b", "#ffffff"), ("#f4eedc", "#262626")):
        for ground in ("#f4eedc", "#26443b", None):
            made = dress(slot, box, 1.5, ground, title)
            assert (made.lettering[0].colour, made.band) == (ink, None)


@pytest.mark.parametrize(
    ("row", "fits", "refused", "says"),
    [
        (
            'sticker = "label"\nsize = "{}mm x 40mm"\npanel = "white"\nchecks = 2\n',
            (26, 25.9),
            "rows.1.checks: a panel 19.9 mm wide has no room to write beside marks",
            "Make it 20 mm or wider (size), or take the marks out.",
        ),
        (
            'sticker = "label"\nsize = "{}mm x 40mm"\npanel = "white"\ncheck = "square"\n',
            (26, 25.9),
            "rows.1.check: a panel 19.9 mm wide has no room to write beside marks",
            "Make it 20 mm or wider (size), or take the marks out.",
        ),
        (
            'sticker = "checklist"\npanel = "white"\nsize = "40mm x {}mm"\n',
            (11.6, 11.5),
            "rows.1.panel: 1 marks in 5.5 mm stand closer than the 4 mm that a pen needs",
            "Use a larger sticker, or take the marks out.",
        ),
        (
            LIST + "checks = {}\n",
            (11, 12),
            "rows.1.checks: 12 marks in 46.0 mm stand closer than the 4 mm that a pen needs",
            "Set checks = 11 or fewer, or use a larger sticker.",
        ),
        (
            LIST + 'pitch = "{}mm"\n',
            (46, 46.1),
            "rows.1.pitch: lines 46.1 mm apart have no room in 46.0 mm",
            'Write less, such as "7mm", or use a larger sticker.',
        ),
        (
            LIST + 'pitch = "40mm"\nchecks = {}\n',
            (1, 2),
            "rows.1.checks: 2 marks 40 mm apart have no room in 46.0 mm",
            "Set checks = 1 or fewer, or use a larger sticker.",
        ),
        (
            'sticker = "writing box"\npitch = "{}mm"\n',
            (46, 46.1),
            "rows.1.pitch: lines 46.1 mm apart have no room in 46.0 mm",
            'Write less, such as "7mm", or use a larger sticker.',
        ),
        (
            'sticker = "checklist"\nchecks = 4\npitch = "{}mm"\n',
            (13, 13.1),
            "rows.1.checks: 4 marks 13.1 mm apart have no room in 52.0 mm",
            "Set checks = 3 or fewer, or use a larger sticker.",
        ),
    ],
)
def test_the_limit_of_what_has_room(row: str, fits, refused: str, says: str) -> None:
    assert one(row.format(fits[0])).kind.name in row
    with pytest.raises(RecipeError) as told:
        one(row.format(fits[1]))
    assert str(told.value) == f"kit.toml: {refused}. {says}"


@pytest.mark.parametrize(("wide", "is_list"), [(26, True), (25.9, False)])
def test_a_checklist_has_lines_where_there_is_room_to_write(wide: float, is_list: bool) -> None:
    slot = one(f'sticker = "checklist"\npanel = "white"\nsize = "{wide}mm x 52mm"\n')
    assert slot.is_list == is_list
    titled = f'sticker = "checklist"\npanel = "white"\nsize = "{wide}mm x 52mm"\ntext = "To do"\n'
    if is_list:
        assert one(titled).is_titled
        return
    with pytest.raises(RecipeError) as told:
        one(titled)
    assert str(told.value) == (
        "kit.toml: rows.1.text: a checklist with a panel only 19.9 mm wide has no room for a "
        "title. Make its panel 20 mm wide or more (size), or take the text out."
    )
