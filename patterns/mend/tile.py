"""Mend a tile so that nobody sees where it meets itself, and say what was done to it.

In: a tile, (height, width, 3) sRGB uint8, its ``SeamCheck`` and lattice, and the repeat found in it
if any. Out: a ``MendResult``: the tile, the steps taken, its check, and whether that check is
content, over the whole band that was touched. What could not be mended says so.

A straight tile that closes as it is in a half-drop or half-brick is no fault, and comes back with
that lattice, untouched. Each kind of fault has its own remedy, tried from the one that touches
least: a thin frame or a border all round is cropped where the tile inside closes; a line that is
there twice is dropped, a fringe or a flat edge drawn again, a drift levelled; a picture of more
than one repeat gives its smallest clean tile; and what is left is let into itself along the least
visible path. Where the repeat inside a tile is known for sure, a mend leaves a whole number of it.

A lattice staggered along the join to be let in cannot be kept (the stagger would change with the
tile): such a tile is unfolded first, to one of twice the size that repeats straight. Not done here:
finding seams and repeats.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from palette.arrays import Pixels
from patterns.mend.axis import (
    AxisName,
    Candidate,
    MendStep,
    is_whole,
    mend_axis,
    orient,
    stagger_px,
)
from patterns.mend.cut_out import CutOut, cut_out, is_partial
from patterns.mend.doubt import Doubt, describe_doubt
from patterns.mend.remedies import take_border_off
from patterns.mend.score import SHOWN, Interior
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT, Lattice, parse_lattice
from patterns.repeats import Repeat
from patterns.seams import AxisCheck, SeamCheck, check_seams
from patterns.seams.border import border_px
from patterns.seams.edge_lines import crop_lines

STARTS = (0.0, 0.25, 0.4)  # of a repeat: where in a picture a tile may begin
SURE = 0.9  # confidence of a repeat from which a mend keeps to it


@dataclass(frozen=True, slots=True)
class MendResult:
    """A tile after mending.

    Attributes:
        pixels: (height, width, 3) sRGB uint8, read-only.
        lattice: how it repeats; straight where it was unfolded; another than was asked, with no
            steps, where the tile closes in that as it is.
        steps: what was done, in order.
        check: the verdict on the result.
        mended: whether no join that was to be mended shows any more, nor the band that was touched.
        doubts: why not, of each join that a remedy was tried on without success.
    """

    pixels: Pixels
    lattice: Lattice
    steps: tuple[MendStep, ...]
    check: SeamCheck
    mended: bool
    doubts: tuple[Doubt, ...] = ()


def mend(
    pixels: Pixels,
    check: SeamCheck,
    lattice: Lattice = STRAIGHT,
    repeat: Repeat | None = None,
    axes: tuple[AxisName, ...] | None = None,
    *,
    lossy: bool = False,
) -> MendResult:
    """Mend the joins of a tile.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        check: the verdict on it.
        lattice: how the tiles sit beside each other.
        repeat: the smallest repeat in it; a picture of several is cut down to one.
        axes: the joins to mend; those that the check does not call seamless, if None.
        lossy: whether the file format loses detail, as in ``check_seams``.
    """
    to_mend = tuple(axes) if axes is not None else _visible(check)
    were = _visible(check, least="seam")
    if axes is None and lattice is STRAIGHT:
        closed = _closed(pixels, check, lossy=lossy)
        if closed is not None:
            return _untouched(pixels, *closed)
    steps: list[MendStep] = []
    whole = _without_lines(pixels, check, lattice, repeat, to_mend, lossy=lossy)
    if whole is not None:
        pixels, check, cropped = whole
        steps += cropped
        to_mend = _visible(check, to_mend)
    elif to_mend and _has_border(check):
        pixels, check, off_px = _without_border(pixels, lattice, lossy=lossy)
        steps.append(MendStep("border", "both", off_px))
        to_mend = _visible(check)
    elif to_mend and repeat is not None and is_partial(pixels, repeat):
        found = _cut_out(pixels, repeat, lossy=lossy)
        if found is not None:
            tile, check = found
            pixels, lattice = tile.pixels, tile.lattice
            steps.append(MendStep("cut-out", "both", tile.repeats))
    sound = True
    failed: list[tuple[Pixels, AxisName, Candidate]] = []
    # what was cut out at its repeat meets itself, unless a fault was just there
    cut = any(step.kind == "cut-out" for step in steps)
    for axis in _visible(check, to_mend, "seam") if cut else to_mend:
        across: AxisName = "y" if axis == "x" else "x"
        # a join that is to be mended too may show more plainly until it is
        doubted = "unsure" if across in to_mend else "seam"
        other = across in _visible(check, least=doubted)
        best = mend_axis(
            pixels,
            lattice,
            axis,
            lossy=lossy,
            other_is_seam=other,
            period_px=_sure_period_px(repeat, axis),
        )
        failed += [(pixels, axis, best)] if best.steps and not best.sound else []
        pixels, lattice, sound = best.pixels, best.lattice, sound and best.sound
        steps += best.steps
    if steps:
        check = check_seams(pixels, lattice, lossy=lossy)
    pixels = _read_only(pixels)
    # a join that needed no mending must not have become a seam
    sound = sound and all(a in were and a not in to_mend for a in _visible(check, least="seam"))
    doubts = tuple(
        describe_doubt(before, pixels, lattice, axis, candidate)
        for before, axis, candidate in failed
    )
    return MendResult(pixels, lattice, tuple(steps), check, bool(steps) and sound, doubts)


def _closed(pixels: Pixels, check: SeamCheck, *, lossy: bool) -> tuple[Lattice, SeamCheck] | None:
    """Return the staggered lattice in which a tile with one seam closes as it is, or None."""
    # a stagger moves the neighbours over one join alone
    seams = _visible(check, least="seam")
    if len(seams) != 1:
        return None
    staggered = HALF_DROP if seams == ("x",) else HALF_BRICK
    closed = check_seams(pixels, staggered, lossy=lossy)
    return (staggered, closed) if closed.seamless else None


def _untouched(pixels: Pixels, lattice: Lattice, check: SeamCheck) -> MendResult:
    return MendResult(_read_only(pixels), lattice, (), check, mended=False)


def _read_only(pixels: Pixels) -> Pixels:
    view = pixels.view()
    view.setflags(write=False)
    return view


def _without_lines(
    pixels: Pixels,
    check: SeamCheck,
    lattice: Lattice,
    repeat: Repeat | None,
    axes: tuple[AxisName, ...],
    *,
    lossy: bool,
) -> tuple[Pixels, SeamCheck, list[MendStep]] | None:
    """Return (tile, check, steps) without the lines of one colour along its edges.

    None where there are none, or where what is left does not close: the artwork under them is lost.
    """
    lines = {axis: _lines_px(_of(check, axis)) for axis in axes}
    cropped = tuple(axis for axis in axes if any(lines[axis]))
    if not cropped:
        return None
    inner = crop_lines(pixels, lines.get("x", (0, 0)), lines.get("y", (0, 0)))
    closes = check_seams(inner, lattice, lossy=lossy)
    spoilt = [axis for axis in _visible(closes, least="seam") if axis not in _visible(check)]
    if spoilt or _visible(closes, cropped):
        return None
    for axis in cropped:
        tile, moved = orient(inner, axis), stagger_px(inner, lattice, axis)
        whole = is_whole(tile, _sure_period_px(repeat, axis))
        # a motif on the join may have no like: nothing was drawn, so edges and lines tell enough
        if not whole or Interior(tile).score(tile, 0, moved, patches=False) > SHOWN:
            return None
    return inner, closes, [MendStep("edge-line", axis, sum(lines[axis])) for axis in cropped]


def _lines_px(check: AxisCheck) -> tuple[int, int]:
    """Return how wide a line lies along a join, on either side of it, where that is its fault."""
    return next((fault.lines_px for fault in check.faults if any(fault.lines_px)), (0, 0))


def _has_border(check: SeamCheck) -> bool:
    return "border-part-of-design" in (check.x.question, check.y.question)


def _without_border(
    pixels: Pixels, lattice: Lattice, *, lossy: bool
) -> tuple[Pixels, SeamCheck, int]:
    """Return (the tile inside a border, its check, widest side taken off): whole, if it can be."""
    wide = border_px(pixels, lossy=lossy)
    inner = [
        (tile, check_seams(tile, lattice, lossy=lossy), off_px)
        for tile, off_px in take_border_off(pixels, wide)
    ]
    whole = next((one for one in inner if one[1].seamless), None)
    return whole or min(inner, key=lambda one: max(one[1].x.score, one[1].y.score))


def _cut_out(pixels: Pixels, repeat: Repeat, *, lossy: bool) -> tuple[CutOut, SeamCheck] | None:
    """Return a tile cut out of a picture, at a place where its joins pass, if there is one.

    None where it shows what the picture does not show: a drift or a motif that was cut off is no
    reason to take less of the artwork.
    """
    best: tuple[CutOut, SeamCheck] | None = None
    for part in _parts(pixels, repeat):
        cut = cut_out(part, repeat)
        if not _resembles(pixels, cut):
            continue
        check = check_seams(cut.pixels, cut.lattice, lossy=lossy)
        if check.seamless:
            return cut, check
        if best is None or (best[1].seamless is False and check.seamless is None):
            best = cut, check
    return best


def _parts(pixels: Pixels, repeat: Repeat) -> Iterator[Pixels]:
    """Yield a picture, then less of its left and its top, as long as a whole repeat is left.

    A line of the design may lie where the picture begins: elsewhere in it the same tile has none
    on its joins.
    """
    for share in STARTS:
        down = min(share * repeat.height_px, pixels.shape[0] - repeat.height_px)
        across = min(share * repeat.width_px, pixels.shape[1] - repeat.width_px)
        yield pixels[max(0, int(down)) :, max(0, int(across)) :]


def _sure_period_px(repeat: Repeat | None, axis: AxisName) -> float | None:
    """Return the repeat across a join, where it is measured, not guessed from work by hand."""
    if repeat is None or repeat.confidence < SURE or parse_lattice(repeat.lattice) is not STRAIGHT:
        return None
    return repeat.width_px if axis == "x" else repeat.height_px


def _resembles(picture: Pixels, cut: CutOut) -> bool:
    """Tell whether both joins of a tile cut out show nothing that its picture does not show."""
    axes: tuple[AxisName, ...] = ("x", "y")
    for axis in axes:
        interior = Interior(orient(picture, axis))
        moved = stagger_px(cut.pixels, cut.lattice, axis)
        # on a reduced copy a repeat between two pixels has no match
        exact = interior.factor == 1.0
        if interior.score(orient(cut.pixels, axis), 0, moved, patches=exact) > SHOWN:
            return False
    return True


def _visible(
    check: SeamCheck, among: tuple[AxisName, ...] = ("x", "y"), least: str = "unsure"
) -> tuple[AxisName, ...]:
    shown = ("seam",) if least == "seam" else ("seam", "unsure")
    return tuple(axis for axis in among if _of(check, axis).verdict in shown)


def _of(check: SeamCheck, axis: AxisName) -> AxisCheck:
    return check.x if axis == "x" else check.y
