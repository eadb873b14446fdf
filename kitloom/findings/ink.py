"""Findings about ink: which fills and stickers are heavy beside the others, or over a limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kit.sheet import Sheet
from kitloom.colours import beside_black_by_name, fill_coverages, sticker_coverages
from kitloom.findings.codes import Finding
from kitloom.findings.print_colours import ink_findings, ink_limit_findings
from palette.choose import ColourBins
from palette.press import InkPress, Press
from palette.proof import share_heavy


def fills_ink(
    bins: Mapping[str, ColourBins], press: Press, totals: Mapping[str, float] | None = None
) -> list[Finding]:
    """Say which fills are heavy beside the others, and over a limit where the inks are known.

    Args:
        bins: colours of the fills.
        press: what they are printed by.
        totals: their mean total area coverages, where these are known already.
    """
    totals = totals or fill_coverages(bins, press)
    found = ink_findings("fills", beside_black_by_name(totals, press))
    if isinstance(press, InkPress):
        heavy = {name: share_heavy(own, press) for name, own in bins.items()}
        found += ink_limit_findings(totals, heavy)
    return found


def stickers_ink(
    sheets: Sequence[Sheet], fills: Mapping[str, float], press: Press
) -> list[Finding]:
    """Say which stickers are heavy beside the others, from their fills' coverages."""
    totals = sticker_coverages(sheets, fills, press)
    return ink_findings("stickers", beside_black_by_name(totals, press))
