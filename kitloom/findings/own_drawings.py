"""Findings about outlines and pictures of the maker's own: what is not cut, what is left out."""

from __future__ import annotations

from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts

MOST_NAMED = 4
LEAST_TOLD = 0.005  # of a picture's colour; less is the soft edge of any drawing


def beside_findings(facts: KitFacts) -> list[Finding]:
    """Say what the files of outlines draw besides the path that is cut."""
    beside = {slot.row: slot.beside for slot in facts.kit.slots if slot.beside}
    return [
        finding(
            "outline-beside",
            str(facts.recipe.rows[row].outline),
            what=f"Beside the path that is cut, the file draws {_listed(names)}.",
            why="Only the path is cut. If the sticker's edge is another shape, it comes out wrong.",
            remedy="Keep the outline alone in the file, as one path; hide or delete the rest.",
            beside=list(names),
        )
        for row, names in sorted(beside.items())
    ]


def left_out_findings(facts: KitFacts) -> list[Finding]:
    """Say how much of a picture its cut line leaves out."""
    shares = {slot.row: slot.drawing.left_out for slot in facts.kit.slots if slot.drawing}
    return [
        finding(
            "icon-left-out",
            str(facts.recipe.rows[row].picture),
            what=f"{share:.1%} of the picture's colour lies outside the cut line.",
            why="It is too pale to be cut round, or has no room inside the cut, so the sticker "
            "lacks it.",
            remedy='Give a larger distance = "…", or make the pale part more opaque.',
            share=round(share, 4),
        )
        for row, share in sorted(shares.items())
        if share >= LEAST_TOLD
    ]


def _listed(names: tuple[str, ...]) -> str:
    """Return names such as "2 circle" as words, the first few of them."""
    words = [
        f"{count} {tag}{'' if count == '1' else 's'}"
        for count, tag in (name.split(" ", 1) for name in names)
    ]
    more = len(words) - MOST_NAMED
    return ", ".join(words[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
