"""How unusual is the join beside the tile's own interior? Every measure as a few numbers.

In: the joins of one axis. Out: named figures, all of them the higher the more seam-like. Each
measure of ``patterns.seams.step_measures`` and ``patterns.seams.foresight`` is taken of the join
and of up to ``INTERIOR`` interior cuts, and stands as

* ``NAME:max`` log of the join's value over the interior's greatest,
* ``NAME:z`` how many interior spreads it lies over the interior's middle, on a log scale,
* ``NAME:de`` the join's value itself, in CIE76,

each with a floor of about what can be seen, so that a smooth interior does not make a ratio blow
up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats32, Indices
from patterns.seams import foresight, rhythm, step_measures
from patterns.seams.joins import SIDE, Joins, Stack

_Measures = Callable[[Stack, Indices, step_measures.Sides, Floats32], dict[str, Floats32]]

# what kind of artwork this is, which is no evidence either way
CONTEXT = frozenset(
    [
        "join_uniform",
        "join_loud",
        "join_white",
        "inside_uniform",
        "inside_flat",
        "inside_step",
        "inside_contrast",
        "inside_strange",
        "along_log",
        "smooth",
        "still_all:max",
        "still_all:z",
        "still_all:de",
        "rhythm:like",
    ]
)
INTERIOR = 64  # interior cuts compared with
FLOOR_DE = 1.0
_LOGS = (
    "alike_all",
    "alike_long",
    "alike_sum",
    "ends_share",
    "match_share",
    "unlike",
    "over_share",
    "strange_both",
    "still_all",
    "jut_all",
)  # already log ratios


@dataclass(frozen=True, slots=True)
class Figures:
    """What was measured of one axis.

    Attributes:
        values: the named figures.
        rest: (n,) what the linear model leaves unexplained along the edge, CIE76.
        px_per_item: pixels of the edge per item of ``rest``.
        has_rhythm: whether the tile keeps the rhythm measured inside, and shows it three times.
    """

    values: dict[str, float]
    rest: Floats32
    px_per_item: float
    has_rhythm: bool = True


def measure_joins(joins: Joins) -> Figures:
    """Return the figures of one axis; on large tiles the greater of reduced and full size."""
    values, rest = _stack_figures(joins.whole, _all_measures)
    if joins.blocks is not joins.whole:
        fine, rest = _stack_figures(joins.blocks, _line_measures)
        values.update({name: max(values[name], value) for name, value in fine.items()})
    tile = joins.whole.lines[SIDE:-SIDE]
    period, like = rhythm.period_across(tile)
    values.update(_rhythm(tile, joins.whole.moved, period, like))
    has_rhythm = like >= rhythm.HELD_FROM and rhythm.is_seen_thrice(tile, period)
    return Figures(values, rest, joins.length_px / len(rest), has_rhythm)


def _stack_figures(stack: Stack, measures: _Measures) -> tuple[dict[str, float], Floats32]:
    inside = _sample_interior(stack)
    rows = np.concatenate([[stack.join], inside])
    sides = step_measures.Sides(stack.lines, rows, stack.side)
    left = step_measures.residual(sides, slice(1, None))
    values = step_measures.context(sides) if stack.side == SIDE else {}
    values["smooth"] = step_measures.smoothness(sides)
    values.update(_compare(measures(stack, rows, sides, left)))
    if stack.side == SIDE:
        values["inside_strange"] = values["strange_both:de"] - values["strange_both:max"]
        values["steady:de"] = step_measures.steady_ramp(stack.lines, stack.join, stack.interior)
        values["ramp:de"] = float(step_measures.ramp(stack.lines, rows[:1], inside)[0])
    return values, left[0]


def _sample_interior(stack: Stack) -> Indices:
    """Return interior cuts, half of them where JPEG's blocks begin, as one may at the join."""
    inside = stack.interior
    if len(inside) <= INTERIOR:
        return inside
    aligned = inside[(inside - stack.side) % 8 == 0]
    parts = []
    for cuts in (aligned, np.setdiff1d(inside, aligned)):
        spread = np.linspace(0, len(cuts) - 1, min(len(cuts), INTERIOR // 2))
        parts.append(cuts[spread.astype(int)])
    return np.sort(np.concatenate(parts))


def _line_measures(
    _stack: Stack, _rows: Indices, sides: step_measures.Sides, left: Floats32
) -> dict[str, Floats32]:
    """Return what only shows in full size: steps, thin lines and doubled lines."""
    return {
        **step_measures.step_figures(sides),
        **step_measures.residual_figures(left),
        **step_measures.line_figures(sides),
        **step_measures.alike_figures(sides),
        **step_measures.still_figures(sides),
    }


def _all_measures(
    stack: Stack, rows: Indices, sides: step_measures.Sides, left: Floats32
) -> dict[str, Floats32]:
    return {
        **_line_measures(stack, rows, sides, left),
        **step_measures.match_figures(sides),
        **step_measures.contour_figures(sides),
        **foresight.foresight_figures(sides, slice(1, None)),
        **step_measures.over_figures(sides),
        **step_measures.ground_figures(stack.lines, rows, stack.side),
    }


def _compare(measured: dict[str, Floats32]) -> dict[str, float]:
    """Return the join's figures, first of each row, beside the interior's, all the others."""
    table = np.stack([f if name in _LOGS else np.log(f + FLOOR_DE) for name, f in measured.items()])
    inside = np.sort(table[:, 1:], axis=1)
    middle, high = np.percentile(inside, (50, 90), axis=1)
    values = {}
    for row, (name, figure) in enumerate(measured.items()):
        join, floor = float(table[row, 0]), 0.03 if name in _LOGS else 0.08
        over = (join - float(middle[row])) / (float(high[row] - middle[row]) + floor)
        values[f"{name}:max"] = join - float(inside[row, -1])
        values[f"{name}:z"] = min(over, 20.0)
        values[f"{name}:de"] = float(figure[0])
    return values


def _rhythm(tile: Floats32, moved: int, period: int, like: float) -> dict[str, float]:
    if not period:
        return {"rhythm:max": 0.0, "rhythm:like": 0.0, "rhythm:de": 0.0}
    join, inside = rhythm.rhythm_figures(tile, moved, period)
    value = float(np.log((join + 2.0) / (float(inside.max()) + 2.0)))
    return {"rhythm:max": value, "rhythm:like": like, "rhythm:de": join}
