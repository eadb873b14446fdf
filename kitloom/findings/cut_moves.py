"""A finding about cut lines that the recipe moves."""

from __future__ import annotations

from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts


def moved_findings(facts: KitFacts) -> list[Finding]:
    """Say how far the cut lines are moved, where they are."""
    (x, y), turn = facts.recipe.cut.offset, facts.recipe.cut.turn
    if not (x or y or turn):
        return []
    ways = [
        f"{abs(mm):.2f} mm {(back, on)[mm > 0.0]}"
        for mm, back, on in ((x, "left", "right"), (y, "up", "down"))
        if mm
    ]
    if turn:
        round_ = "clockwise" if turn > 0.0 else "anticlockwise"
        ways.append(f"{abs(turn):.3f} degrees {round_}")
    return [
        finding(
            "cut-moved",
            facts.recipe.file.name,
            what=f"In every cut file the cuts are moved {', '.join(ways)}.",
            why="This corrects what your own cutter misses by; it is wrong for any other.",
            remedy="For a print shop or another cutter, remove offset and turn from the recipe's "
            "[cut].",
            offset_x_mm=x,
            offset_y_mm=y,
            turn_deg=turn,
        )
    ]
