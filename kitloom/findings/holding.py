"""Which stickers cannot stay as they were dealt, though the recipe holds it?"""

from __future__ import annotations

from collections import Counter

from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts


def lost(facts: KitFacts) -> list[Finding]:
    """Say which stickers show something else, kind by kind."""
    kit = facts.kit
    if not kit.lost:
        return []
    kinds = Counter(kit.slots[number].kind.name for number in kit.lost)
    words = ", ".join(f"{count} {kind}" for kind, count in kinds.items())
    return [
        finding(
            "held-lost",
            "fills",
            what=f"What they showed is gone, so they show something else: {words}.",
            why="Their colour is no longer in the palette, or their tile no longer in the kit. "
            "The nearest colours took their place.",
            remedy="Choose other fills, or remove held from their row to have all chosen again.",
            stickers=len(kit.lost),
        )
    ]
