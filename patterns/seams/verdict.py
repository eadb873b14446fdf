"""From figures to a verdict: is this join a seam, of which kind, and where?

In: the joins of one axis. Out: its ``AxisCheck``. Boosted trees (``patterns.seams.trees``), learnt
from clean and faulty tiles by ``learning``, give the chance of a fault, the chance that
a straight line of the design lies on the join, and the kind. Around them stand rules in plain
words:

* a rhythm that is broken is a seam whatever the edge pixels say, if the tile keeps it inside and
  shows it three times;
* a tone that runs steadily over the tile, and jumps back at the join, is a drift;
* where nothing differs visibly along the whole edge, it is seamless whatever the trees say;
* so it is where no measure at all exceeds the interior's greatest: a gingham's own edges;
* so it is where it lies inside a plain stripe of the design; where it lies on the hard line between
  two, no louder than such lines are inside, it is never a seam: a person must say;
* so must one where a tone runs over plain stripes and may jump back at such a line;
* an outline of the design that lies along the join and curves off it is no fault: what is left of
  the edge decides; where the outline may have been cut off by less than a line, a person must say;
* a break in grain that is no louder than the grain itself must be surer than others;
* a design line on the boundary is ambiguous by nature: the verdict is left to a person.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from palette.arrays import Floats, Indices, Mask, Pixels
from palette.space import de2000
from patterns.seams.contours import leave_out, outline_columns
from patterns.seams.figures import CONTEXT, Figures, measure_joins
from patterns.seams.joins import Joins
from patterns.seams.step_measures import running_mean
from patterns.seams.stripes import place_in_stripes
from patterns.seams.trees import forest
from patterns.seams.values import AxisCheck, Fault, Verdict

Named = Mapping[str, Floats]

SEAM_FROM = 0.8
SEAMLESS_TO = 0.5
DOUBT_SCORE = 0.65  # of a join that a rule leaves to a person
LINE_FROM = 0.33
RHYTHM_FROM = 0.3  # log of the join's break over the interior's greatest
ORDINARY = 0.05  # log of the join's value over the interior's greatest
DRIFT_FROM_DE = 3.0  # about L* from edge to edge; less is a matter of opinion
DRIFT_SCORE = 0.9
KIND_FROM = 0.3
ALONG_OUTLINES = ("crop", "cut-motif")  # what an outline along the join is taken for
# lines of the reduced tile by which an outline may have been cut off, and the least score then
BEYOND = ((0.35, 0.0), (0.75, DOUBT_SCORE))
MOST_OUTLINE = 0.5  # of the edge: what is left of it must still say something
FIGURE_DECIMALS = 4  # so that the last bits, which depend on threads, never decide
VISIBLE_DE = 2.3  # CIE76: the just noticeable difference after Mahy and others, 1994
# in grain that is no louder at the join than elsewhere the eye has nothing to go on: surer, or ask
GRAIN_TO = 0.3  # share of the interior's steps that cannot be seen
HIDDEN_TO = 0.15  # log of the join's value over the interior's greatest
HIDDEN_SEAM_FROM = 0.95
LOUD = tuple(
    f"{name}:max"
    for name in (
        *("step_short", "step_long", "kink_short", "rest_short", "excess_short"),
        *("match_short", "ends_short", "strange_long", "ground_long"),
    )
)
WHOLE_EDGE = ("fringe", "drift", "rhythm", "doubled-line")


def classify(seam: Floats, line: Floats, rhythm: Floats) -> Indices:
    """Return 0 seamless, 1 unsure, 2 seam, for chances of fault and line, and broken rhythm."""
    verdict = np.where(seam >= SEAM_FROM, 2, np.where(seam > SEAMLESS_TO, 1, 0))
    verdict = np.where((verdict == 2) & (line > LINE_FROM), 1, verdict)
    return np.where(rhythm > RHYTHM_FROM, 2, verdict)


def judge(joins: Joins, *, lossy: bool = False) -> AxisCheck:
    """Return the verdict on one axis; ``lossy`` asks for a little more before anything shows."""
    figures = measure_joins(joins)
    values = _rounded(figures)
    chances = _chances(values)
    place = place_in_stripes(joins, lossy=lossy)
    if is_drift(values) or place == "drift":
        chances["kind:drift"] = np.array(1.0)
    rhythm = float(values["rhythm:max"]) if figures.has_rhythm else 0.0
    seam = apply_rules(chances, values, lossy=lossy)
    if seam > SEAMLESS_TO and likeliest_kinds(chances) in ALONG_OUTLINES:
        seam = _beside_outlines(seam, joins, values, lossy=lossy)
    if place == "inside":
        seam = np.array(0.0)
    elif place == "drift":
        seam = np.maximum(seam, DOUBT_SCORE)
    elif place == "between" and not is_drift(values) and _is_quiet(values):
        seam = np.minimum(seam, SEAM_FROM - 1e-4)
    number = int(classify(seam, chances["line"], np.array(rhythm)))
    name: Verdict = ("seamless", "unsure", "seam")[number]
    kind = _kind(chances, rhythm)
    strength = _strength(joins, kind if name != "seamless" else "")
    has_line = name == "unsure" and (place == "between" or chances["line"] > LINE_FROM)
    faults = () if name == "seamless" else _faults(figures, kind, strength)
    question = ("line-part-of-design" if has_line else "faint-join") if name == "unsure" else None
    return AxisCheck(name, _score(float(seam), rhythm, number), faults, strength, question)


def _rounded(figures: Figures) -> dict[str, Floats]:
    return {k: np.array(round(v, FIGURE_DECIMALS)) for k, v in figures.values.items()}


def _chances(values: Named) -> dict[str, Floats]:
    plain = forest().chances({k: float(v) for k, v in values.items()})
    return {k: np.array(v) for k, v in plain.items()}


def _beside_outlines(seam: Floats, joins: Joins, values: Named, *, lossy: bool) -> Floats:
    """Return the chance of a fault by what is left where no outline lies along the join."""
    for beyond, least in BEYOND:
        columns = outline_columns(joins, beyond)
        if columns.any() and columns.mean() <= MOST_OUTLINE:
            rest = _rounded(measure_joins(leave_out(joins, columns)))
            rest |= {k: v for k, v in values.items() if k.startswith("rhythm")}  # of the whole edge
            left = apply_rules(_chances(rest), rest, lossy=lossy)
            seam = np.minimum(seam, np.maximum(left, least))
    return seam


def apply_rules(chances: Named, values: Named, *, lossy: bool = False) -> Floats:
    """Return the chance of a fault after the plain rules, for any number of joins at once."""
    seam = np.where(is_drift(values), np.maximum(chances["seam"], DRIFT_SCORE), chances["seam"])
    seam = np.where(_visibility(values) > (1.5 if lossy else 1.0), seam, 0.0)
    seam = np.where(_is_ordinary(values), seam * SEAMLESS_TO, seam)
    doubtful = _is_hidden(values) & (likeliest_kinds(chances) == "crop") & (seam < HIDDEN_SEAM_FROM)
    return np.where(doubtful, np.minimum(seam, SEAM_FROM - 1e-4), seam)


def is_drift(values: Named) -> Mask:
    """Whether a tone runs steadily over the tile and jumps back at the join."""
    holds: Mask = (values["steady:de"] >= DRIFT_FROM_DE) & (values["drift_median:max"] > 0.2)
    return holds


def likeliest_kinds(chances: Named) -> NDArray[np.str_]:
    """Return the likeliest kind of each join."""
    kinds = [k for k in chances if k.startswith("kind:")]
    best = np.argmax(np.stack([chances[k] for k in kinds]), axis=0)
    names: NDArray[np.str_] = np.array([k.removeprefix("kind:") for k in kinds])[best]
    return names


def _score(seam: float, rhythm: float, number: int) -> float:
    """Return the chance of a fault, held inside the range that the verdict stands for."""
    broken = float(1.0 / (1.0 + np.exp(-10.0 * (rhythm - RHYTHM_FROM))))
    low, high = ((0.0, SEAMLESS_TO), (SEAMLESS_TO, SEAM_FROM), (SEAM_FROM, 1.0))[number]
    return round(float(np.clip(max(seam, broken if number == 2 else 0.0), low, high)), 4)


def _is_ordinary(values: Named) -> Mask:
    """Whether no measure of the join exceeds the interior's greatest, and no tone runs steadily."""
    greatest = [
        value
        for name, value in values.items()
        # what lies beyond a line on the join is another question, and context is no evidence
        if name.endswith(":max") and not name.startswith("over_share") and name not in CONTEXT
    ]
    holds: Mask = (np.max(greatest, axis=0) <= ORDINARY) & (values["steady:de"] < 2.0)
    return holds


