"""Findings about mended tiles: what was done, and what still shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitloom.findings.codes import Finding, finding
from kitloom.findings.no_repeat import repeat_unseen_findings
from kitloom.findings.visible_seams import (
    EDGES,
    doubts,
    seam_findings,
    seam_looks,
    seam_remedy,
)
from palette.arrays import Pixels
from patterns.repeats import Repeat
from patterns.seams import SeamCheck

if TYPE_CHECKING:  # what mends a tile takes long to load, and a kit mends none
    from patterns.mend import MendResult

LOST_SHARE = 0.05  # of the tile: taking away more is a warning, since motifs go with it

OFFER = "If it is good, use the new tile"

SIDES = {"x": "left and right", "y": "top and bottom", "both": "both ways"}

_DONE = {
    "border": "took off the border that ran all round, up to {px} px a side",
    "edge-line": "cropped a thin line of one colour along the edge, {px} px",
    "doubled-line": "removed a duplicated row of {px} px",
    "overlap": "removed the last {px} px, which repeat the first",
    "fringe": "redrew {px} px of pale edge from its neighbours",
    "clamped": "redrew {px} px that enlarging had left flat at the edges",
    "drift": "levelled the ground's tone",
    "continued": "put back {px} px that were cropped off, as they stand elsewhere in the tile",
    "cut-out": "cut out the smallest tile, averaged over {px} repeats",
    "unfolded": "unfolded the tile to one that repeats straight",
    "patched": "covered what was cut off, up to {px} px from the join, with the tile's own artwork",
    "let-in": "blended the two sides over {px} px, along the least visible line",
}
_NAMES = {
    "border": "border taken off",
    "edge-line": "line along the edge cropped",
    "doubled-line": "duplicated row removed",
    "overlap": "overlap removed",
    "fringe": "pale edge redrawn",
    "clamped": "flat edge redrawn",
    "drift": "background levelled",
    "continued": "cropped strip put back",
    "cut-out": "one repeat cut out",
    "unfolded": "unfolded",
    "patched": "patched",
    "let-in": "sides blended",
}
_LENGTHS = {"x": "width", "y": "height"}


def told_of_mend(
    subject: str,
    pixels: Pixels,
    before: SeamCheck,
    repeat: Repeat | None,
    made: MendResult,
    *,
    offer: str = OFFER,
) -> list[Finding]:
    """Return all findings about a mend, the same wherever it is shown.

    Args:
        subject: the tile.
        pixels: as it was, (height, width, 3) sRGB uint8.
        before: what was measured on it.
        repeat: the smallest repeat in it.
        made: what mending made of it.
        offer: how a new tile that only an eye can judge is had.
    """
    size_px = int(pixels.shape[1]), int(pixels.shape[0])
    told = mend_findings(subject, before, made, size_px, offer)
    if not made.mended and not closes_otherwise(made, before):
        told += repeat_unseen_findings(subject, pixels, before, repeat)
    return told


def mend_findings(
    subject: str,
    before: SeamCheck,
    made: MendResult,
    size_px: tuple[int, int],
    offer: str = OFFER,
) -> list[Finding]:
    """Say what was done to a tile, that its join still shows, or where only an eye can tell."""
    if made.mended:
        return [_mended_finding(subject, made, size_px)]
    if before.seamless is True and not made.steps:
        return []
    if closes_otherwise(made, before):
        return seam_findings(subject, before, made.lattice.name)
    if in_doubt(made):
        return [_doubtful(subject, made, size_px, offer)]
    return [_not_mended_finding(subject, made)]


def step_name(kind: str) -> str:
    """Return what a step of mending did, in two or three words."""
    return _NAMES[kind]


def closes_otherwise(made: MendResult, before: SeamCheck) -> bool:
    """Tell whether a tile was left as it is because it closes in another lattice than was asked."""
    return not made.steps and made.lattice.name != before.lattice


def in_doubt(made: MendResult) -> bool:
    """Tell whether a tile not called mended has no seam and no plain fault: an eye has to tell."""
    undecided = not made.mended and made.check.seamless is not False
    known = bool(made.steps) or made.check.seamless is None
    return undecided and known and not any(doubt.plain for doubt in made.doubts)


def _mended_finding(subject: str, made: MendResult, size_px: tuple[int, int]) -> Finding:
    size = _size(made, size_px)
    lost, lost_share = _given_up(made)
    unsure = made.check.seamless is None
    return finding(
        "mended",
        subject,
        severity="warn" if lost_share > LOST_SHARE or unsure else None,
        what=f"{_done(made, capital=True)}.{size}{lost}",
        why=f"No seam was measured, but check it by eye. {doubts(made.check)}"
        if unsure
        else "The new tile passes the same check as any other.",
        remedy=f"Compare before and after in the picture beside it{_question(made, lost_share)}"
        + _repeat_remedy(made, size_px),
        steps=[step.kind for step in made.steps],
        given_up_share=round(lost_share, 4),
    )


def _question(made: MendResult, lost_share: float) -> str:
    """Return what a maker should ask of the picture of before and after."""
    if made.steps[0].kind == "border":
        return ": did the border belong to the design?"
    if made.steps[0].kind == "edge-line":
        return ": did the line belong to the design?"
    return ": do you miss what is gone?" if lost_share > LOST_SHARE else "."


def _doubtful(subject: str, made: MendResult, size_px: tuple[int, int], offer: str) -> Finding:
    lost, lost_share = _given_up(made)
    size = _size(made, size_px)
    axis = (
        made.doubts[0].axis if made.doubts else ("x" if made.check.x.verdict != "seamless" else "y")
    )
    of = made.check.x if axis == "x" else made.check.y
    if made.steps:
        passes = "shows no seam"
        if made.check.seamless is None:
            passes = "shows no seam where the check could decide"
        but = f", but {_places(made)}" if made.doubts else ""
        what = f"{_done(made, capital=True)}.{size}{lost} The new tile {passes}{but}."
        remedy = f"Look there in the picture of before and after. {offer}"
        remedy += "; if not, change the artwork itself."
        remedy += _repeat_remedy(made, size_px)
    else:
        what = (
            "A seam may show; the measurements cannot decide, and nothing that was tried made it "
            "better. The tile is unchanged."
        )
        remedy = "Look at its join in the picture of it; if it is good, use your tile as it is."
    why = f"Only your eye can tell whether this shows on a sticker. {doubts(made.check)}"
    return finding(
        "seam-unsure",
        subject,
        what=what,
        why=why.strip(),
        remedy=remedy,
        axis=axis,
        score=round(of.score, 3),
        question=of.question or "",
        steps=[step.kind for step in made.steps],
        doubts=_doubt_dicts(made),
        given_up_share=round(lost_share, 4),
    )


def _not_mended_finding(subject: str, made: MendResult) -> Finding:
    seam = made.check.seamless is False
    if not made.steps:
        name, kind = _worst_fault(made.check)
        what = (
            f"A seam still shows {EDGES[name]}: {seam_looks(kind)}. Nothing that was tried made it "
            "better, so no new tile was made."
        )
        remedy = f"{seam_remedy(kind)} The picture of the join shows where."
    elif seam:
        what = f"A seam still shows after this: {_done(made)}."
        remedy = (
            "Look at before and after, and change the artwork where kitloom check --pictures "
            "rings the join."
        )
    else:
        where = _places(made) if made.doubts else "the mended part is not like the rest"
        what = f"No seam is left after this, but {where}: {_done(made)}."
        remedy = "Look there in the picture of before and after, and change the artwork itself."
    return finding(
        "not-mended",
        subject,
        what=what,
        why="A mend that does not pass its own check would show on every sticker."
        if made.steps
        else "It comes back at every repeat, on every sticker that it crosses.",
        remedy=remedy,
        steps=[step.kind for step in made.steps],
        doubts=_doubt_dicts(made),
    )


def _done(made: MendResult, *, capital: bool = False) -> str:
    done = "; ".join(
        f"{_DONE[step.kind].format(px=step.width_px)} ({SIDES[step.axis]})" for step in made.steps
    )
    return f"{done[:1].upper()}{done[1:]}" if capital else done


def _size(made: MendResult, size_px: tuple[int, int]) -> str:
    height, width = made.pixels.shape[:2]
    if (width, height) == size_px:
        return ""
    return f" It is now {width} × {height} px; it was {size_px[0]} × {size_px[1]} px."


def repeat_factor(made: MendResult, width_px: int) -> float:
    """Return by what a tile's width on paper is to be multiplied, so that its motifs keep theirs.

    Args:
        made: the new tile.
        width_px: how wide the old one was.
    """
    return int(made.pixels.shape[1]) / width_px


def _repeat_remedy(made: MendResult, size_px: tuple[int, int]) -> str:
    """Say what becomes of the repeat in a recipe, where the width of the tile has changed."""
    factor = repeat_factor(made, size_px[0])
    if factor == 1.0:
        return ""
    return f" If a recipe sets its repeat, multiply that by {factor:.3g}: motifs stay as large."


def _places(made: MendResult) -> str:
    """Say where, and why, the mend did not pass."""
    said = []
    for doubt in made.doubts:
        if doubt.place_px:
            first, last = doubt.place_px
            place = f"from {first} to {last} px along the edge"
            strange = "the mended picture looks like nothing else in the tile"
        else:
            reach = max((s.width_px for s in made.steps if s.axis == doubt.axis), default=0)
            place = f"within {reach} px of it"
            strange = "a line or an edge in the mended picture is like none in the tile"
            if doubt.cut:
                strange = "the two sides differ much along the line where they meet"
        said.append(f"{EDGES[doubt.axis]}, {place}, {strange}")
    return "; and ".join(said)


def _worst_fault(check: SeamCheck) -> tuple[str, str]:
    """Return the first axis whose join is a seam, and what kind of fault is worst there."""
    name, axis = ("x", check.x) if check.x.verdict == "seam" else ("y", check.y)
    return name, axis.faults[0].kind if axis.faults else "join"


def _doubt_dicts(made: MendResult) -> list[dict[str, object]]:
    return [
        {
            "axis": doubt.axis,
            "score": round(doubt.score, 3),
            "from_px": doubt.place_px[0] if doubt.place_px else None,
            "to_px": doubt.place_px[1] if doubt.place_px else None,
        }
        for doubt in made.doubts
    ]


def _given_up(made: MendResult) -> tuple[str, float]:
    """Return what was cut away to blend the two sides, in words, and its share of the tile.

    A staggered tile that was unfolded first counts in its unfolded size.
    """
    height, width = made.pixels.shape[:2]
    kept, strips = 1.0, []
    for step in made.steps:
        if step.kind == "let-in":
            share = step.width_px / (step.width_px + (width if step.axis == "x" else height))
            kept *= 1.0 - share
            strips.append(f"{step.width_px} px ({_percent(share)} of the {_LENGTHS[step.axis]})")
    if not strips:
        return "", 0.0
    strip = "a strip" if len(strips) == 1 else "strips"
    them = "it" if len(strips) == 1 else "them"
    gone = "motifs in {} are gone" if 1.0 - kept > LOST_SHARE else "what was in {} is gone"
    told = f"This took away {strip} of {' and '.join(strips)}: {gone.format(them)}"
    return f" {told} from the pattern.", 1.0 - kept


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f}%" if share >= 0.01 else "under 1%"
