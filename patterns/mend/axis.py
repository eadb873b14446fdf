"""Which remedy hides one join of this tile best?

In: a tile, (height, width, 3) sRGB uint8, its lattice, and the axis whose join shows. Out: a
``Candidate``: the best of several mended tiles, what was done to it, and whether it is sound: the
check does not call its join a seam, and no patch of the whole mended band is strange to the artwork
(``patterns.mend.score.interior``). Among sound ones that which loses least of the artwork is taken.

Not done here: the remedies themselves; more than one axis.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

import numpy as np

from palette.arrays import Pixels
from patterns.mend.remedies import (
    LEAST_L,
    continue_tile,
    count_double_columns,
    count_overlapping_columns,
    cut_limit_de,
    is_paper,
    let_in,
    level_drift,
    level_slope,
    measure_slope,
    patch_join,
    rank_overlaps,
    redraw_clamped,
    redraw_fringe,
    unmix_edges,
)
from patterns.mend.score import SHOWN, Interior
from patterns.plane import STRAIGHT, Lattice
from patterns.seams import check_seams

AxisName = Literal["x", "y"]

NO_WORSE = 1.3  # of the score before: a levelled ground shows motifs more plainly
MOST_CUT_DE = 18.0  # along a cut, three times what shows on plain ground: a guess from few tiles
SOFT_DE = 15.0  # the sharpest edge of artwork that can be mixed: a watercolour's
ENOUGH = 2  # sound ways of blending, each of which is checked
CHECKED = 4  # candidates that are checked
LOSS = {
    "doubled-line": 0.0,
    "overlap": 0.0,
    "fringe": 0.02,
    "clamped": 0.03,
    "continued": 0.03,
    "drift": 0.04,
    "patched": 0.06,
    "let-in": 0.1,
}
WHOLE_TO_WITHIN_PX = 1.0  # a tile of whole repeats: less is not a stripe that anybody sees wider
LOSS_WIDTH = 1.5  # what the loss of the whole width counts for, on the scale of scores


@dataclass(frozen=True, slots=True)
class MendStep:
    """One thing done to a tile.

    Attributes:
        kind: "border", "edge-line", "doubled-line", "overlap", "fringe", "clamped", "drift",
            "continued", "cut-out", "unfolded", "let-in" or "patched".
        axis: "x", "y", or "both".
        width_px: columns (of axis x) or rows dropped, drawn again, put back or laid over each
            other; for a border, the most that was taken off a side; for a cut-out, the repeats it
            was averaged over; for "patched", how far from the join the
            covered places reach.
        worst_de: for "let-in" and "patched", the worst CIE76 over a short run along the cut;
            else 0.
    """

    kind: str
    axis: str
    width_px: int
    worst_de: float = 0.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """A tile as one or more remedies leave it.

    Attributes:
        pixels: (height, width, 3) sRGB uint8.
        lattice: how it repeats.
        steps: what was done.
        score: the worst of the mended band; up to 1 nothing shows.
        loss: what it cost the artwork, on the same scale.
        sound: whether nothing shows and the check calls it no seam.
        interior: what it was judged by.
    """

    pixels: Pixels
    lattice: Lattice
    steps: tuple[MendStep, ...]
    score: float
    loss: float
    sound: bool = False
    interior: Interior | None = None

    @property
    def rank(self) -> float:
        """What shows and what was lost, in one number: the less the better."""
        return max(self.score, SHOWN) + self.loss


def mend_axis(
    pixels: Pixels,
    lattice: Lattice,
    axis: AxisName,
    *,
    lossy: bool = False,
    other_is_seam: bool = False,
    period_px: float | None = None,
) -> Candidate:
    """Return the best mend of one join; with no steps, where nothing made it better.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        lattice: how the tiles sit beside each other.
        axis: the join to mend.
        lossy: whether the file format loses detail.
        other_is_seam: whether the other join is a seam already; it must not become one.
        period_px: the repeat inside the tile across this join, of which whole ones are left; None
            where it is not known.
    """
    passes = partial(_passes, axis=axis, lossy=lossy, other_is_seam=other_is_seam)
    tile, moved = orient(pixels, axis), stagger_px(pixels, lattice, axis)
    interior = Interior(tile)
    shown = interior.score(tile, 0, moved)
    untouched = Candidate(tile, lattice, (), shown, 0.0, interior=interior)
    slope = measure_slope(tile)
    states: list[Candidate] = []
    for state in _simple(untouched, interior, moved, axis):
        if not is_whole(state.pixels, period_px):
            continue
        if state.score <= SHOWN and passes(state, sure=True):
            return _turn_back(state, axis, sound=True)
        states.append(state)
    states.sort(key=lambda each: each.rank)
    for state in states:
        trusted = SHOWN < state.score <= _trust_limit(state, untouched, slope)
        if trusted and passes(state, sure=True):
            return _turn_back(state, axis, sound=True)
    candidates = [*states]
    parents = [untouched, *states[:1]]
    for state in parents:
        candidates += _patch(state, _interior_of(state, interior), moved, axis)
    best = _first_sound(candidates, passes)
    if best is None:
        hard, soft = _let_in_all(parents, interior, axis, period_px)
        candidates += hard
        best = _first_sound(candidates, passes) or _first_sound(soft, passes)
    if best is not None:
        return _turn_back(best, axis, sound=True)
    least = min((untouched, *candidates), key=lambda each: max(each.score, SHOWN))
    return _turn_back(least, axis, sound=False)


def is_whole(tile: Pixels, period_px: float | None) -> bool:
    """Tell whether a tile still holds whole repeats: else a stripe is wider at each join.

    Args:
        tile: its join at its left and right edges.
        period_px: the repeat across the join; None where it is not known.
    """
    if period_px is None:
        return True
    width_px = int(tile.shape[1])
    off_px = abs(width_px - period_px * round(width_px / period_px))
    return bool(off_px <= WHOLE_TO_WITHIN_PX)


def _first_sound(candidates: list[Candidate], passes: Callable[..., bool]) -> Candidate | None:
    """Return the best of those that the check is content with too."""
    sound = [each for each in sorted(candidates, key=lambda each: each.rank) if _is_sound(each)]
    return next((each for each in sound[:CHECKED] if passes(each)), None)


def _trust_limit(state: Candidate, untouched: Candidate, slope: float) -> float:
    """Return up to which score a remedy is believed, though its band has no like in the artwork.

    Where a line of the design lies on the join, that line is nowhere else. There a remedy counts
    only with evidence of its own: that a line or a strip was dropped that was there twice; that
    what was drawn again was paper; that a slope runs through the whole tile, and has gone.
    """
    kind = state.steps[-1].kind
    if kind in ("doubled-line", "overlap"):
        return np.inf
    if kind == "fringe":
        known = len(state.steps) == 1 and is_paper(untouched.pixels, state.pixels)
        return untouched.score if known else SHOWN
    if kind in ("clamped", "continued"):
        return SHOWN
    levelled = abs(slope) >= LEAST_L > abs(measure_slope(state.pixels))
    return NO_WORSE * untouched.score if levelled and len(state.steps) == 1 else SHOWN


def _simple(
    start: Candidate, interior: Interior, moved: int, axis: AxisName
) -> Iterator[Candidate]:
    """Give what the remedies of single kinds make of it, the least first: alone, then together."""
    fringes = []
    for state in _each(start, interior, moved, axis):
        fringes += [state] if state.steps[-1].kind == "fringe" else []
        yield state
    for state in fringes:
        yield from _level(state, moved, axis)
    for wider, more in [] if moved else continue_tile(start.pixels):
        yield _after(start, wider, MendStep("continued", axis, more), interior, moved)


def _each(state: Candidate, interior: Interior, moved: int, axis: AxisName) -> Iterator[Candidate]:
    tile = state.pixels
    left, right = count_double_columns(tile, moved)
    if left or right:
        fewer = tile[:, left : tile.shape[1] - right]
        yield _after(state, fewer, MendStep("doubled-line", axis, left + right), interior, moved)
    overlap = count_overlapping_columns(tile, moved)
    if overlap:
        fewer = tile[:, : tile.shape[1] - overlap]
        yield _after(state, fewer, MendStep("overlap", axis, overlap), interior, moved)
    fringe = redraw_fringe(tile, moved)
    if fringe is not None:
        yield _after(state, fringe[0], MendStep("fringe", axis, fringe[1]), interior, moved)
    unclamped = redraw_clamped(tile, moved)
    if unclamped is not None:
        yield _after(state, unclamped[0], MendStep("clamped", axis, unclamped[1]), interior, moved)
    for restored in unmix_edges(tile, moved):
        yield _after(state, restored, MendStep("fringe", axis, 1), interior, moved)
    yield from _level(state, moved, axis)


def _level(state: Candidate, moved: int, axis: AxisName) -> Iterator[Candidate]:
    for remedy in (partial(level_drift, drop_px=moved), level_slope):
        level = remedy(state.pixels)
        if level is not None:
            yield _after(state, level, MendStep("drift", axis, 0), Interior(level), moved)


def _after(
    state: Candidate, tile: Pixels, step: MendStep, interior: Interior, moved: int
) -> Candidate:
    score = interior.score(tile, step.width_px, moved)
    loss = state.loss + LOSS[step.kind]
    steps = (*state.steps, step)
    return Candidate(tile, state.lattice, steps, score, loss, interior=interior)


def _interior_of(state: Candidate, interior: Interior) -> Interior:
    return state.interior or interior


def _patch(state: Candidate, own: Interior, moved: int, axis: AxisName) -> list[Candidate]:
    result = None if moved else patch_join(state.pixels, own)
    if result is None:
        return []
    tile, reach, worst_de = result
    step = MendStep("patched", axis, reach, round(worst_de, 3))
    after = _after(state, tile, step, own, moved)
    score = max(after.score, worst_de / cut_limit_de(own))
    return [replace(after, score=score)]


def _let_in_all(
    parents: list[Candidate], interior: Interior, axis: AxisName, period_px: float | None
) -> tuple[list[Candidate], list[Candidate]]:
    """Return all tiles let into themselves that keep whole repeats: parted sharply, and mixed."""
    hard: list[Candidate] = []
    soft: list[Candidate] = []
    for state in parents:
        parted, blended = _let_in(state, _interior_of(state, interior), axis)
        hard += [each for each in parted if is_whole(each.pixels, period_px)]
        soft += [each for each in blended if is_whole(each.pixels, period_px)]
    return hard, soft


def _let_in(
    state: Candidate, own: Interior, axis: AxisName
) -> tuple[list[Candidate], list[Candidate]]:
    """Return the tile let into itself, parted sharply and mixed about the path.

    A staggered one is unfolded to a straight one first.
    """
    lattice = state.lattice
    tile, steps = orient(state.pixels, axis), state.steps
    if (lattice.slide, lattice.drop)[axis == "y"]:
        tile, lattice = unfold(tile, lattice), STRAIGHT
        steps = (*steps, MendStep("unfolded", axis, 0))
    moved = stagger_px(tile, lattice, axis)
    straight = orient(tile, axis)
    candidates: tuple[list[Candidate], list[Candidate]] = ([], [])
    for way in rank_overlaps(straight, moved):
        for soft in (False, True) if own.step_limit_de <= SOFT_DE else (False,):
            result = let_in(straight, moved, way, soft=soft)
            if result is None:
                continue
            narrower, overlap, worst_de = result
            step = MendStep("let-in", axis, overlap, round(worst_de, 3))
            score = own.score(narrower, overlap, moved)
            score = max(score, worst_de / own.step_limit_de)
            loss = state.loss + LOSS["let-in"] + LOSS_WIDTH * overlap / straight.shape[1]
            made = Candidate(narrower, lattice, (*steps, step), score, loss, interior=own)
            candidates[soft].append(made)
        if sum(_is_sound(each) for each in (*candidates[0], *candidates[1])) >= ENOUGH:
            break
    return candidates


def _is_sound(state: Candidate) -> bool:
    """Tell whether band and cuts are such as a person would not see, however busy the artwork."""
    return state.score <= SHOWN and all(step.worst_de <= MOST_CUT_DE for step in state.steps)


def _passes(
    state: Candidate, axis: AxisName, *, lossy: bool, other_is_seam: bool, sure: bool = False
) -> bool:
    """Tell whether the check is content; where the remedy is sure, a line there is no doubt."""
    # nothing that repeats gets lighter from edge to edge: what drifts on is not mended
    if abs(measure_slope(state.pixels)) >= LEAST_L:
        return False
    check = check_seams(orient(state.pixels, axis), state.lattice, lossy=lossy)
    own, other = (check.x, check.y) if axis == "x" else (check.y, check.x)
    if other.verdict == "seam" and not other_is_seam:
        return False
    if own.verdict == "unsure":
        return state.score <= SHOWN or (sure and own.question == "line-part-of-design")
    return own.verdict == "seamless"


def _turn_back(state: Candidate, axis: AxisName, *, sound: bool) -> Candidate:
    """Turn a tile back; the join of all others runs down the picture."""
    return replace(state, pixels=orient(state.pixels, axis), sound=sound)


def orient(pixels: Pixels, axis: AxisName) -> Pixels:
    """Lay the join across the columns: rows and columns change places for axis y, and back."""
    return np.ascontiguousarray(pixels if axis == "x" else pixels.transpose(1, 0, 2))


def stagger_px(pixels: Pixels, lattice: Lattice, axis: AxisName) -> int:
    """Return by how many pixels the neighbour over this join sits lower, or further right."""
    if axis == "x":
        return round(lattice.drop * int(pixels.shape[0]))
    return round(lattice.slide * int(pixels.shape[1]))


def unfold(pixels: Pixels, lattice: Lattice) -> Pixels:
    """Return the straight tile, of twice the size, that repeats as this one does staggered."""
    if lattice.drop:
        lowered = np.roll(pixels, stagger_px(pixels, lattice, "x"), axis=0)
        return np.concatenate([pixels, lowered], axis=1)
    if lattice.slide:
        slid = np.roll(pixels, stagger_px(pixels, lattice, "y"), axis=1)
        return np.concatenate([pixels, slid], axis=0)
    return pixels