def _is_hidden(values: Named) -> Mask:
    """Whether the artwork is grain all over and nothing at the join is louder than the grain."""
    holds: Mask = (values["inside_flat"] < GRAIN_TO) & _is_quiet(values)
    return holds


def _is_quiet(values: Named) -> Mask:
    """Whether nothing at the join is louder than inside."""
    holds: Mask = np.max([values[name] for name in LOUD], axis=0) < HIDDEN_TO
    return holds


def _visibility(values: Named) -> Floats:
    """Return the most that differs anywhere along the join, in just noticeable differences."""
    names = ("step_short:de", "kink_short:de", "rest_short:de", "drift_all:de", "rhythm:de")
    most: Floats = np.max([values[name] for name in names], axis=0) / VISIBLE_DE
    return most


def judge_small(pixels: Pixels, axis: int, shift: float = 0.0) -> AxisCheck:
    """Judge a tile that has no interior.

    Where nothing changes across the join (one colour, a tile one pixel wide or high, stripes that
    cross it) there is none to be seen; anything else is unsure.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        axis: 0 where the right edge meets the left, 1 where the bottom meets the top.
        shift: how far the neighbour is moved along the edge, a share of it.
    """
    across = pixels.transpose(1, 0, 2) if axis == 0 else pixels
    moved = np.roll(across[0], round(shift * across.shape[1]), axis=0)
    still = bool((across == across[:1]).all() and (moved == across[0]).all())
    strength = np.zeros(pixels.shape[axis])
    strength.setflags(write=False)
    if still:
        return AxisCheck("seamless", 0.0, (), strength, None)
    return AxisCheck("unsure", SEAMLESS_TO, (), strength, "too-small-to-judge")


