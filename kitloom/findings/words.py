"""Findings about words on stickers: type too small to be read once it is printed."""

from __future__ import annotations

from collections.abc import Sequence

from kit.sheet import Sheet
from kitloom.findings import Finding, finding


def words_findings(sheets: Sequence[Sheet]) -> list[Finding]:
    """Say which words are set too small, each of them once."""
    found: dict[str, Finding] = {}
    for number, sheet in enumerate(sheets, start=1):
        for words in (one for placed in sheet.placements for one in placed.lettering):
            if words.is_legible or words.words in found:
                continue
            kind = "white on dark" if words.reversed else "dark on light"
            found[words.words] = finding(
                "small-words",
                f"sheet {number}",
                what=f'"{words.words}" is set in {words.size_pt:.1f} pt, {kind}; from '
                f"{words.least_pt:g} pt on it prints cleanly.",
                why="Ink spreads on paper: small letters fill in, and thin white strokes close.",
                remedy="Use fewer letters, a larger sticker, or a larger text_size.",
                size_pt=round(words.size_pt, 2),
                least_pt=words.least_pt,
            )
    return list(found.values())
