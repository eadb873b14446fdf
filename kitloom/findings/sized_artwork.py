"""Does artwork that single stickers show larger or smaller still print well?

In: the patterns as they were measured at their own repeat, and the kit. Out: findings about the
largest size of each, where its pixels get few, and the smallest, where its lines get thin. What is
true at its own size already is said of the tile.
"""

from __future__ import annotations

from collections.abc import Sequence

from kit.compose import Kit
from kitloom.findings.codes import Finding, finding
from kitloom.findings.printing import thin_findings
from kitloom.findings.tiles import COARSE_DPI, CRISP_DPI
from kitloom.measure import UsedPattern
from palette.proof import thin_strokes


def sized_findings(patterns: Sequence[UsedPattern], kit: Kit) -> list[Finding]:
    """Say which patterns have too few pixels, or lines too thin, at a size that a row asks for."""
    found: list[Finding] = []
    for used in patterns:
        sizes = _sizes(used.name, kit)
        found += _few_pixels(used, *max(sizes, default=(1.0, 0)))
        found += _thin_lines(used, *min(sizes, default=(1.0, 0)))
    return found


def _sizes(name: str, kit: Kit) -> list[tuple[float, int]]:
    """Return at which scales a pattern is shown, each with the 0-based row."""
    return [
        (slot.scale, slot.row)
        for slot, choice in zip(kit.slots, kit.choices, strict=True)
        if name in {choice.pattern, choice.panel_pattern}
    ]


def _few_pixels(used: UsedPattern, scale: float, row: int) -> list[Finding]:
    dpi = used.plane.effective_dpi / scale
    if scale <= 1.0 or dpi >= CRISP_DPI - 0.5:
        return []
    most = int(used.plane.effective_dpi / CRISP_DPI * 100.0) / 100.0
    return [
        finding(
            "resolution",
            used.study.subject,
            severity="stop" if dpi < COARSE_DPI else "warn",
            what=f"At {scale:g} times its own size, in row {row + 1}, it has {dpi:.0f} pixels "
            "per inch.",
            why=f"Under {CRISP_DPI:.0f} edges look soft on paper, under {COARSE_DPI:.0f} they look "
            "stepped.",
            remedy=f"Set rows.{row + 1}.scale to {most:g} or less, or use larger artwork.",
            effective_dpi=round(dpi, 1),
            repeat_mm=round(used.plane.repeat_mm * scale, 3),
            key=f"rows.{row + 1}.scale",
        )
    ]


def _thin_lines(used: UsedPattern, scale: float, row: int) -> list[Finding]:
    if scale >= 1.0:
        return []
    thin = thin_strokes(used.study.artwork.pixels, used.plane.effective_dpi / scale)
    if len(thin) <= len(used.thin):
        return []
    return thin_findings(used.study.subject, thin, "note", size=(scale, row + 1))
