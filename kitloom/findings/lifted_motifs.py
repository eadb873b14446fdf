"""Findings about motifs lifted from a tile: none there, too few pixels, and whose they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts
from kitloom.findings.tiles import CRISP_DPI, floor_to_tenth
from patterns.coordinates import AllOver
from patterns.lift import Lift
from patterns.units import MM_PER_INCH

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
            why="Motifs can be lifted where they stand apart on a ground of one plain colour.",
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
        what="These motifs are parts of the artwork: its licence decides whether you may use them "
        "by themselves.",
        why="A licence to print a pattern may not let you sell its motifs.",
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


def coarse_motifs(facts: KitFacts) -> list[Finding]:
    """Say in which rows and coordinates motifs have too few pixels at their size."""
    return [*_coarse_stickers(facts), *_coarse_coordinates(facts)]


def _coarse_coordinates(facts: KitFacts) -> list[Finding]:
    return [
        finding(
            "motif-coarse",
            name,
            what=f"Its motif has {one.figure.dpi:.0f} pixels per inch, fewer than {CRISP_DPI:.0f}.",
            why=f"The artwork has no more pixels there, and under {CRISP_DPI:.0f} edges look soft.",
            remedy="Give a smaller size or more spacing: the motif is crisp up to "
            f"{floor_to_tenth(one.figure.across_mm * one.figure.dpi / CRISP_DPI)} mm across. Or "
            "use larger artwork.",
            effective_dpi=round(one.figure.dpi, 1),
        )
        for name, one in facts.kit.coordinates.items()
        if isinstance(one.figure, AllOver) and one.figure.dpi < CRISP_DPI - 0.5
    ]


def _coarse_stickers(facts: KitFacts) -> list[Finding]:
    """Say in which rows motifs have too few pixels at their stickers' size."""
    dpis: dict[int, dict[str, tuple[float, float]]] = {}
    for slot in facts.kit.slots:
        if slot.kind.source_key == "from" and slot.drawing is not None:
            box = slot.drawing.box
            dpi = slot.drawing.alpha.shape[1] * MM_PER_INCH / box.width_mm
            dpis.setdefault(slot.row, {})[slot.made_from] = dpi, max(box.width_mm, box.height_mm)
    found = []
    for row, motifs in sorted(dpis.items()):
        coarse = [one for one in motifs.values() if one[0] < CRISP_DPI - 0.5]
        if not coarse:
            continue
        dpi, side_mm = min(coarse)
        found.append(
            finding(
                "motif-coarse",
                facts.recipe.rows[row].made_of,
                what=f"{len(coarse)} of {len(motifs)} motifs in row {row + 1} have fewer than "
                f"{CRISP_DPI:.0f} pixels per inch, the coarsest {dpi:.0f}.",
                why=f"The artwork has no more pixels there, and under {CRISP_DPI:.0f} edges look "
                "soft.",
                remedy=f"Give a smaller size: at {floor_to_tenth(side_mm * dpi / CRISP_DPI)} mm "
                "the coarsest is crisp. Or use larger artwork.",
                row=row + 1,
                effective_dpi=round(dpi, 1),
            )
        )
    return found
