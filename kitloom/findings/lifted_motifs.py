"""Findings about motifs lifted from a tile: none there, too few pixels, and whose they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kitloom.findings.codes import Finding, finding
from kitloom.findings.tiles import CRISP_DPI, floor_to_tenth
from patterns.lift import Lift

MOST_NAMED = 3


def lift_findings(lifts: Mapping[str, Lift]) -> list[Finding]:
    """Say of which tiles nothing was lifted, and once whose the motifs are.

    Args:
        lifts: what was taken out, by the tile's file.
    """
    found = [
        finding(
            "nothing-lifted",
            subject,
            what=f"Nothing can be lifted: {lift.why_none}.",
            why="Whole motifs come off where they stand apart on a ground of one plain colour.",
            remedy="Leave this tile out, or use one with a plain ground.",
        )
        for subject, lift in lifts.items()
        if lift.why_none
    ]
    if len(found) == len(lifts):
        return found
    licence = finding(
        "licence",
        "motifs",
        what="These motifs are parts of the artwork.",
        why="Its licence decides whether parts of it may be used, and sold, by themselves.",
        remedy="Read its terms before you print or sell.",
    )
    return [*found, licence]


def coarse_motif_findings(
    subject: str, size_mm: float, dpis: Sequence[tuple[str, float]]
) -> list[Finding]:
    """Say which motifs have too few pixels at their size.

    Args:
        subject: the tile's file.
        size_mm: the longer side that they have on paper.
        dpis: each motif's file, and its pixels to the inch.
    """
    coarse = [one for one in dpis if one[1] < CRISP_DPI - 0.5]
    if not coarse:
        return []
    more = f" and {len(coarse) - MOST_NAMED} more" if len(coarse) > MOST_NAMED else ""
    named = ", ".join(f"{name} {dpi:.0f}" for name, dpi in coarse[:MOST_NAMED])
    largest = size_mm * max(dpi for _, dpi in dpis) / CRISP_DPI
    return [
        finding(
            "motif-coarse",
            subject,
            what=f"At {size_mm:g} mm these have fewer than {CRISP_DPI:.0f} pixels per inch: "
            f"{named}{more}.",
            why=f"The artwork has no more pixels there, and under {CRISP_DPI:.0f} edges look soft.",
            remedy=f"Use them smaller, or larger artwork. The largest one is crisp up to "
            f"{floor_to_tenth(largest)} mm.",
            size_mm=round(size_mm, 3),
            effective_dpi={name: round(dpi, 1) for name, dpi in coarse},
        )
    ]
