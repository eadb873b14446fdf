"""Findings about words on stickers: type too small to be read once it is printed."""

from __future__ import annotations

import math
from collections.abc import Sequence

from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts

NAMED = 3  # words of one size that a sentence names


def words_findings(facts: KitFacts) -> list[Finding]:
    """Say which words are set too small: one finding for all of a size and a tone."""
    found: dict[tuple[float, bool], dict[str, str]] = {}
    least: dict[bool, float] = {}
    for number, sheet in enumerate(facts.kit.sheets, start=1):
        for words in (one for placed in sheet.placements for one in placed.lettering):
            if not words.is_legible:
                group = found.setdefault((words.size_pt, words.reversed), {})
                group.setdefault(words.words, f"sheet {number}")
                least[words.reversed] = words.least_pt
    return [
        _too_small(list(group), next(iter(group.values())), size_pt, least[white], white=white)
        for (size_pt, white), group in found.items()
    ]


def _too_small(
    words: Sequence[str], sheet: str, size_pt: float, least_pt: float, *, white: bool
) -> Finding:
    named = ", ".join(f'"{one}"' for one in words[:NAMED])
    more = f" and {len(words) - NAMED} more" if len(words) > NAMED else ""
    are = "is" if len(words) == 1 else "are"
    # rounded down, so that it never reads like the limit itself
    size = math.floor(size_pt * 10.0) / 10.0
    return finding(
        "small-words",
        sheet,
        what=f"{named}{more} {are} set in {size:.1f} pt, "
        f"{'white on dark' if white else 'dark on light'}; type prints cleanly from "
        f"{least_pt:g} pt on.",
        why="Ink spreads on paper: small letters fill in, and thin white strokes close.",
        remedy="Use fewer letters, a larger sticker, or a larger text_size.",
        size_pt=round(size_pt, 2),
        least_pt=least_pt,
        words=list(words),
    )
