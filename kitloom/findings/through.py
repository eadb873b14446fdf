"""Findings about through cuts: slivers of backing between them, marks that they cut out."""

from __future__ import annotations

import math

from kit.layout import LEAST_BACKING_MM, mark_zones, narrowest_backing_mm
from kit.shapes import bounding_box
from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts


def sliver_findings(facts: KitFacts) -> list[Finding]:
    """Say of each sheet how narrow the backing between two through cuts is, where it is."""
    found = []
    gap_mm = facts.recipe.sheet.gap
    for number, sheet in enumerate(facts.kit.sheets, start=1):
        left_mm = narrowest_backing_mm([bounding_box(one) for one in sheet.cut.through])
        if left_mm < LEAST_BACKING_MM - 1e-6:
            # the gap is shared out in thirds, so what is left grows with it
            needed = math.ceil(10.0 * gap_mm * LEAST_BACKING_MM / left_mm - 1e-6) / 10.0
            found.append(
                finding(
                    "through-sliver",
                    f"sheet {number}",
                    what=f"Between two through cuts only {left_mm:.1f} mm of backing is left.",
                    why="So narrow a strip lifts under the blade and is dragged along.",
                    remedy=f'Set gap to {needed:.1f} mm or more, or cut.through = "sheet", one '
                    "line round all.",
                    backing_mm=round(left_mm, 3),
                    least_mm=LEAST_BACKING_MM,
                    needed_gap_mm=needed,
                )
            )
    return found


def mark_findings(facts: KitFacts) -> list[Finding]:
    """Say which marks the cut round a sheet's stickers goes round, or through."""
    zones = mark_zones(facts.recipe)
    found = []
    for number, sheet in enumerate(facts.kit.sheets, start=1):
        lines = [bounding_box(one) for one in sheet.cut.through]
        inside = [
            place
            for place, zone in enumerate(zones, start=1)
            if any(line.overlaps(zone) for line in lines)
        ]
        if inside:
            named = ", ".join(str(place) for place in inside[:4])
            more = f" and {len(inside) - 4} more" if len(inside) > 4 else ""
            s = "" if len(inside) == 1 else "s"
            found.append(
                finding(
                    "through-mark",
                    f"sheet {number}",
                    what=f"The through cut round all stickers goes round or across mark{s} "
                    f"{named}{more}.",
                    why="The piece that you take out has a printed mark on it.",
                    remedy='Set cut.through = "groups", whose lines keep off marks, or move the '
                    "marks to the sheet's edge.",
                    marks=inside,
                )
            )
    return found
