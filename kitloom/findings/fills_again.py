"""Findings about patterns that fill several stickers: alike copies, cuts across motifs."""

from __future__ import annotations

from collections import Counter
from typing import Any

import numpy as np

from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts

ALIKE_DISTANCE = 0.1  # our own measure: below it two windows are the same picture to the eye


def again_findings(facts: KitFacts) -> list[Finding]:
    """Say which patterns fill more than one sticker."""
    drawn = facts.kit.coordinates  # every part of one looks alike, as is meant
    shown = (choice.pattern for choice in facts.kit.choices)
    again = Counter(name for name in shown if name is not None and name not in drawn)
    more = {name: count for name, count in again.items() if count > 1}
    if not more:
        return []
    names = ", ".join(f"{name} ({count} times)" for name, count in sorted(more.items()))
    return [
        finding(
            "fills-repeat",
            "patterns",
            what=f"Used more than once: {names}.",
            why="Every copy shows another part of the pattern.",
            remedy="Add patterns, or ask for fewer stickers, if each should be unique.",
        )
    ]


def window_findings(facts: KitFacts) -> list[Finding]:
    """Say where copies cannot be made to differ, and where no window gives cleaner cuts."""
    found = []
    for name, figures in facts.kit.windows.figures.items():
        measures: dict[str, Any] = {
            "cut_cost_ratio": round(figures.cut_cost_ratio, 3),
            "distance": None if np.isinf(figures.distance) else round(figures.distance, 3),
        }
        if figures.distance < ALIKE_DISTANCE:
            found.append(
                finding(
                    "copies-alike",
                    name,
                    what=f"Two of its {len(figures.offsets_mm)} copies look almost the same "
                    f"(distance {figures.distance:.2f}; 1 is unrelated).",
                    why="They show the same part of the pattern, or one that looks just like it.",
                    remedy="Use it once, give some copies another fill, or set fills.variety "
                    "nearer to 1.",
                    **measures,
                )
            )
        if not figures.gains:
            found.append(
                finding(
                    "cut-motifs",
                    name,
                    what="No position gives cleaner cuts: the best one crosses "
                    f"{figures.cut_cost_ratio:.2f} times as much motif as a random one.",
                    why="Stripes and crowded patterns are cut wherever you place them.",
                    remedy="Set fills.variety nearer to 0 if it is near 1; otherwise leave it: "
                    "that is how this pattern is.",
                    **measures,
                )
            )
    return found
