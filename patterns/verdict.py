"""From figures to a verdict: is this join a seam, of which kind, and where?

In: the joins of one axis. Out: its ``AxisCheck``. The score is a logistic function of the strongest
kinds of evidence; two thresholds part "seamless", "unsure" and "seam". Nothing that is not visible
is called a seam: below ``VISIBLE_DE`` along the whole edge the verdict is "seamless".
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palette.difference import de2000
from patterns.evidence_steps import windowed
from patterns.figures import Figures, figures_of
from patterns.joins import Joins
from patterns.seams import AxisCheck, Fault, Verdict

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

SEAM_FROM = 0.6
SEAMLESS_TO = 0.4
VISIBLE_DE = 2.3  # CIE76: the just noticeable difference after Mahy and others, 1994


def judged(joins: Joins, *, lossy: bool = False) -> AxisCheck:
    """Return the verdict on one axis; ``lossy`` raises what counts as visible a little."""
    figures = figures_of(joins)
    strength = _strength(joins)
    score = _score(figures, lossy=lossy)
    verdict: Verdict = "unsure"
    if score >= SEAM_FROM:
        verdict = "seam"
    elif score <= SEAMLESS_TO:
        verdict = "seamless"
    faults = () if verdict == "seamless" else _faults(figures, strength)
    question = "is-the-line-part-of-the-design" if verdict == "unsure" else None
    return AxisCheck(verdict, round(score, 4), faults, strength, question)


def too_small(pixels: Pixels, axis: int) -> AxisCheck:
    """Judge a tile that has no interior: plain is seamless, anything else unsure."""
    plain = bool((pixels == pixels[:1, :1]).all())
    strength = np.zeros(pixels.shape[axis])
    strength.setflags(write=False)
    if plain:
        return AxisCheck("seamless", 0.0, (), strength, None)
    return AxisCheck("unsure", 0.5, (), strength, "too-small-to-judge")


def _score(figures: Figures, *, lossy: bool) -> float:
    v = figures.values
    strongest = max(
        v["step_long:max"],
        v["match_long:max"],
        v["rest_all:max"],
        v["off_all:max"],
        v["shade_all:max"],
        v["rhythm:max"],
        v["drift_all:de"] / 4.0 - 1.6,
    )
    visible = max(v["step_short:de"], v["drift_all:de"], v["rhythm:de"]) / VISIBLE_DE
    if visible < (1.5 if lossy else 1.0):
        return 0.0
    return float(1.0 / (1.0 + np.exp(-8.0 * (strongest - 0.35))))


def _strength(joins: Joins) -> Floats:
    """Return CIEDE2000 of the jump at the join, one item per pixel of the edge."""
    stack = joins.blocks
    jump = de2000(stack.lines[stack.join - 1], stack.lines[stack.join])
    where = (np.arange(joins.length_px) + 0.5) * (len(jump) / joins.length_px)
    strength: Floats = jump[np.minimum(where.astype(int), len(jump) - 1)]
    strength.setflags(write=False)
    return strength


def _faults(figures: Figures, strength: Floats) -> tuple[Fault, ...]:
    """Return the stretches along the edge that stand out, the worst first."""
    smooth = windowed(np.pad(figures.rest, 4, mode="edge")[None], 9)[0]
    loud = smooth > max(VISIBLE_DE, 0.35 * float(smooth.max()))
    edges = np.flatnonzero(np.diff(np.concatenate([[0], loud.astype(int), [0]])))
    scale = figures.px_per_item
    faults = []
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        a, b = int(start * scale), min(len(strength), int(np.ceil(end * scale)))
        faults.append(Fault("join", a, b, round(float(strength[a:b].mean()), 2)))
    return tuple(sorted(faults, key=lambda f: -f.shift_de2000 * (f.to_px - f.from_px)))
