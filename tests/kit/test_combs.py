"""Combs: their outlines and lines in millimetres, and what the numbers read off them mean."""

from __future__ import annotations

import math
from dataclasses import astuple

import numpy as np
import pytest
import shapely

from kit.recipe_error import RecipeError
from kit.registration import BODY_MM, LENGTH_MM, LINE_PITCH_MM, TOOTH_MM, Comb, misfit_of
from kit.shapes import Rect, bounding_box

TIP = (60.0, 40.0)
ACROSS, DOWN = Comb("across", "x", TIP), Comb("down", "y", TIP)
CENTRE = (100.0, 150.0)
COMBS = (
    Comb("top", "x", (60.0, 20.0)),
    Comb("bottom", "x", (140.0, 280.0)),
    Comb("left", "y", (20.0, 100.0)),
    Comb("right", "y", (180.0, 200.0)),
)


def points(contour):
    return [(v.x_mm, v.y_mm) for v in contour.vertices]


def test_teeth_stand_a_twentieth_wider_than_lines():
    """21 teeth 2.1 mm apart over lines 2.0 mm apart: one tenth a line (vernier's principle)."""
    tips = sorted(x for x, y in points(ACROSS.outline()) if y == pytest.approx(40.0))
    assert tips == pytest.approx([60.0 + 2.1 * k for k in range(-10, 11)])
    notches = sorted(x for x, y in points(ACROSS.outline()) if y == pytest.approx(41.6))
    assert notches == pytest.approx(
        [60 - LENGTH_MM / 2, *(60.0 + 2.1 * (k - 0.5) for k in range(-10, 12)), 60 + LENGTH_MM / 2]
    )
    assert pytest.approx(2.0) == LINE_PITCH_MM


def test_the_teeth_point_up_and_those_of_the_other_left():
    body = bounding_box(ACROSS.outline())
    expected = Rect(60 - LENGTH_MM / 2, 40, LENGTH_MM, TOOTH_MM + BODY_MM)
    for box in (body, ACROSS.box()):
        assert (box.x_mm, box.y_mm) == pytest.approx((expected.x_mm, expected.y_mm))
        assert (box.width_mm, box.height_mm) == pytest.approx((LENGTH_MM, 5.6))
    left = bounding_box(DOWN.outline())
    for box in (left, DOWN.box()):
        assert (box.x_mm, box.y_mm) == pytest.approx((60, 40 - LENGTH_MM / 2))
        assert (box.width_mm, box.height_mm) == pytest.approx((5.6, LENGTH_MM))
    assert pytest.approx(46.2) == LENGTH_MM  # 22 teeth's pitch: room for one each way


@pytest.mark.parametrize("comb", [ACROSS, DOWN], ids=["across", "down"])
def test_a_comb_can_be_cut(comb):
    """A simple outline, clockwise as seen, of a body and 21 triangles: by shapely."""
    ring = shapely.Polygon(points(comb.outline()))
    assert ring.is_valid
    assert ring.exterior.is_ccw  # y runs down
    assert ring.area == pytest.approx(LENGTH_MM * 4.0 + 21 * 2.1 * 1.6 / 2)


@pytest.mark.parametrize("comb", [ACROSS, DOWN], ids=["across", "down"])
def test_lines_begin_under_the_tips_and_lead_out(comb):
    axis = 0 if comb.along == "x" else 1
    lines = comb.lines()
    assert [number for number, _ in lines] == list(range(10, -11, -1))
    for number, contour in lines:
        near, far = points(contour)
        assert near[axis] == far[axis] == pytest.approx(TIP[axis] - 2.0 * number)
        assert near[1 - axis] == pytest.approx(TIP[1 - axis] + 0.8)
        reach = 2.6 if number % 5 == 0 else 1.8  # every fifth is longer, to count by
        assert far[1 - axis] == pytest.approx(TIP[1 - axis] - reach)


