"""What several strips say of the next sheet: the steady miss, the spread, what cannot be true."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.recipe_error import RecipeError
from kit.registration import Comb, habit_of
from kit.registration.tolerance import corner_shift_mm, largest_shift_mm
from kit.shapes import Rect

AREA = Rect(10.0, 10.0, 195.9, 259.4)
MIDDLE, CORNER = (107.95, 139.7), (0.0, 0.0)
COMBS = (
    Comb("left across", "x", (50.0, 60.0)),
    Comb("right across", "x", (166.0, 60.0)),
    Comb("left down", "y", (20.0, 38.0)),
    Comb("right down", "y", (200.0, 38.0)),
    Comb("bottom across", "x", (34.0, 264.0)),
    Comb("bottom down", "y", (200.0, 246.0)),
)
# Student's t, two-sided 99 %: tables in any textbook, e.g. NIST/SEMATECH e-Handbook, 1.3.6.7.2
T99 = {3: 9.925, 4: 5.841, 5: 4.604}


def shifted(*shifts):
    """Strips that lie off by so many tenths across, and by nothing else."""
    return [[x, x, 0, 0, x, 0] for x in shifts]


@pytest.mark.parametrize("shifts", [(2, 3, 4), (2, 4, 3, 3), (1, 2, 3, 4, 5)])
def test_the_spread_is_students_t_of_the_strips(shifts):
    """By hand: mean ± t s sqrt(1 + 1/n), and half a tenth of each comb that cannot be read."""
    habit = habit_of(COMBS, shifted(*shifts), MIDDLE, AREA)
    n, mm = len(shifts), np.array(shifts) / 10.0
    assert habit.shift_mm == pytest.approx((mm.mean(), 0.0), abs=1e-9)
    assert habit.turn_deg == pytest.approx(0.0, abs=1e-9)
    still = habit_of(COMBS, shifted(*[3] * n), MIDDLE, AREA).registration
    spread = T99[n] * mm.std(ddof=1) * math.sqrt(1.0 + 1.0 / n)
    # where the sheet is held: what is read along x there, and not along y
    assert still.shift_mm < 0.1
    assert spread < habit.registration.shift_mm <= spread + still.shift_mm + 1e-3
    assert habit.registration.turn_deg < still.turn_deg + 1e-6


def test_a_steady_miss_is_made_up_for_and_a_steady_stretch_is_declared():
    """0.2 % down the page: nothing moves it away, so it is in the scale."""
    numbers = [[round(20 * 0.002 * (c.tip[1] - 10)) / 2 if c.along == "y" else 4 for c in COMBS]]
    habit = habit_of(COMBS, numbers * 4, CORNER, AREA)
    assert habit.shift_mm[0] == pytest.approx(0.4, abs=0.01)
    far = largest_shift_mm(habit.registration, [AREA], CORNER)
    assert 0.002 * (269.4 - 10.0) < far < 0.002 * 269.4 + 0.35


def test_a_steady_stretch_across_is_declared_as_well():
    """Else ink is missing at the right of every sheet of a maker whose printer is narrow."""
    still = habit_of(COMBS, shifted(0, 0, 0), CORNER, AREA).registration
    wide = [round(20 * 0.002 * (c.tip[0] - 50)) / 2 if c.along == "x" else 0 for c in COMBS]
    told = habit_of(COMBS, [wide] * 3, CORNER, AREA).registration
    assert told.scale - still.scale == pytest.approx(0.002, abs=4e-4)


@pytest.mark.parametrize("held", [MIDDLE, CORNER, (215.9, 279.4)], ids=["middle", "first", "last"])
def test_what_is_declared_covers_every_corner(held):
    """The strips themselves, once shift and turn are made up for, are less off than the next."""
    source = np.random.default_rng(3)
    for _ in range(20):
        misfits = source.normal(size=(5, 5)) * (0.1, 0.1, 3e-4, 2e-4, 4e-4)
        misfits += source.normal(size=5) * (0.1, 0.1, 3e-4, 2e-4, 4e-4)
        strips = (np.round(misfits @ equations(MIDDLE).T * 20.0) / 2.0).tolist()
        habit = habit_of(COMBS, strips, held, AREA)
        m = largest_shift_mm(habit.registration, [AREA], held)
        for numbers in strips:
            assert worst_miss(numbers, held, habit) <= m


@pytest.mark.parametrize("held", [MIDDLE, CORNER, (215.9, 279.4)], ids=["middle", "first", "last"])
@pytest.mark.parametrize("count", [3, 5])
@pytest.mark.parametrize("wide", [False, True], ids=["upright", "wide"])
def test_what_is_declared_reaches_as_far_as_is_needed_everywhere(wide, count, held):
    """Over the whole area, by each strip's own least squares, numpy's deviation and the table of t.

    And not much farther: at the worst place by less than a third.
    """
    source = np.random.default_rng(count)
    combs, area, middle = COMBS, AREA, MIDDLE
    if wide:  # x and y change places
        combs = [Comb(c.name, "y" if c.along == "x" else "x", c.tip[::-1]) for c in COMBS]
        area, middle = Rect(10.0, 10.0, AREA.height_mm, AREA.width_mm), MIDDLE[::-1]
        held = held[::-1]
    rows = equations(held, combs)
    reads_mm = np.abs(np.linalg.pinv(rows)) * 0.05
    one, two = np.eye(5), np.eye(5) + np.eye(5)[[1, 2, 3, 4, 2]]  # such as turn and scale across
    for varied in (*one, *two):
        spread = varied * (0.1, 0.1, 8e-4, 8e-4, 8e-4)
        misfits = source.normal(size=(count, 5)) * spread + (0.2, -0.1, 3e-4, 2e-4, -9e-4)
        strips = (np.round(misfits @ equations(middle, combs).T * 20.0) / 2.0).tolist()
        told = habit_of(combs, strips, held, area).registration
        found = np.array(strips) / 10.0 @ np.linalg.pinv(rows).T
        worst = []
        for x in np.linspace(area.x_mm, area.right_mm, 7):
            for y in np.linspace(area.y_mm, area.bottom_mm, 7):
                dx, dy = x - held[0], y - held[1]
                for terms in np.array([(1, 0, -dy, dx, 0), (0, 1, dx, 0, dy)]):
                    spread_mm = (found @ terms).std(ddof=1) * math.sqrt(1.0 + 1.0 / count)
                    steady_mm = abs(terms[3:] @ found.mean(axis=0)[3:])
                    least = T99[count] * spread_mm + steady_mm
                    most = least + np.abs(terms) @ reads_mm.sum(axis=1)
                    assert corner_shift_mm(told, dx, dy) >= least
                    worst.append(most)
        assert largest_shift_mm(told, [area], held) <= max(worst) * 1.34


def equations(held, combs=COMBS):
    """What each comb reads, in mm, of shift x and y, turn (radians), scale across and down."""
    rows = []
    for comb in combs:
        dx, dy = comb.tip[0] - held[0], comb.tip[1] - held[1]
        rows.append((1, 0, -dy, dx, 0) if comb.along == "x" else (0, 1, dx, 0, dy))
    return np.array(rows)


def worst_miss(numbers, held, habit):
    """The largest miss of one strip at a corner of the area, by its own least squares."""
    found = np.linalg.lstsq(equations(held), np.array(numbers) / 10.0, rcond=None)[0]
    found = found - (*habit.shift_mm, math.radians(habit.turn_deg), 0.0, 0.0)
    misses = []
    for x, y in AREA.corners():
        dx, dy = x - held[0], y - held[1]
        misses += [found[0] - found[2] * dy + found[3] * dx]
        misses += [found[1] + found[2] * dx + found[4] * dy]
    return float(np.abs(misses).max())


@pytest.mark.parametrize("count", [1, 2])
def test_one_or_two_strips_tell_no_spread_and_move_nothing(count):
    habit = habit_of(COMBS, shifted(*(5, -3)[:count]), MIDDLE, AREA)
    assert not habit.has_spread
    assert (habit.shift_mm, habit.turn_deg) == ((0.0, 0.0), 0.0)
    assert habit.registration.shift_mm >= 0.5


def test_two_strips_are_covered_both():
    """The first lies off more, the second is turned more, and stretched down."""
    strips = [[5, 5, 0, 0, 5, 0], [1, 1, -1, 3, -4, 3]]
    both = habit_of(COMBS, strips, MIDDLE, AREA).registration
    alone = [habit_of(COMBS, [one], MIDDLE, AREA).registration for one in strips]
    assert alone[0].shift_mm > alone[1].shift_mm
    assert alone[0].turn_deg < alone[1].turn_deg
    assert both.shift_mm == alone[0].shift_mm
    assert (both.turn_deg, both.scale) == (alone[1].turn_deg, max(one.scale for one in alone))


def told(strips):
    with pytest.raises(RecipeError) as error:
        habit_of(COMBS, strips, MIDDLE, AREA)
    assert len(str(error.value)) <= 300
    return str(error.value)


def test_strips_that_contradict_each_other_are_refused():
    message = told(shifted(6, 5, -5))
    assert message == (
        "combs: strips 1 and 3 contradict each other: 6 and -5 on the left across comb "
        "(no sound machine is a millimetre off from one sheet to the next). "
        "Read both again and look at the signs; if one slipped, cut it again."
    )
    habit_of(COMBS, shifted(6, 5, -4), MIDDLE, AREA)  # a millimetre apart: just believed


def test_a_strip_that_contradicts_itself_is_refused_by_its_number():
    """A sign mistaken on one of six: nothing that a machine does gives that."""
    message = told([*shifted(5, 5), [5, 5, 0, 0, -5, 0]])
    assert message.startswith("combs, strip 3: these numbers contradict each other")


def test_a_strip_with_a_number_too_few_is_told_by_its_number():
    assert told([*shifted(0), [0] * 5]).startswith("combs, strip 2: 5 numbers for 6 combs")
    assert told([[0] * 5]).startswith("combs: 5 numbers for 6 combs")
