"""Findings about tiles drawn into what prints: what the repair reached."""

from __future__ import annotations

from collections.abc import Sequence

from kitloom.colours import RepairResult
from kitloom.findings.codes import Finding, finding
from palette.proof import AS_SEEN

AS_NEAR = 0.3  # CIEDE2000: what the table of colours for pictures rounds by


def repair_findings(results: Sequence[RepairResult]) -> list[Finding]:
    """Say what a repair reached, and where joins came out worse."""
    return [
        finding(
            "repaired",
            one.file,
            severity="note" if one.joins_kept else "warn",
            what=(
                f"{one.before.share_out_of_gamut:.1%} of it shifted in print, now "
                f"{one.after.share_out_of_gamut:.1%} does"
                f"{'.' if one.joins_kept else '; its joins show more than before.'} "
                + screen_distance_sentence(one.plain_off, one.repaired_off)
            ).strip(),
            why="The new tile prints as it looks on screen.",
            remedy="Compare the four pictures: the tile on screen and in print, the repaired one "
            "on screen and in print; keep the one whose print you like better.",
            share_before=round(one.before.share_out_of_gamut, 4),
            share_after=round(one.after.share_out_of_gamut, 4),
            plain_off=round(one.plain_off, 2),
            repaired_off=round(one.repaired_off, 2),
            kept_hue=one.kept_hue,
        )
        for one in results
    ]


def screen_distance_sentence(plain: float, repaired: float) -> str:
    """Say which print lies nearer to the tile's own screen colours (CIEDE2000, means).

    Nothing is said where the plain print moves so little that nobody sees it.
    """
    if plain < AS_SEEN:
        return ""
    figures = f"{repaired:.1f} and {plain:.1f} off on average (CIEDE2000)"
    if repaired < plain + AS_NEAR:
        near = "nearer to the old screen colours than"
        if f"{repaired:.1f}" == f"{plain:.1f}" or repaired > plain:
            near = "as near to the old screen colours as"
        return f"Its print lies {near} the plain tile's: {figures}."
    return (
        f"Its print lies farther from the old screen colours than the plain tile's: {figures}; "
        "what it keeps is hues, and tones apart and in order."
    )
