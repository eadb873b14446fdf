"""Findings about outlines and pictures of the maker's own: what is not cut, what is left out."""

from __future__ import annotations

from kit.shapes import FinePart, fine_parts
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
            facts.recipe.rows[row].made_of,
            what=f"{share:.1%} of the picture's colour lies outside the cut line.",
            why="It is too pale to be cut round, or has no room inside the cut, so the sticker "
            "lacks it.",
            remedy='Give a larger distance = "…", or make the pale part more opaque.',
            share=round(share, 4),
        )
        for row, share in sorted(shares.items())
        if share >= LEAST_TOLD
    ]


def fine_findings(facts: KitFacts) -> list[Finding]:
    """Say what of an outline, drawn or round a picture, is too fine for blade and paper."""
    shapes = {slot.row: slot.shape for slot in facts.kit.slots if slot.shape is not None}
    found = []
    for number, shape in sorted(shapes.items()):
        row = facts.recipe.rows[number]
        parts = fine_parts(shape)
        if parts:
            found.append(
                finding(
                    "fine-outline",
                    row.made_of,
                    what=f"Too fine to be cut: {'; '.join(map(_fine, parts))}.",
                    why="Paper this narrow tears as it is peeled off, and a blade cannot turn in "
                    "so little room.",
                    remedy="Make these places wider or plainer, or the sticker larger.",
                    parts=[
                        {"sort": one.sort, "width_mm": round(one.width_mm, 3), "at_mm": _at(one)}
                        for one in parts
                    ],
                )
            )
    return found


def _fine(part: FinePart) -> str:
    x, y = part.at
    where = f"{x:.1f} mm from its left and {y:.1f} mm from its top"
    if part.sort == "teeth":
        return f"teeth {where}"
    noun = "strip of paper" if part.sort == "strip" else "slit"
    return f"a {noun} {part.width_mm:.2f} mm wide {where}"


def _at(part: FinePart) -> list[float]:
    return [round(one, 2) for one in part.at]


def _listed(names: tuple[str, ...]) -> str:
    """Return names such as "2 circle" as words, the first few of them."""
    words = [
        f"{count} {tag}{'' if count == '1' else 's'}"
        for count, tag in (name.split(" ", 1) for name in names)
    ]
    more = len(words) - MOST_NAMED
    return ", ".join(words[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
