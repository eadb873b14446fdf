"""Findings about mended tiles: what was done, and what still shows."""

from __future__ import annotations

from kitloom.findings import Finding, finding
from kitloom.findings.tiles import doubts
from patterns.mend import Mended
from patterns.seams import SeamCheck

LOST_SHARE = 0.05  # of the tile: who gives up more is warned, since motifs go with it

SIDES = {"x": "left and right", "y": "top and bottom", "both": "both ways"}

_DONE = {
    "doubled-line": "took off {px} px of a line that stood twice",
    "fringe": "drew {px} px of pale edge anew from its neighbours",
    "clamped": "drew {px} px anew that enlarging had left flat at the edges",
    "drift": "levelled the ground's tone",
    "cut-out": "cut out the smallest tile, averaged over {px} repeats",
    "unfolded": "unfolded the tile to one that repeats straight",
    "patched": "covered what was cut off, up to {px} px from the join, with the tile's own artwork",
    "let-in": "let the two sides into each other over {px} px, along the least visible path",
}
_LENGTHS = {"x": "width", "y": "height"}


def mend_findings(
    subject: str, before: SeamCheck, made: Mended, size_px: tuple[int, int]
) -> list[Finding]:
    """Say what was done to a tile, or that its join still shows; of a doubtful one, what to ask."""
    done = "; ".join(
        f"{_DONE[step.kind].format(px=step.width_px)} ({SIDES[step.axis]})" for step in made.steps
    )
    height, width = made.pixels.shape[:2]
    size = ""
    if (width, height) != size_px:
        size = f" It is now {width} x {height} px, where it was {size_px[0]} x {size_px[1]} px."
    lost, lost_share = _given_up(made)
    unsure = made.check.seamless is None
    if made.mended:
        return [
            finding(
                "mended",
                subject,
                severity="warn" if lost_share > LOST_SHARE or unsure else None,
                what=f"{done[:1].upper()}{done[1:]}.{size}{lost}",
                why=f"Nothing shows by measure, but it wants your eye. {doubts(made.check)}"
                if unsure
                else "The new tile passes the same check as any other.",
                remedy="Compare before and after in the picture beside it"
                + (", whether you miss what is gone" if lost_share > LOST_SHARE else "")
                + (", and scale a repeat written in a recipe by the same share." if size else "."),
                steps=[step.kind for step in made.steps],
                given_up_share=round(lost_share, 4),
            )
        ]
    if before.seamless is True and not made.steps:
        return []
    return [
        finding(
            "not-mended",
            subject,
            what=f"A join still shows{f' after this: {done}' if done else ''}.",
            why="A mend that does not pass its own check would show on every sticker.",
            remedy="Look at before and after, and mend the artwork where the join is ringed by "
            "kitloom check --pictures.",
            steps=[step.kind for step in made.steps],
        )
    ]


def _given_up(made: Mended) -> tuple[str, float]:
    """Return what was cut away to let sides into each other, in words, and its share of the tile.

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
    strip = "A strip" if len(strips) == 1 else "Strips"
    were, them = ("was", "it") if len(strips) == 1 else ("were", "them")
    gone = "motifs in {} are gone" if 1.0 - kept > LOST_SHARE else "what stood in {} is gone"
    told = f"{strip} of {' and '.join(strips)} {were} given up for this: {gone.format(them)}"
    return f" {told} from the pattern.", 1.0 - kept


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %" if share >= 0.01 else "under 1 %"
