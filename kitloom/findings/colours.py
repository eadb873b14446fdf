"""Findings about colours: what shifts in print, and which colours cannot be told apart.

Pairs under CIEDE2000 5 warn, and fills side by side under 2.5 stop: common practice, no published
source. The grades of the print shift are the press's own (``palette.proof``).
"""

from __future__ import annotations

from collections.abc import Sequence

from kitloom.findings import Finding, finding
from palette.contrast import Pair
from palette.press import Press
from palette.proof import ColourAssessment, FillAssessment

CLOSE_DE2000 = 5.0
SAME_DE2000 = 2.5
FILL_SHARE = 0.05


def colour_findings(colours: Sequence[ColourAssessment], press: Press) -> list[Finding]:
    """Say which colours the press cannot reach, and how far the forecast is to be trusted."""
    found = [
        finding(
            "colour-shift",
            one.hex,
            what=f"It prints as {one.printed_hex}, a shift of {one.shift_de2000:.1f} (CIEDE2000).",
            why=f"{press.name} cannot reach this colour; on paper it looks duller.",
            remedy=f"Use {one.nearest_hex}, the nearest that prints as it is seen, "
            "or accept the shift.",
            shift_de2000=round(one.shift_de2000, 2),
            printed_hex=one.printed_hex,
            nearest_hex=one.nearest_hex,
            grade=one.grade,
        )
        for one in colours
        if one.grade == "will shift"
    ]
    return [*found, press_finding(press)]


def press_finding(press: Press) -> Finding:
    """Say what a forecast of this press is worth."""
    return finding(
        "press-limits",
        press.name,
        what=press.limits,
        why="Paper, ink and driver settings decide what really prints.",
        remedy="Print one test sticker, or give your printer's own ICC profile.",
    )


def fill_findings(subject: str, fill: FillAssessment, press: Press) -> list[Finding]:
    """Say when a good part of a fill moves visibly in print."""
    if fill.share_out_of_gamut < FILL_SHARE:
        return []
    share = f"{fill.share_out_of_gamut:.0%}"
    return [
        finding(
            "fill-shift",
            subject,
            what=f"{share} of it lies outside what {press.name} prints; "
            f"it moves by {fill.mean_shift_de2000:.1f} on average (CIEDE2000).",
            why="These areas look duller on paper than on screen, and may lose detail.",
            remedy="Compare before and after in the report; kitloom proof --repair writes a tile "
            "that keeps its contrast within what prints.",
            share_out_of_gamut=round(fill.share_out_of_gamut, 4),
            mean_shift_de2000=round(fill.mean_shift_de2000, 2),
            p95_shift_de2000=round(fill.p95_shift_de2000, 2),
        )
    ]


def pair_findings(pairs: Sequence[Pair]) -> list[Finding]:
    """Name the palette colours that are hard to tell apart, on screen or only once printed."""
    found = []
    for pair in pairs:
        printed = pair.de2000_printed
        subject = f"{pair.a} and {pair.b}"
        if pair.de2000 < CLOSE_DE2000:
            found.append(
                finding(
                    "pair-close",
                    subject,
                    what=f"They differ by only {pair.de2000:.1f} (CIEDE2000).",
                    why="Side by side on a sheet they look like one colour.",
                    remedy="Ask for fewer colours, or do not put them side by side.",
                    de2000=round(pair.de2000, 2),
                    de2000_printed=None if printed is None else round(printed, 2),
                )
            )
        elif printed is not None and printed < CLOSE_DE2000:
            found.append(
                finding(
                    "pair-merges",
                    subject,
                    what=f"They differ by {pair.de2000:.1f} on screen but only {printed:.1f} in "
                    "print (CIEDE2000).",
                    why="On paper they look like one colour.",
                    remedy="Use only one of them, or move one to a colour that prints.",
                    de2000=round(pair.de2000, 2),
                    de2000_printed=round(printed, 2),
                )
            )
    return found
