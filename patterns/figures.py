"""How unusual is the join beside the tile's own interior? Every measure as a few numbers.

In: the joins of one axis. Out: named figures, all of them the higher the more seam-like. Each
measure of ``patterns.evidence_*`` is taken of the join and of up to ``INTERIOR`` interior cuts and
told as

* ``NAME:max`` log of the join's value over the interior's greatest,
* ``NAME:z`` how many interior spreads it lies over the interior's middle, on a log scale,
* ``NAME:de`` the join's value itself, in CIE76,

each with a floor of about what can be seen, so that a smooth interior does not make a ratio blow
up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patterns import evidence_novelty, evidence_rhythm, evidence_steps
from patterns.joins import SIDE, Joins, Stack

Array = NDArray[np.float32]

INTERIOR = 80  # interior cuts compared with
FLOOR_DE = 1.0
_LOGS = ("alike_all", "alike_long", "ends_share", "match_share", "unlike")  # already log ratios


@dataclass(frozen=True, slots=True)
class Figures:
    """What was measured of one axis.

    Attributes:
        values: the named figures.
        rest: (n,) what the linear model leaves unexplained along the edge, CIE76.
        px_per_item: pixels of the edge per item of ``rest``.
    """

    values: dict[str, float]
    rest: Array
    px_per_item: float


def figures_of(joins: Joins) -> Figures:
    """Return the figures of one axis; on large tiles the greater of reduced and full size."""
    values, rest = _stack_figures(joins.whole)
    if joins.blocks is not joins.whole:
        fine, rest = _stack_figures(joins.blocks)
        values = {name: max(value, fine[name]) for name, value in values.items()}
    values.update(_rhythm(joins.whole))
    values.update(_novelty(joins.whole))
    return Figures(values, rest, joins.length_px / len(rest))


def _stack_figures(stack: Stack) -> tuple[dict[str, float], Array]:
    inside = stack.interior
    if len(inside) > INTERIOR:
        inside = inside[np.linspace(0, len(inside) - 1, INTERIOR).astype(int)]
    rows = np.concatenate([[stack.join], inside])
    sides = evidence_steps.Sides(stack.lines, rows)
    left = evidence_steps.residual(sides, slice(1, None))
    measured = {
        **evidence_steps.step_figures(sides),
        **evidence_steps.residual_figures(left),
        **evidence_steps.match_figures(sides),
        **evidence_steps.contour_figures(sides),
        **evidence_steps.line_figures(sides),
        **evidence_steps.alike_figures(sides),
        **evidence_steps.ground_figures(stack.lines, rows, SIDE),
    }
    values = evidence_steps.context(sides)
    values["ramp:de"] = float(evidence_steps.ramp(stack.lines, rows[:1], inside)[0])
    for name, figure in measured.items():
        values.update(_compared(name, figure))
    return values, left[0]


def _compared(name: str, figure: Array) -> dict[str, float]:
    logs = figure if name in _LOGS else np.log(figure + FLOOR_DE)
    join, inside = float(logs[0]), logs[1:]
    middle = float(np.median(inside))
    spread = float(np.percentile(inside, 90)) - middle
    return {
        f"{name}:max": join - float(inside.max()),
        f"{name}:z": min((join - middle) / (spread + 0.15), 20.0),
        f"{name}:de": float(figure[0]),
    }


def _novelty(stack: Stack) -> dict[str, float]:
    values: dict[str, float] = {}
    for box in (2,):
        found = evidence_novelty.novelty(stack.lines, stack.join, stack.interior, SIDE, box)
        if len(found) < 4:
            found = np.zeros((4, 2), dtype=np.float32)
        values.update(_compared(f"novel{box}", found[:, 0]))
        values.update(_compared(f"novelmean{box}", found[:, 1]))
    return values


def _rhythm(stack: Stack) -> dict[str, float]:
    tile = stack.lines[SIDE:-SIDE]
    shift = 0
    join, inside, likeness = evidence_rhythm.rhythm_figures(tile, shift)
    value = np.log((join + 2.0) / (float(inside.max()) + 2.0)) if likeness else 0.0
    return {"rhythm:max": float(value), "rhythm:like": likeness, "rhythm:de": join}
