"""How does the tile step across a cut? Steps, kinks, contours, thin lines, alike lines, ground.

In: lines across an axis and the rows of the cuts (see ``patterns.seams.joins``). Out: for each
measure one figure a cut, in CIELAB units (CIE76) unless said. Every figure is a *worst window* or a
mean along the whole edge, so that a fault on a small part of the edge is not diluted. The join's
figure means nothing by itself: ``patterns.seams.verdict`` sets it against the interior's.

The shift-tolerant match and the rest are our own. Not done here: motifs as shapes, prediction of
whole lines (``patterns.seams.foresight``), the rhythm of stripes (``patterns.seams.rhythm``).
"""

from __future__ import annotations

import itertools

import numpy as np

from palette.arrays import Floats32, Indices
from patterns.lab32 import de76, norm, squared_norm
from patterns.seams.prediction import subtract_prediction

SHORT, LONG = 9, 27  # window lengths along the edge, lines of the stack
REACH = 3  # how far along the edge a contour may step from line to line
PENALTY = 1e-3  # of the linear model's weights


def running_mean(values: Floats32, length: int) -> Floats32:
    """Return running means over ``length`` (or less) along the last axis, (..., n - l + 1).

    Runs of 1, 2, 4, ... items are added up to runs of ``length``: quicker than sums along the line.
    All lines are added up as one; the means that reach into the next line are left out.
    """
    length = min(length, values.shape[-1])
    count = values.shape[-1] - length + 1
    run, size_of_run, done = values.reshape(-1), 1, 0
    sums = np.zeros(values.size, dtype=values.dtype)
    whole = values.size - length + 1
    while size_of_run <= length:
        if length & size_of_run:
            sums[:whole] += run[done : done + whole]
            done += size_of_run
        if 2 * size_of_run <= length:
            run = run[:-size_of_run] + run[size_of_run:]
        size_of_run *= 2
    sums *= np.float32(1.0 / length)
    return sums.reshape(values.shape)[..., :count]


def worst_run(values: Floats32, length: int) -> Floats32:
    """Return the greatest running mean along the last axis."""
    peak: Floats32 = running_mean(values, length).max(axis=-1)
    return peak


def along_mean(values: Floats32, weights: Floats32 | None = None) -> Floats32:
    """Return the mean over the middle axis of (n, along, 3), weighted by ``weights`` (n, along).

    As a product of matrices it takes a fiftieth of the time of a sum along that axis.
    """
    if weights is None:
        weights = np.full((1, values.shape[1]), 1.0 / values.shape[1], dtype=np.float32)
        mean: Floats32 = (weights @ values)[:, 0]
        return mean
    total = np.maximum(weights.sum(axis=1), 1)[:, None]
    weighted: Floats32 = (weights[:, None, :] @ values)[:, 0] / total
    return weighted


def _energy(values: Floats32) -> Floats32:
    """Return the variance along the middle axis of (n, along, 3), all channels together."""
    off = (values - along_mean(values)[:, None]).reshape(len(values), -1)
    energy: Floats32 = np.einsum("ij,ij->i", off, off) / np.float32(values.shape[1])
    return energy


class Sides:
    """The lines on either side of each cut: ``a[0]`` touches it from before, ``b[0]`` from after.

    Attributes:
        a, b: lists of (cuts, along, 3) arrays, from the cut outwards.
        step: (cuts, along) CIE76 across the cut; ``step_a`` and ``step_b`` one line further out.
    """

    def __init__(self, lines: Floats32, rows: Indices, depth: int = 8) -> None:
        self.a = [lines[rows - 1 - k] for k in range(depth)]
        self.b = [lines[rows + k] for k in range(depth)]
        self.jump = self.b[0] - self.a[0]
        self.step = norm(self.jump)
        self.step_a = de76(self.a[0], self.a[1])
        self.step_b = de76(self.b[1], self.b[0])


def step_figures(sides: Sides) -> dict[str, Floats32]:
    """Return the plain steps and what of them the slopes of both sides do not explain."""
    slope = 0.5 * (sides.a[0] - sides.a[1] + sides.b[1] - sides.b[0])
    kink = norm(sides.jump - slope)
    excess = np.maximum(sides.step - np.maximum(sides.step_a, sides.step_b), 0.0)
    # a drawn edge is spread over two lines by its smooth rim, one cut through a motif is not
    sharp = np.maximum(sides.step - sides.step_a - sides.step_b - 1.0, 0.0)
    return {
        "sharp_short": worst_run(sharp, 5),
        "sharp_all": sharp.mean(axis=-1),
        "step_short": worst_run(sides.step, SHORT),
        "step_long": worst_run(sides.step, LONG),
        "step_all": sides.step.mean(axis=-1),
        "kink_short": worst_run(kink, SHORT),
        "kink_long": worst_run(kink, LONG),
        "excess_short": worst_run(excess, SHORT),
        "excess_long": worst_run(excess, LONG),
        "excess_all": excess.mean(axis=-1),
    }