def test_numbers_say_shift_turn_and_scale():
    """By hand: 0.1 mm a number; a turn moves left and right apart, a scale all of them."""
    for numbers, shift, turn, scale in (
        ((5, 5, 0, 0), (0.5, 0.0), 0.0, 0.0),
        ((0, 0, -3, -3), (0.0, -0.3), 0.0, 0.0),
        # clockwise: the top moves right, the bottom left, the right end down, the left end up
        ((4, -4, -4 * 80 / 130, 4 * 80 / 130), (0.0, 0.0), math.degrees(0.4 / 130), 0.0),
        # larger: each away from the middle by its share of the distance
        ((-4, 4, -5, 5), (0.0, 0.0), 0.0, 0.01),
    ):
        found = misfit_of(COMBS, numbers, CENTRE)
        assert found.shift_mm == pytest.approx(shift, abs=1e-9)
        assert found.turn_deg == pytest.approx(turn, abs=1e-9)
        # four combs: one scale for both ways
        assert found.scale == pytest.approx((scale, scale), abs=1e-9)


@pytest.mark.parametrize("flip", [False, True], ids=["wide", "high"])
def test_what_cannot_be_read_is_added(flip):
    """Half a tenth on each reading, all against the maker: the worst of all signs, tried out."""
    aside = [(-30.0, 7.0), (40.0, -9.0), (0.0, 31.0), (11.0, 0.0)]
    combs = [
        Comb(c.name, c.along, (c.tip[0] + dx, c.tip[1] + dy))
        for c, (dx, dy) in zip(COMBS, aside, strict=True)
    ]
    if flip:  # x and y change places
        combs = [Comb(c.name, "y" if c.along == "x" else "x", c.tip[::-1]) for c in combs]
    middle = CENTRE[::-1] if flip else CENTRE
    found = misfit_of(combs, [2, -3, 4, 1], middle)
    worst = np.zeros(4)
    for signs in np.array(np.meshgrid(*[[-0.5, 0.5]] * 4)).reshape(4, -1).T:
        off = misfit_of(combs, np.array([2, -3, 4, 1]) + signs, middle)
        away = (
            off.shift_mm[0] - found.shift_mm[0],
            off.shift_mm[1] - found.shift_mm[1],
            off.turn_deg - found.turn_deg,
            off.scale[0] - found.scale[0],
        )
        worst = np.maximum(worst, np.abs(away))
    assert worst[0] != pytest.approx(worst[1], abs=1e-3)
    assert found.read_mm == pytest.approx(max(worst[:2]))
    assert found.read_deg == pytest.approx(worst[2])
    assert found.read_scale == pytest.approx(worst[3])
    told = found.registration
    assert told.shift_mm == pytest.approx(max(map(abs, found.shift_mm)) + found.read_mm)
    assert told.turn_deg == pytest.approx(abs(found.turn_deg) + found.read_deg)
    assert told.scale == pytest.approx(abs(found.scale[0]) + found.read_scale)
    mirrored = misfit_of(combs, [-2, 3, -4, -1], middle).registration
    assert astuple(mirrored) == pytest.approx(astuple(told))


def test_ten_is_on_the_comb_and_eleven_is_not():
    assert misfit_of(COMBS, [10, 10, -10, -10], CENTRE).shift_mm == pytest.approx((1.0, -1.0))
    for place, number in enumerate((10.5, -10.5, 11, -11)):
        numbers = [0.0] * 4
        numbers[place] = number
        with pytest.raises(RecipeError) as told:
            misfit_of(COMBS, numbers, CENTRE)
        assert str(told.value) == (
            f"combs: {number:g} is not on the {COMBS[place].name} comb. "
            "Give the number at the line that a tooth meets, -10 to 10."
        )


def test_a_number_too_few_is_told_with_the_combs():
    with pytest.raises(RecipeError) as told:
        misfit_of(COMBS, [1, 2, 3], CENTRE)
    assert str(told.value) == (
        "combs: 3 numbers for 4 combs. Give one for each: top, bottom, left, right."
    )
    with pytest.raises(RecipeError, match="1 number for 4 combs"):
        misfit_of(COMBS, [1], CENTRE)


def test_combs_in_one_place_cannot_tell_a_turn():
    with pytest.raises(ValueError, match=r"^these combs cannot tell turn and scale$"):
        misfit_of([COMBS[0]] * 4, [0, 0, 0, 0], CENTRE)
