"""When this tile repeats, will anybody see where it meets itself?

In: a tile, (height, width, 3) sRGB uint8, and its lattice. Out: a ``SeamCheck``: for each axis a
verdict, how sure it is, and for each fault its kind, where it lies along the edge in pixels, and
how far the colours are apart (CIEDE2000). The join is judged against the tile's own interior,
because what would be a seam in a watercolour is the pattern itself in a stripe.

Published beside this: TexTile (Rodriguez-Pardo, Casas, Garces, Lopez-Moreno, "TexTile: a
differentiable metric for texture tileability", CVPR 2024), a learned score for the whole tile. It
answers how well a texture repeats altogether, conspicuous single features included, and can drive
an optimiser; it names no axis, no place and no kind of fault, and needs its own network. This
module answers those three and nothing about how restful the repeat looks.

Not done here: mending, finding the repeat (``patterns.repeats.search``), sentences for people.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from palette.arrays import Pixels
from patterns.plane import STRAIGHT, Lattice
from patterns.seams.border import border_px
from patterns.seams.edge_lines import MIXED_PX, crop_lines, find_edge_lines
from patterns.seams.inner_repeat import (
    breaks_inner_repeat,
    obeys_inner_repeat,
    runs_through_repeats,
)
from patterns.seams.joins import LEAST_PX, build_joins
from patterns.seams.stripes import run_evenly
from patterns.seams.values import AxisCheck, Fault, SeamCheck
from patterns.seams.verdict import DOUBT_SCORE, SEAM_FROM, SEAMLESS_TO, judge, judge_small


def check_seams(pixels: Pixels, lattice: Lattice = STRAIGHT, *, lossy: bool = False) -> SeamCheck:
    """Judge both joins of a tile.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        lattice: how the tiles sit beside each other.
        lossy: whether the file format loses detail; its artefacts are then not held against it.

    Returns:
        The verdict, the same for the same pixels whatever the number of threads.

    Raises:
        ValueError: ``pixels`` is not of that shape and type.
    """
    if pixels.ndim != 3 or pixels.shape[2] != 3 or pixels.dtype != np.uint8 or not pixels.size:
        raise ValueError("check_seams needs (height, width, 3) sRGB uint8")
    check = _check(pixels, lattice, lossy=lossy)
    return check if check.seamless else _named_by_frame(check, pixels, lattice, lossy=lossy)


def _check(pixels: Pixels, lattice: Lattice, *, lossy: bool) -> SeamCheck:
    shifts = (lattice.drop, lattice.slide)
    if min(pixels.shape[:2]) < LEAST_PX:
        sides, ends = (judge_small(pixels, axis, shift) for axis, shift in enumerate(shifts))
        return SeamCheck(sides, ends, lattice.name)
    sides, ends = (
        _by_its_repeat(judge(joins, lossy=lossy), pixels, axis, shift, lossy=lossy)
        for axis, (joins, shift) in enumerate(
            zip(build_joins(pixels, lattice), shifts, strict=True)
        )
    )
    if "seamless" in (sides.verdict, ends.verdict) and border_px(pixels, lossy=lossy):
        sides, ends = _with_border(sides), _with_border(ends)
    return SeamCheck(sides, ends, lattice.name)


def _by_its_repeat(
    check: AxisCheck, pixels: Pixels, axis: int, shift: float, *, lossy: bool
) -> AxisCheck:
    """Return the verdict that the tile's own repeat proves or disproves, else the one given."""
    # what an enlargement leaves flat at the edges is thinner than what repeats are compared by;
    # beside a line of the design all is flat
    ruled = check.question == "line-part-of-design"
    clamped = not ruled and any(fault.kind == "clamped" for fault in check.faults)
    doubted = check.verdict != "seamless" and not clamped
    proven = (doubted and obeys_inner_repeat(pixels, axis, shift, lossy=lossy)) or (
        ruled and run_evenly(pixels, axis, shift)
    )
    if check.verdict == "seam" and not proven:
        return check
    broken = breaks_inner_repeat(pixels, axis, shift, lossy=lossy)
    if broken == 1.0:
        return AxisCheck(
            "seam", max(check.score, SEAM_FROM), _whole("rhythm", check), check.strength, None
        )
    if proven:
        return AxisCheck("seamless", min(check.score, SEAMLESS_TO), (), check.strength, None)
    if runs_through_repeats(pixels, axis, lossy=lossy):
        return AxisCheck(
            "seam", max(check.score, SEAM_FROM), _whole("drift", check), check.strength, None
        )
    if broken and check.verdict == "seamless":
        return AxisCheck(
            "unsure", DOUBT_SCORE, _whole("rhythm", check), check.strength, "faint-join"
        )
    return check


def _named_by_frame(
    check: SeamCheck, pixels: Pixels, lattice: Lattice, *, lossy: bool
) -> SeamCheck:
    """Return a check whose faults name a frame of one colour, where one runs all round the tile.

    How much is to be cropped is what closes the tile, if anything does: the artwork beneath a frame
    may be lost.
    """
    # a line that may be of the design is a question of its own
    if all(axis.verdict != "seam" and axis.question != "faint-join" for axis in (check.x, check.y)):
        return check
    lines = find_edge_lines(pixels, lossy=lossy)
    if not lines.frame:
        return check
    x = lines.x if check.x.verdict != "seamless" else (0, 0)
    y = lines.y if check.y.verdict != "seamless" else (0, 0)
    for more in range(MIXED_PX[lossy] + 1):
        wider_x, wider_y = ((a and a + more, b and b + more) for a, b in (x, y))
        inner = _check(crop_lines(pixels, wider_x, wider_y), lattice, lossy=lossy)
        left = [one.verdict for one, wide in ((inner.x, x), (inner.y, y)) if any(wide)]
        if set(left) == {"seamless"}:
            x, y = wider_x, wider_y
            break
    return replace(check, x=_with_line(check.x, x), y=_with_line(check.y, y))


def _with_line(check: AxisCheck, lines_px: tuple[int, int]) -> AxisCheck:
    """Return the verdict on a join along which such a line lies."""
    if not any(lines_px):
        return check
    along = len(check.strength)
    line = Fault("edge-line", 0, along, round(float(check.strength.mean()), 2), lines_px)
    return replace(check, faults=(line,))


def _with_border(check: AxisCheck) -> AxisCheck:
    """Return the verdict on a join along which a border lies: a person must say if it is meant."""
    if check.verdict == "seam":
        return check
    border = Fault("border", 0, len(check.strength), 0.0)
    return AxisCheck("unsure", DOUBT_SCORE, (border,), check.strength, "border-part-of-design")


def _whole(kind: str, check: AxisCheck) -> tuple[Fault, ...]:
    along = len(check.strength)
    return (Fault(kind, 0, along, round(float(check.strength.mean()), 2)),)
