"""Mend a tile so that nobody sees where it meets itself, and say what was done to it.

In: a tile, (height, width, 3) sRGB uint8, its ``SeamCheck`` and lattice, and the repeat found in it
if any. Out: a ``Mended`` tile: the steps taken, the check of the result, and whether that check is
content, over the whole band that was touched. What could not be mended says so.

Each kind of fault has its own remedy, tried from the one that touches least: a line that is there
twice is dropped, a fringe drawn anew, a drift levelled; a picture of more than one repeat gives its
smallest clean tile; and what is left is let into itself along the least visible path.

A lattice staggered along the join to be let in cannot be kept (the stagger would change with the
tile): such a tile is unfolded first, to one of twice the size that repeats straight. Not done here:
finding seams and repeats.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from patterns.cut_out import cut_out, is_partial
from patterns.lattice import STRAIGHT, Lattice
from patterns.light import Pixels
from patterns.mend_doubled import doubled_columns
from patterns.mend_drift import level_drift
from patterns.mend_fringe import redraw_fringe
from patterns.mend_join import HIDDEN_DE, join_de, let_in
from patterns.repeats import Repeat
from patterns.seams import AxisCheck, SeamCheck, check_seams

AxisName = Literal["x", "y"]


@dataclass(frozen=True, slots=True)
class MendStep:
    """One thing done to a tile.

    Attributes:
        kind: "doubled-line", "fringe", "drift", "cut-out", "unfolded" or "let-in".
        axis: "x", "y", or "both".
        width_px: columns (of axis x) or rows dropped, drawn anew or laid over each other; for a
            cut-out, the repeats it was averaged over.
        worst_de: for "let-in", the worst CIE76 over a short run along the path; else 0.
    """

    kind: str
    axis: str
    width_px: int
    worst_de: float = 0.0


@dataclass(frozen=True, slots=True)
class Mended:
    """A tile after mending.

    Attributes:
        pixels: (height, width, 3) sRGB uint8, read-only.
        lattice: how it repeats; straight where it was unfolded.
        steps: what was done, in order.
        check: the verdict on the result.
        mended: whether no join that was to be mended shows any more, nor the band that was touched.
    """

    pixels: Pixels
    lattice: Lattice
    steps: tuple[MendStep, ...]
    check: SeamCheck
    mended: bool


def mend(
    pixels: Pixels,
    check: SeamCheck,
    lattice: Lattice = STRAIGHT,
    repeat: Repeat | None = None,
    axes: tuple[AxisName, ...] | None = None,
    *,
    lossy: bool = False,
) -> Mended:
    """Mend the joins of a tile.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        check: the verdict on it.
        lattice: how the tiles sit beside each other.
        repeat: the smallest repeat in it; a picture of several is cut down to one.
        axes: the joins to mend; those that the check does not call seamless, if None.
        lossy: whether the file format loses detail, as in ``check_seams``.
    """
    wanted = tuple(axes) if axes is not None else _visible(check)
    steps: list[MendStep] = []
    if wanted and repeat is not None and is_partial(pixels, repeat):
        cut = cut_out(pixels, repeat)
        pixels, lattice = cut.pixels, cut.lattice
        steps.append(MendStep("cut-out", "both", cut.repeats))
    for axis in () if steps else wanted:  # what was cut out at its repeat meets itself
        pixels, lattice, done = _mend_axis(pixels, lattice, axis, lossy=lossy)
        steps += done
    if steps:
        check = check_seams(pixels, lattice, lossy=lossy)
    pixels = pixels.view()
    pixels.setflags(write=False)
    sound = not _visible(check, wanted) and _bands_hidden(pixels, lattice, steps, lossy=lossy)
    return Mended(pixels, lattice, tuple(steps), check, bool(wanted or steps) and sound)


def _visible(check: SeamCheck, among: tuple[AxisName, ...] = ("x", "y")) -> tuple[AxisName, ...]:
    return tuple(axis for axis in among if _of(check, axis).verdict != "seamless")


def _of(check: SeamCheck, axis: AxisName) -> AxisCheck:
    return check.x if axis == "x" else check.y


def _mend_axis(
    pixels: Pixels, lattice: Lattice, axis: AxisName, *, lossy: bool
) -> tuple[Pixels, Lattice, list[MendStep]]:
    steps: list[MendStep] = []
    remedies = (("doubled-line", _doubled), ("fringe", _fringe), ("drift", _drift))
    for kind, remedy in remedies:
        found = remedy(_turned(pixels, axis), _moved_px(pixels, lattice, axis))
        if found is None:
            continue
        pixels = _turned(found[0], axis)
        steps.append(MendStep(kind, axis, found[1]))
        if _of(check_seams(pixels, lattice, lossy=lossy), axis).verdict != "seam":
            return pixels, lattice, steps
    straight = unfolded(pixels, lattice) if (lattice.slide, lattice.drop)[axis == "y"] else pixels
    kept = lattice if straight is pixels else STRAIGHT
    moved = _moved_px(straight, kept, axis)
    found_path = let_in(_turned(straight, axis), moved)
    if found_path is None:
        return pixels, lattice, steps
    now = join_de(_turned(straight, axis), moved)
    # what has a remedy already needs a better reason to lose a part of the artwork
    if found_path[2] >= (min(0.5 * now, HIDDEN_DE) if steps else max(HIDDEN_DE, now)):
        return pixels, lattice, steps
    if kept is not lattice:
        steps.append(MendStep("unfolded", axis, 0))
    narrower, overlap, worst_de = found_path
    steps.append(MendStep("let-in", axis, overlap, round(worst_de, 3)))
    return _turned(narrower, axis), kept, steps


def _doubled(tile: Pixels, moved: int) -> tuple[Pixels, int] | None:
    left, right = doubled_columns(tile, moved)
    return (tile[:, left : tile.shape[1] - right], left + right) if left or right else None


def _fringe(tile: Pixels, moved: int) -> tuple[Pixels, int] | None:
    return redraw_fringe(tile, moved)


def _drift(tile: Pixels, moved: int) -> tuple[Pixels, int] | None:
    levelled = level_drift(tile, moved)
    return None if levelled is None else (levelled, 0)


def _turned(pixels: Pixels, axis: AxisName) -> Pixels:
    """Lay the join across the columns: rows and columns change places for axis y, and back."""
    return np.ascontiguousarray(pixels if axis == "x" else pixels.transpose(1, 0, 2))


def _moved_px(pixels: Pixels, lattice: Lattice, axis: AxisName) -> int:
    if axis == "x":
        return round(lattice.drop * int(pixels.shape[0]))
    return round(lattice.slide * int(pixels.shape[1]))


def unfolded(pixels: Pixels, lattice: Lattice) -> Pixels:
    """Return the straight tile, of twice the size, that repeats as this one does staggered."""
    if lattice.drop:
        lowered = np.roll(pixels, _moved_px(pixels, lattice, "x"), axis=0)
        return np.concatenate([pixels, lowered], axis=1)
    if lattice.slide:
        slid = np.roll(pixels, _moved_px(pixels, lattice, "y"), axis=1)
        return np.concatenate([pixels, slid], axis=0)
    return pixels


def _bands_hidden(pixels: Pixels, lattice: Lattice, steps: list[MendStep], *, lossy: bool) -> bool:
    """Check the lines inside what was touched, as if the tile met itself there."""
    straight = unfolded(pixels, lattice)
    for step in steps:
        if step.worst_de > 2.0 * HIDDEN_DE:
            return False
        if step.kind not in {"fringe", "let-in"} or lattice is not STRAIGHT:
            continue
        direction = 1 if step.axis == "x" else 0
        for inside in {step.width_px, step.width_px // 2} - {0}:
            moved = np.roll(straight, inside, axis=direction)
            verdict = _of(check_seams(moved, lossy=lossy), "x" if direction else "y").verdict
            if verdict == "seam":
                return False
    return True