def shift_along(values: Floats32, by: int) -> Floats32:
    """Shift along the edge, repeating the end."""
    if by == 0:
        return values
    out = np.empty_like(values)
    if by > 0:
        out[:, by:] = values[:, :-by]
        out[:, :by] = values[:, :1]
    else:
        out[:, :by] = values[:, -by:]
        out[:, by:] = values[:, -1:]
    return out


def residual(sides: Sides, fit_rows: slice) -> Floats32:
    """Return (cuts, along) CIE76 of the jump that a linear model of this tile cannot foresee.

    The model is fitted by least squares to the interior cuts in ``fit_rows``; it foresees the jump
    from slopes on both sides and along the edge, so it follows slanted lines and woven textures.
    """
    a0, a1, a2 = sides.a[:3]
    b0, b1, b2 = sides.b[:3]
    terms = [a0 - a1, a1 - a2, b1 - b0, b2 - b1]
    for line in (a0, b0):
        up, down = shift_along(line, 1), shift_along(line, -1)
        up2, down2 = shift_along(line, 2), shift_along(line, -2)
        terms += [up - line, down - line, up2 - line, down2 - line]
    for near, far in ((a1, a0), (b1, b0)):
        terms += [shift_along(near, 1) - far, shift_along(near, -1) - far]
    return norm(subtract_prediction(sides.jump, terms, fit_rows, PENALTY))


def residual_figures(left: Floats32) -> dict[str, Floats32]:
    """Return worst windows and mean of what the linear model leaves unexplained."""
    return {
        "rest_short": worst_run(left, SHORT),
        "rest_long": worst_run(left, LONG),
        "rest_all": np.sqrt((left * left).mean(axis=-1)),
        "rest_flat": np.sqrt(left).mean(axis=-1) ** 2,
    }


def match_figures(sides: Sides) -> dict[str, Floats32]:
    """Return how badly each side's pixels are matched within ``REACH`` along the other side."""
    forth = np.full(sides.step.shape, np.inf, dtype=np.float32)
    back = forth.copy()
    squares, means = [], []
    for by in range(-REACH, REACH + 1):
        moved = shift_along(sides.b[0], by)
        off = de76(sides.a[0], moved)
        squares.append((off * off).mean(axis=-1))
        means.append(along_mean(moved))
        forth = np.minimum(forth, off)
        back = np.minimum(back, de76(sides.b[0], shift_along(sides.a[0], by)))
    both = np.maximum(forth, back)
    turns = 0.5 * (_along(sides.a[0]) + _along(sides.b[0])).mean(axis=-1)
    return {
        "match_share": both.mean(axis=-1) / (turns + 1.0),
        "unlike": _unlike(sides.a[0], sides.b[0], squares, means),
        "match_short": worst_run(both, SHORT),
        "match_long": worst_run(both, LONG),
        "match_all": both.mean(axis=-1),
    }


def _unlike(a: Floats32, b: Floats32, squares: list[Floats32], moved: list[Floats32]) -> Floats32:
    """Return the least variance of a - b, moved along the edge, over the variance of both lines.

    ``squares`` holds the mean squared differences by move, ``moved`` the means of the moved lines.
    """
    energy = _energy(a) + _energy(b) + 1.0
    middle = along_mean(a)
    off = [s - np.square(middle - m).sum(axis=-1) for s, m in zip(squares, moved, strict=True)]
    least: Floats32 = np.maximum(np.stack(off).min(axis=0), 0.0) / energy
    return least


def _along(line: Floats32) -> Floats32:
    """Return the step along the edge over two pixels, (cuts, along)."""
    return de76(shift_along(line, -1), shift_along(line, 1))


def _widen(values: Floats32, reach: int) -> Floats32:
    out = values
    for by in range(1, reach + 1):
        out = np.maximum(out, np.maximum(shift_along(values, by), shift_along(values, -by)))
    return out


