"""Findings about outlines and pictures of the maker's own: what is not cut, what is left out."""

from __future__ import annotations

from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts

MOST_NAMED = 4


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


def _listed(names: tuple[str, ...]) -> str:
    """Return names such as "2 circle" as words, the first few of them."""
    words = [
        f"{count} {tag}{'' if count == '1' else 's'}"
        for count, tag in (name.split(" ", 1) for name in names)
    ]
    more = len(words) - MOST_NAMED
    return ", ".join(words[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
