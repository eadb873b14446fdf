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
                f"{'.' if one.joins_kept else '; a seam shows more than before.'} "
                + screen_distance_sentence(one.plain_off, one.repaired_off)
            ).strip(),
            why="The new tile prints true.",
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
    figures = f"{repaired:.1f} off on average, unrepaired {plain:.1f} (CIEDE2000)"
    if repaired < plain + AS_NEAR:
        near = "closer to"
        if f"{repaired:.1f}" == f"{plain:.1f}" or repaired > plain:
            near = "about as close to"
        return f"It prints {near} your original: {figures}."
    return (
        f"It does not print closer to your original: {figures}. What you gain: tones that would "
        "merge stay apart, and hues stay what they are."
    )