def contour_figures(sides: Sides) -> dict[str, Floats32]:
    """Return how strongly contours run up to the cut on one side and end there."""
    ga0, ga2 = _along(sides.a[0]), _along(sides.a[2])
    gb0, gb2 = _along(sides.b[0]), _along(sides.b[2])
    ends_a = np.minimum(ga0, _widen(ga2, 2)) - _widen(np.maximum(gb0, gb2), REACH)
    ends_b = np.minimum(gb0, _widen(gb2, 2)) - _widen(np.maximum(ga0, ga2), REACH)
    ends = np.maximum(np.maximum(ends_a, ends_b), 0.0)
    contours = np.maximum(ga0, gb0).mean(axis=-1)
    return {
        "ends_short": worst_run(ends, 5),
        "ends_all": ends.mean(axis=-1),
        "ends_share": ends.mean(axis=-1) / (contours + 1.0),
    }


def line_figures(sides: Sides) -> dict[str, Floats32]:
    """Return how far one line beside the cut stands out from both of its neighbours."""
    off_a = np.minimum(sides.step_a, sides.step)
    off_b = np.minimum(sides.step_b, sides.step)
    beside_a = de76(sides.a[1], sides.b[0])
    beside_b = de76(sides.b[1], sides.a[0])
    thin_a = np.maximum(off_a - beside_a, 0.0)
    thin_b = np.maximum(off_b - beside_b, 0.0)
    mean_a = along_mean(sides.a[0] - 0.5 * (sides.a[1] + sides.b[0]))
    mean_b = along_mean(sides.b[0] - 0.5 * (sides.b[1] + sides.a[0]))
    return {
        "thin_all": np.maximum(thin_a.mean(axis=-1), thin_b.mean(axis=-1)),
        "thin_long": np.maximum(worst_run(thin_a, LONG), worst_run(thin_b, LONG)),
        "off_all": np.maximum(off_a.mean(axis=-1), off_b.mean(axis=-1)),
        "shade_all": np.maximum(norm(mean_a), norm(mean_b)),
    }


def over_figures(sides: Sides) -> dict[str, Floats32]:
    """Return how badly the two sides match over a design line up to 14 lines wide.

    Where artwork has a line drawn on the boundary, what lies beyond the line still goes on.
    """
    shares = []
    for k in (1, 3, 5, 7):
        a, b = sides.a[k], sides.b[k]
        reach = min(REACH + k, 8)
        least = np.full(sides.step.shape, np.inf, dtype=np.float32)
        for by in range(-reach, reach + 1, 1 if reach <= 4 else 2):
            np.minimum(least, squared_norm(a - shift_along(b, by)), out=least)
        turns = 0.5 * (_along(a) + _along(b)).mean(axis=-1)
        shares.append(np.sqrt(least).mean(axis=-1) / (turns + 1.0))
    return {"over_share": np.stack(shares).min(axis=0)}


def alike_figures(sides: Sides) -> dict[str, Floats32]:
    """Return log ratios: how much more alike the lines at the cut are than lines beside it.

    A tile mirrored about the cut is alike further out as well, and scores nothing.
    """
    run = [*reversed(sides.a[:4]), *sides.b[:4]]
    steps = [de76(after, before) for before, after in itertools.pairwise(run)]
    whole, parts, sums = [], [], []
    for k in (2, 3, 4):  # the line doubled may be the last, or the first, or stand on both sides
        beyond = de76(run[k + 2], run[k - 1])
        out = np.minimum(steps[k - 1], steps[k + 1])
        near = np.minimum(beyond.mean(axis=-1), out.mean(axis=-1))
        whole.append(np.log((near + 0.1) / (steps[k].mean(axis=-1) + 0.1)))
        least = np.minimum(beyond, out)
        lively = least > 3.0
        lively_sums = (least * lively).sum(axis=-1), (steps[k] * lively).sum(axis=-1)
        sums.append(np.log((lively_sums[0] + 8.0) / (lively_sums[1] + 8.0)))
        busy = np.minimum(running_mean(beyond, LONG), running_mean(out, LONG))
        parts.append(np.log((busy + 0.5) / (running_mean(steps[k], LONG) + 0.5)).max(axis=-1))
    return {
        "alike_all": np.stack(whole).max(axis=0),
        "alike_long": np.stack(parts).max(axis=0),
        "alike_sum": np.stack(sums).max(axis=0),
    }


def still_figures(sides: Sides) -> dict[str, Floats32]:
    """Return log ratios that tell an enlargement with clamped edges.

    There the last half line of the small picture was spread out flat on both sides of the cut
    ("still"), and the whole step from one line to the next is made at the cut itself ("jut").
    """
    beside = 0.5 * (sides.step_a + sides.step_b).mean(axis=-1)
    return {
        "still_all": -np.log(beside + 0.3),
        "jut_all": np.log((sides.step.mean(axis=-1) + 0.3) / (beside + 0.3)),
    }


