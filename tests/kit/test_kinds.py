"""Sticker kinds: sizes from the planner's box, marks evenly spaced, panels inside their border.

A full box fills the day box, a half box half its height, a checklist a sixth of its width, with
circles about 7 mm apart: common practice, no published source.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from kit.kinds import KINDS, check_marks, least_border_mm, rules
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.shapes import Rect, bounding_box
from kit.stickers import slots_of

DAY_BOX = (42.0, 50.0)  # mm


def slots(rows: str, box: str = "40mm x 52mm", sheet: str = ""):
    text = f'[planner]\nbox = "{box}"\n[sheet]\npaper = "A4"\n{sheet}'
    text += '[[patterns]]\nfile = "a.png"\n' + rows
    return slots_of(parse_recipe(text, Path("kit.toml")))


@pytest.mark.parametrize(
    ("kind", "width_mm", "height_mm"),
    [("full box", 42.0, 50.0), ("half box", 42.0, 25.0), ("checklist", 7.0, 50.0)],
)
def test_sizes_are_the_trades_shares_of_a_box(kind: str, width_mm: float, height_mm: float) -> None:
    assert KINDS[kind].size_mm(DAY_BOX) == pytest.approx((width_mm, height_mm))


def test_checks_stand_about_7_mm_apart_and_evenly() -> None:
    box = Rect(10.0, 20.0, *KINDS["checklist"].size_mm(DAY_BOX))
    places = [bounding_box(mark).centre_mm for mark in check_marks(box, None, "circle")]
    steps = np.diff([y for _, y in places])
    assert steps == pytest.approx(np.full(len(steps), steps[0]))
    assert steps[0] == pytest.approx(7.0, abs=0.5)
    # the ends are half a step from the sticker's ends, so the column looks centred
    assert places[0][1] - box.y_mm == pytest.approx(steps[0] / 2)
    assert {round(x, 6) for x, _ in places} == {round(box.centre_mm[0], 6)}


@pytest.mark.parametrize("shape", ["circle", "square"])
@pytest.mark.parametrize("count", [1, 5, 12])
def test_any_number_of_checks_stays_inside(shape: str, count: int) -> None:
    box = Rect(0.0, 0.0, 6.0, 48.0)
    marks = [bounding_box(mark) for mark in check_marks(box, count, shape)]
    assert len(marks) == count
    assert all(box.holds(mark) for mark in marks)
    assert all(not a.overlaps(b) for a, b in pairwise(marks))


def test_rules_lie_inside_the_panel() -> None:
    panel = Rect(5.0, 5.0, 30.0, 40.0)
    lines = rules(panel)
    assert len(lines) == 5
    for line in lines:
        xs = [v.x_mm for v in line.vertices]
        assert min(xs) >= 5.0
        assert max(xs) <= 35.0


@pytest.mark.parametrize("name", KINDS)
def test_every_outline_fills_its_box(name: str) -> None:
    """What is reported as a sticker's size is its cut line's box."""
    kind = KINDS[name]
    box = Rect(12.0, 7.0, *kind.size_mm((40.0, 52.0)))
    outline = bounding_box(kind.outline(box, 1.5))
    assert outline.x_mm == pytest.approx(box.x_mm, abs=1e-9)
    assert outline.y_mm == pytest.approx(box.y_mm, abs=1e-9)
    assert outline.width_mm == pytest.approx(box.width_mm, abs=1e-9)
    assert outline.height_mm == pytest.approx(box.height_mm, abs=1e-9)


def test_a_border_is_at_least_3_mm_and_five_shifts() -> None:
    """(B + e) / (B - e) is 1.5 at B = 5e: arithmetic; 3 mm is common practice."""
    assert least_border_mm(0.3) == 3.0
    border = least_border_mm(1.0)
    assert (border + 1.0) / (border - 1.0) == pytest.approx(1.5)


def test_sizes_may_be_shares_of_the_box_or_given_outright() -> None:
    row = '[[rows]]\nsticker = "strip"\ncount = 1\nfill = "palette"\nsize = "{}"\n'
    (shares,) = slots(row.format("2 x 0.25 box"))
    assert (shares.width_mm, shares.height_mm) == (80.0, 13.0)
    (outright,) = slots(row.format("3in x 10mm"))
    assert (outright.width_mm, outright.height_mm) == pytest.approx((76.2, 10.0))


def test_a_writing_box_is_ruled_unless_its_row_says_otherwise() -> None:
    row = '[[rows]]\nsticker = "writing box"\ncount = 1\nfill = "a"\n'
    assert slots(row)[0].panel == "ruled"
    assert slots(row + 'panel = "white"\n')[0].panel == "white"
    assert slots(row + 'panel = "none"\n')[0].panel is None
    with pytest.raises(RecipeError, match=r'rows\.1\.panel: "velvet"'):
        slots(row + 'panel = "velvet"\n')


def test_a_recipe_of_another_format_is_refused_with_the_mend() -> None:
    with pytest.raises(RecipeError, match="format 7 are not known here"):
        parse_recipe('[kit]\nformat = 7\n[planner]\nbox = "4cm x 5cm"\n', Path("kit.toml"))


# ---- as far from the cut as looks even


@pytest.mark.parametrize(
    ("width", "clear", "across"),
    [
        (9.0, 0.0, 5.4),
        (10.0, 2.5, 4.75),  # 10 less 5 less the line's width of 0.25
        (10.0, 3.2, 3.35),
        (10.0, 3.5, 3.0),  # the least that can be ticked
        (6.0, 3.5, 3.0),
        (4.0, 3.5, 2.4),  # 0.6 of the width is less
    ],
)
def test_marks_get_smaller_to_keep_clear_of_the_cut(width: float, clear: float, across: float):
    marks = [
        bounding_box(mark) for mark in check_marks(Rect(0, 0, width, 52.0), None, "circle", clear)
    ]
    assert {round(mark.width_mm, 6) for mark in marks} == {across}
    assert len(marks) == 7
    steps = np.diff([mark.centre_mm[1] for mark in marks])
    assert steps == pytest.approx(np.full(6, steps[0]))
    # above the first and below the last as well, the line counted in
    ends = min(marks[0].y_mm, 52.0 - marks[-1].bottom_mm) - 0.125
    assert ends >= clear - 1e-9


@pytest.mark.parametrize("count", [1, 2, 12])
@pytest.mark.parametrize("clear", [0.0, 3.0, 20.0, 60.0])
def test_marks_never_touch_however_clear_they_should_be(count: int, clear: float):
    box = Rect(0.0, 0.0, 9.0, 52.0)
    marks = [bounding_box(mark) for mark in check_marks(box, count, "circle", clear)]
    assert all(box.holds(mark) for mark in marks)
    assert all(b.y_mm - a.bottom_mm >= 0.5 for a, b in pairwise(marks))


@pytest.mark.parametrize(("clear", "outside"), [(0.0, 1.6), (3.0, 3.07), (20.0, 5.0)])
def test_stitches_move_in_to_keep_clear(clear: float, outside: float):
    """Inset 1.8 less half a thread of 0.4; at the most a fifth of the shorter side, 5.2."""
    threads = KINDS["stitched box"].threads(Rect(0, 0, 40, 26), 1.5, clear)
    assert min(bounding_box(one).x_mm for one in threads) == pytest.approx(outside)


@pytest.mark.parametrize(
    ("count", "clear", "first", "marks", "across"),
    [
        (None, 0.0, 22.0, 9, 3.75),  # smaller, so that nine have room
        (5, 0.0, 34.0, 5, 4.8),
        (None, 1.0, 25.0, 8, 4.8),
        (None, 3.0, 25.0, 8, 3.75),  # keeps clear of the sides
        (None, 4.0, 28.0, 7, 3.0),  # the least that can be ticked
        (1, 0.0, 46.0, 1, 4.8),
    ],
)
def test_marks_at_a_pitch_by_hand(count, clear: float, first: float, marks: int, across: float):
    """Six millimetres apart in 10 x 52 mm; their line of 0.25 mm counts in."""
    box = Rect(10, 20, 10, 52)
    found = [bounding_box(one) for one in check_marks(box, count, "circle", clear, 6.0)]
    assert [one.centre_mm for one in found] == [
        pytest.approx((15, first + 6 * i)) for i in range(marks)
    ]
    assert {round(one.width_mm, 9) for one in found} == {across}


@pytest.mark.parametrize(("height", "marks"), [(27.25, 5), (27.24, 4), (3.25, 1), (2.0, 1)])
def test_as_many_marks_at_a_pitch_as_keep_clear_of_the_ends(height: float, marks: int) -> None:
    assert len(check_marks(Rect(0, 0, 10, height), None, "square", 0.0, 6.0)) == marks


@pytest.mark.parametrize(
    ("pitch", "places"),
    [(5.0, [11, 16, 21, 26, 31, 36, 41]), (6.0, [14, 20, 26, 32, 38]), (30.0, [26]), (20.0, [26])],
)
def test_lines_at_a_pitch_lie_in_the_middle_of_their_panel(pitch: float, places) -> None:
    lines = rules(Rect(5, 6, 30, 40), pitch_mm=pitch)
    assert [line.vertices[0].y_mm for line in lines] == pytest.approx(places)
    assert {(line.vertices[0].x_mm, line.vertices[1].x_mm) for line in lines} == {(7, 33)}
