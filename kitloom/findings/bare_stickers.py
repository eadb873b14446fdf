"""Findings about the raster that was drawn: is every sticker printed wherever its cut may fall?"""

from __future__ import annotations

from collections.abc import Sequence

from kit.render import Unprinted
from kit.sheet import Sheet
from kitloom.findings.codes import Finding, finding


def bare_findings(
    sheets: Sequence[Sheet], unprinted: Sequence[Sequence[Unprinted]]
) -> list[Finding]:
    """Say which stickers of drawn sheets lack their fill inside the cut line or in the bleed.

    Args:
        sheets: what lies on them.
        unprinted: what the renderer found on each.
    """
    return [
        finding(
            "unprinted",
            f"sheet {number}",
            what=f"Sticker {one.number + 1}, a {sheet.placements[one.number].kind}, is bare "
            f"over {_percent(one.share)} of its inside and bleed.",
            why="Its fill would be missing there, and the paper would be wasted.",
            remedy="Do not print this sheet. Give the sticker a simpler outline or another size, "
            "and please report it: the fault is kitloom's.",
            sticker=one.number + 1,
            share=round(one.share, 4),
        )
        for number, (sheet, bare) in enumerate(zip(sheets, unprinted, strict=True), start=1)
        for one in bare
    ]


def _percent(share: float) -> str:
    return f"{share:.0%}" if share >= 0.01 else "under 1%"