def smoothness(sides: Sides) -> float:
    """Return how much straighter than its steps the interior runs, a log ratio: 0 for grain.

    The join is the first cut of ``sides``. Enlarged pictures are smooth, which is no evidence.
    """
    bend = norm(sides.a[0][1:] - 2.0 * sides.a[1][1:] + sides.a[2][1:]).mean()
    return float(np.log((sides.step_a[1:].mean() + 0.1) / (bend + 0.1)))


def _mean_step(lines: Floats32, rows: Indices, side: int) -> Floats32:
    total = lines[rows] - lines[rows - 1]
    for k in range(1, side):
        total += lines[rows + k] - lines[rows - 1 - k]
    mean: Floats32 = total / np.float32(side)
    return mean


def context(sides: Sides) -> dict[str, float]:
    """Return what kind of artwork and of join this is; no evidence either way by itself.

    The join is the first cut of ``sides``, the others are the interior.
    """
    mean = norm(along_mean(sides.jump)) / (sides.step.mean(axis=-1) + 1.0)
    lines = np.stack([sides.a[0][0], sides.b[0][0]])
    white = (lines[..., 0] > 98.5).mean(axis=-1)
    return {
        "join_uniform": float(mean[0]),
        "join_loud": float((sides.step[0] > 6.0).mean()),
        "join_white": float(white.max()),
        "inside_uniform": float(mean[1:].max()),
        "inside_flat": float((sides.step[1:] < 1.0).mean()),
        "inside_step": float(sides.step[1:].mean()),
        "inside_contrast": float(np.sqrt(sides.a[0][1:].var(axis=(0, 1)).sum())),
        "along_log": float(np.log(sides.step.shape[1])),
    }


def ramp(lines: Floats32, rows: Indices, interior: Indices) -> Floats32:
    """Return, for each cut, how much of its jump undoes the tile's own slow change of tone.

    The slow change is the sum of all small steps inside the tile. In CIE76; a tile that repeats
    has nothing to undo, whatever washes run over it.
    """
    steps = lines[interior] - lines[interior - 1]
    small = norm(steps) < 3.0
    slope = along_mean(steps, small.astype(np.float32))
    change = slope.mean(axis=0) * (interior[-1] - interior[0] + 1)
    total = float(np.sqrt((change * change).sum())) + 1e-6
    jump = lines[rows] - lines[rows - 1]
    back = -(np.median(jump, axis=1) @ (change / np.float32(total)))
    undone: Floats32 = np.clip(back, 0.0, total).astype(np.float32)
    return undone


def steady_ramp(lines: Floats32, join: int, interior: Indices) -> float:
    """Return how much of the join's jump undoes a change of tone that is as slow everywhere.

    Like ``ramp``, but the change must be seen in each of four parts of the tile, and most of the
    edge must jump by about as much: threads of a cloth, and washes, do neither. CIE76.
    """
    toward, change = _steady_change(lines, interior)
    back = -((lines[join] - lines[join - 1]) @ toward)
    low, middle = np.percentile(back, (30, 50))
    return float(max(0.0, min(low, middle, 1.5 * change)))


def steady_slope(lines: Floats32, interior: Indices) -> float:
    """Return how far a tone that is as slow everywhere runs over the tile, CIE76, 0 or more."""
    return max(0.0, _steady_change(lines, interior)[1])


def _steady_change(lines: Floats32, interior: Indices) -> tuple[Floats32, float]:
    """Return the direction in which small steps go, (3,), and how far in the least of 4 parts."""
    steps = lines[interior] - lines[interior - 1]
    small = norm(steps) < 3.0
    slope = along_mean(steps, small.astype(np.float32))
    whole = slope.mean(axis=0)
    toward = whole / (float(np.sqrt(whole @ whole)) + 1e-9)
    parts = [float((part @ toward).mean()) for part in np.array_split(slope, 4)]
    return toward, min(parts) * (interior[-1] - interior[0] + 1)


def ground_figures(lines: Floats32, rows: Indices, side: int) -> dict[str, Floats32]:
    """Return steps of the blurred ground: means over 3 and ``side`` lines on either side."""
    near = _mean_step(lines, rows, 3)
    wide = _mean_step(lines, rows, side)
    patch = np.stack([running_mean(wide[..., c], LONG) for c in range(3)], axis=-1)
    medians: Floats32 = np.median(np.ascontiguousarray(near.transpose(0, 2, 1)), axis=-1)
    return {
        "ground_long": norm(patch).max(axis=-1),
        "ground_all": norm(along_mean(wide)),
        "drift_all": norm(along_mean(near)),
        "drift_median": norm(medians),
    }