def _strength(joins: Joins, kind: str) -> Floats:
    """Return CIEDE2000 of the jump at the join, one item per pixel of the edge.

    Where a line is doubled there is no jump: what should have come next is one line further on.
    """
    stack = joins.blocks
    after = stack.join + (1 if kind == "doubled-line" else 0)
    jump = de2000(stack.lines[stack.join - 1], stack.lines[after])
    where = (np.arange(joins.length_px) + 0.5) * (len(jump) / joins.length_px)
    strength: Floats = jump[np.minimum(where.astype(int), len(jump) - 1)]
    strength.setflags(write=False)
    return strength


def _kind(chances: Named, rhythm: float) -> str:
    """Return the likeliest kind, or "join" where none is likely."""
    best = str(likeliest_kinds(chances))
    named = bool(chances[f"kind:{best}"] >= KIND_FROM)
    # a tone that drifts throws the stripes' likeness off as well
    if rhythm > RHYTHM_FROM and not (named and best == "drift"):
        return "rhythm"
    return best if named else "join"


def _faults(figures: Figures, kind: str, strength: Floats) -> tuple[Fault, ...]:
    """Return the stretches along the edge that stand out, the worst first."""
    runs = [] if kind in WHOLE_EDGE else _runs(figures)
    if not runs:
        runs = [(0, len(strength))]
    faults = [
        Fault(kind, a, min(b, len(strength)), round(float(strength[a:b].mean()), 2))
        for a, b in runs
        if a < len(strength)
    ]
    return tuple(sorted(faults, key=lambda f: -f.shift_de2000 * (f.to_px - f.from_px)))


def _runs(figures: Figures) -> list[tuple[int, int]]:
    """Return pixel ranges of the edge where what cannot be foreseen is visible and loud."""
    smooth = running_mean(np.pad(figures.rest, 4, mode="edge")[None], 9)[0]
    loud = smooth > max(VISIBLE_DE, 0.3 * float(smooth.max()))
    edges = np.flatnonzero(np.diff(np.concatenate([[0], loud.astype(int), [0]])))
    scale = figures.px_per_item
    runs: list[tuple[int, int]] = []
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        a, b = int(start * scale), int(np.ceil(end * scale))
        if runs and a - runs[-1][1] < 12 * scale:
            runs[-1] = (runs[-1][0], b)  # a gap that short is not a gap to the eye
        else:
            runs.append((a, b))
    return runs
