"""Findings about artwork that was proofed: what shifts, what is too thin, pixels, and ink."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kitloom.colours import FillProof, stems_of
from kitloom.findings.codes import Finding
from kitloom.findings.heavy_ink import fills_ink
from kitloom.findings.printing import fill_findings, thin_findings
from kitloom.findings.tiles import resolution_findings
from palette.press import Press
from patterns.units import MM_PER_INCH


def proof_findings(
    fills: Sequence[FillProof], press: Press, repair: Path | None = None
) -> list[Finding]:
    """Say what a maker should know of proofed fills.

    Args:
        fills: in the order in which they were named.
        press: what prints.
        repair: the folder that this run repairs them into, so that no finding asks for it again.
    """
    found: list[Finding] = []
    for fill, stem in zip(fills, stems_of(fills), strict=True):
        new = str(repair / f"{stem}.png") if repair is not None else ""
        found += fill_findings(fill.file, fill.assessment, press, new)
        found += thin_findings(fill.file, fill.thin, width_px=fill.artwork.width_px)
        if fill.dpi_at_repeat:
            repeat_mm = fill.artwork.width_px / fill.dpi_at_repeat * MM_PER_INCH
            found += resolution_findings(fill.file, fill.dpi_at_repeat, repeat_mm)
    return [*found, *fills_ink({fill.file: fill.bins for fill in fills}, press)]
