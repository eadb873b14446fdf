"""What does this cutter miss by each time, and how far off may the next sheet be?

In: the numbers read off several strips, where the sheet is held and where its stickers may lie,
millimetres. Out: a ``Habit``: the steady shift and turn, which cut files can make up for, and the
``Registration`` that covers the next sheet when they have.

How: each strip gives a shift, a turn and two scales; their means are steady, their spread is not.
A point's miss is a sum of these (``miss_terms``), so it has a mean and a standard deviation s of
its own over the n strips. The next sheet's lies within t s sqrt(1 + 1/n) of the mean in 99 of 100
cases, t being Student's for n - 1 degrees of freedom (the prediction interval for one further
observation: Hahn and Meeker, "Statistical Intervals", 1991, 4.7). To that the steady part of the
scales is added, which nothing makes up for, and what cannot be read. The registration is the least
that reaches as far at the corners of the area and, since what is needed between them is convex,
everywhere else.

From one or two strips no spread can be found: the registration then covers these, and no more.
Not done here: what the recipe's lines look like.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from kit.recipe_error import RecipeError
from kit.registration.combs import STEP_MM, UNREAD_MM, Comb, misfit_of, miss_terms, solution_of
from kit.registration.tolerance import Registration
from kit.shapes import Point, Rect
from palette.arrays import Floats

LEAST_STRIPS = 3
COVERED = 0.99
MOST_APART = 10.0  # numbers on one comb, a millimetre: no machine that a kit can be cut on


@dataclass(frozen=True, slots=True)
class Habit:
    """How a cutter misses a printer's print.

    Attributes:
        strips: how many it is known from.
        shift_mm: the steady shift where the sheet is held, along x and y; 0, 0 if unknown.
        turn_deg: the steady turn, clockwise as seen; 0 if unknown.
        registration: what covers the next sheet once shift and turn are made up for.
    """

    strips: int
    shift_mm: Point
    turn_deg: float
    registration: Registration

    @property
    def has_spread(self) -> bool:
        """Whether the strips were enough to tell what is steady from what is not."""
        return self.strips >= LEAST_STRIPS


def habit_of(
    combs: Sequence[Comb], strips: Sequence[Sequence[float]], held_mm: Point, area: Rect
) -> Habit:
    """Return what the strips say.

    Args:
        combs: those of a strip.
        strips: the numbers read off each, in the order of the combs.
        held_mm: the point that the sheet is held at.
        area: where stickers may lie.

    Raises:
        RecipeError: readings that cannot be, or that contradict each other.
    """
    names = ["combs"] if len(strips) == 1 else [f"combs, strip {n + 1}" for n in range(len(strips))]
    misfits = [
        misfit_of(combs, numbers, held_mm, where=name)
        for numbers, name in zip(strips, names, strict=True)
    ]
    _check_agreement(combs, strips)
    if len(strips) < LEAST_STRIPS:
        covers = [one.registration for one in misfits]
        largest = Registration(
            max(one.shift_mm for one in covers),
            max(one.turn_deg for one in covers),
            max(one.scale for one in covers),
        )
        return Habit(len(strips), (0.0, 0.0), 0.0, largest)
    shifts = np.array([one.shift_mm for one in misfits]).mean(axis=0)
    return Habit(
        len(strips),
        (float(shifts[0]), float(shifts[1])),
        float(np.mean([one.turn_deg for one in misfits])),
        _covering(_Needs(solution_of(combs, held_mm), strips), held_mm, area),
    )


def _check_agreement(combs: Sequence[Comb], strips: Sequence[Sequence[float]]) -> None:
    for comb, numbers in zip(combs, zip(*strips, strict=True), strict=True):
        low, high = min(numbers), max(numbers)
        if high - low > MOST_APART:
            first, second = sorted((numbers.index(low), numbers.index(high)))
            raise RecipeError(
                f"strips {first + 1} and {second + 1} contradict each other: "
                f"{numbers[first]:g} and {numbers[second]:g} on the {comb.name} comb",
                where="combs",
                why="no sound machine is a millimetre off from one sheet to the next",
                remedy="Read both again and look at the signs; if one slipped, cut it again.",
            )


class _Needs:
    """How far the next sheet may miss at a point, from readings of several."""

    def __init__(self, solve: Floats, strips: Sequence[Sequence[float]]) -> None:
        from scipy.special import stdtrit

        count = len(strips)
        self.unread = solve * UNREAD_MM
        found = np.array(strips) * STEP_MM @ solve.T
        mean = found.mean(axis=0)
        self.apart = found - mean
        self.steady = np.array([0.0, 0.0, 0.0, mean[3], mean[4]])
        t = float(stdtrit(count - 1, (1.0 + COVERED) / 2.0))
        self.factor = t * math.sqrt(1.0 + 1.0 / count) / math.sqrt(count - 1)

    def at(self, dx_mm: float, dy_mm: float) -> tuple[float, float]:
        """Return it along x and along y, for a point so far from where the sheet is held."""
        terms = miss_terms(dx_mm, dy_mm)
        need = (
            np.abs(terms @ self.steady)
            + self.factor * np.hypot.reduce(terms @ self.apart.T, axis=1)
            + np.abs(terms @ self.unread).sum(axis=1)
        )
        return float(need[0]), float(need[1])


def _covering(needs: _Needs, held: Point, area: Rect) -> Registration:
    """Return the registration that reaches as far as is needed anywhere in the area."""
    across = [dx for dx in (area.x_mm - held[0], area.right_mm - held[0]) if dx]
    down = [dy for dy in (area.y_mm - held[1], area.bottom_mm - held[1]) if dy]
    shift = max(needs.at(0.0, 0.0))
    turn = scale = 0.0
    for dx in across:
        along, aside = needs.at(dx, 0.0)
        scale = max(scale, (along - shift) / abs(dx))
        turn = max(turn, (aside - shift) / abs(dx))
    for dy in down:
        aside, along = needs.at(0.0, dy)
        scale = max(scale, (along - shift) / abs(dy))
        turn = max(turn, (aside - shift) / abs(dy))
    for dx, dy in product(across, down):
        x, y = needs.at(dx, dy)
        turn = max(turn, (x - shift - scale * abs(dx)) / abs(dy))
        turn = max(turn, (y - shift - scale * abs(dy)) / abs(dx))
    return Registration(shift, math.degrees(turn), scale)
