"""Findings about what is printed beside patterns and palette: plain colours and drawings.

They have the codes of palette colours and tiles, and the same limits. A colour of the palette is
reported there, with its places on the sheets, and not again here.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from kitloom.findings.codes import Finding, finding
from kitloom.findings.places import key_words, place_dicts, where_words
from kitloom.findings.printing import FILL_SHARE, shift_findings
from palette.press import Press

if TYPE_CHECKING:
    from kitloom.inks import InkVerdict, JudgedDrawing

LEAST_NAMED = 0.01  # of the visible area: a colour with less says little of a drawing


def sheet_colour_findings(
    verdict: InkVerdict, press: Press, known: Collection[str] = ()
) -> list[Finding]:
    """Say which plain colours and drawings on the sheets the press cannot reach.

    Args:
        verdict: all of them, judged for the press.
        press: what prints.
        known: colours "#rrggbb" that are reported elsewhere.
    """
    others = [one for one in verdict.colours if one.colour.hex not in known]
    places = {one.colour.hex: one.places for one in others}
    found = shift_findings([one.colour for one in others], press, places)
    return [
        *(one if key_words(places[one.subject]) else _own_ink(one) for one in found),
        *(told for one in verdict.drawings for told in _drawing(one, press)),
    ]


def _own_ink(one: Finding) -> Finding:
    """Return the finding about an ink of kitloom's own, of words or marks, which nobody can set."""
    return replace(
        one,
        severity="note",
        remedy="kitloom prints these in this ink whatever the recipe says; only other paper or "
        "another printer changes it.",
    )


def _drawing(one: JudgedDrawing, press: Press) -> list[Finding]:
    printed, places = one.printed, one.drawing.places
    if printed.share_out_of_gamut < FILL_SHARE:
        return []
    own: dict[str, Any] = {}
    if one.worst is not None:
        own = {"main_hex": one.worst.hex, "nearest_hex": one.worst.nearest_hex}
    return [
        finding(
            "fill-shift",
            one.drawing.file,
            what=f"{printed.share_out_of_gamut:.0%} of what it shows is outside what "
            f"{press.name} prints; it moves by {printed.mean_shift_de2000:.1f} on average "
            f"(CIEDE2000): {where_words(places)}.",
            why="These areas look duller on paper than on screen, and may lose detail.",
            remedy=f"{_main_colour(one)}Draw it in colours that print, or accept the shift; "
            f"{key_words(places)} in the recipe names it.",
            share_out_of_gamut=round(printed.share_out_of_gamut, 4),
            mean_shift_de2000=round(printed.mean_shift_de2000, 2),
            p95_shift_de2000=round(printed.p95_shift_de2000, 2),
            places=place_dicts(places),
            **own,
        )
    ]


def _main_colour(one: JudgedDrawing) -> str:
    """Say how far its main colour that shifts prints off, and what prints true."""
    worst = one.worst
    if worst is None:
        return ""
    share = f" ({one.worst_share:.0%} of it)" if one.worst_share >= LEAST_NAMED else ""
    return (
        f"Its {worst.hex}{share} prints {worst.shift_de2000:.1f} off; {worst.nearest_hex}, the "
        f"nearest that prints true, is {worst.nearest_de2000:.1f} away (CIEDE2000). "
    )
