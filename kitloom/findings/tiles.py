"""Findings about tiles: opening, repeats and resolution, and all of one tile.

The limits for the effective resolution (300 and 150 pixels per inch) are common practice in print,
no published source.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kitloom.findings.codes import Finding, finding
from kitloom.findings.no_repeat import repeat_unseen_findings
from kitloom.findings.no_tile import no_tile_findings
from kitloom.findings.visible_seams import closes_as, seam_findings
from patterns.artwork import Artwork
from patterns.repeats import Repeat
from patterns.units import MM_PER_INCH

if TYPE_CHECKING:
    from kitloom.measure import TileStudy

CRISP_DPI = 300.0
COARSE_DPI = 150.0
SMALL_MM = 25.0  # a tile that is crisp to no more than this has very small motifs in print


def opening_findings(subject: str, artwork: Artwork) -> list[Finding]:
    """Say what was done to a file to make it printable."""
    return [
        finding(
            "opened",
            subject,
            what=note,
            why="What is printed may differ from what another program shows.",
            remedy="Nothing to do if the picture in the report looks right.",
        )
        for note in artwork.notes
    ]


def plain_findings(subject: str, artwork: Artwork) -> list[Finding]:
    """Say when a tile is one colour all over: then its joins are seamless, and say nothing."""
    pixels = artwork.pixels
    if (pixels[0] != pixels[0, 0]).any() or (pixels != pixels[0, 0]).any():
        return []
    colour = "#" + "".join(f"{value:02x}" for value in pixels[0, 0].tolist())
    return [
        finding(
            "one-colour",
            subject,
            what=f"All of its {artwork.width_px} × {artwork.height_px} px are {colour}; there is "
            "nothing to judge in it.",
            why="One colour repeats without a seam whatever its file looks like.",
            remedy=f'Write fill = "{colour}" in the recipe instead, or check that the right file '
            "was exported.",
            colour=colour,
        )
    ]


def repeat_findings(subject: str, repeat: Repeat | None, artwork: Artwork) -> list[Finding]:
    """Say when a tile holds its own repeat several times."""
    if repeat is None or (
        repeat.width_px > 0.75 * artwork.width_px and repeat.height_px > 0.75 * artwork.height_px
    ):
        return []
    return [
        finding(
            "repeat-inside",
            subject,
            what=f"The pattern repeats inside the tile, every {repeat.width_px:.1f} × "
            f"{repeat.height_px:.1f} px ({repeat.lattice}).",
            why="The repeat in a recipe is the width of the whole file on paper.",
            remedy="Nothing to do; remember it when you choose the repeat.",
            width_px=round(repeat.width_px, 2),
            height_px=round(repeat.height_px, 2),
            lattice=repeat.lattice,
            confidence=round(repeat.confidence, 3),
        )
    ]


def crisp_to_mm(width_px: int) -> float:
    """Return the widest repeat in mm at which a tile of so many pixels prints crisply."""
    return width_px * MM_PER_INCH / CRISP_DPI


def pixel_findings(subject: str, width_px: int) -> list[Finding]:
    """Say when a tile's pixels suffice for a small repeat only, whatever a recipe will ask."""
    most_mm = crisp_to_mm(width_px)
    if most_mm >= SMALL_MM:
        return []
    return [
        finding(
            "resolution",
            subject,
            severity="note",
            what=f"Its {width_px} px print crisply to a repeat of {most_mm:.1f} mm, at "
            f"{CRISP_DPI:.0f} pixels per inch.",
            why="Larger, its edges look soft on paper.",
            remedy=f"Use a repeat of {floor_to_tenth(most_mm)} mm or less, or a larger file.",
            crisp_to_mm=round(most_mm, 2),
        )
    ]


def tile_findings(study: TileStudy) -> list[Finding]:
    """Return all that is to be said of one tile by itself."""
    plain = plain_findings(study.subject, study.artwork)
    other = closes_as(study)
    ends_off = (
        []
        if other
        else repeat_unseen_findings(study.subject, study.artwork.pixels, study.check, study.repeat)
    )
    return [
        *seam_findings(study.subject, study.check, other),
        *repeat_findings(study.subject, study.repeat, study.artwork),
        *no_tile_findings(study.subject, study.artwork.pixels),
        *ends_off,
        # one colour needs no pixels
        *(plain or pixel_findings(study.subject, study.artwork.width_px)),
        *opening_findings(study.subject, study.artwork),
    ]


def duplicate_finding(subject: str, like: str, likeness: float) -> Finding:
    """Say that a tile looks like another of the same library."""
    return finding(
        "near-duplicate",
        subject,
        what=f"It looks like the same artwork as {like}, perhaps shifted, in another size or in "
        "other colours.",
        why="Two stickers filled with them look alike.",
        remedy="Keep one, or keep both if they are colourways.",
        like=like,
        likeness=likeness,
    )


def floor_to_tenth(length_mm: float) -> str:
    """Return a length in tenths of a millimetre, never more than it is."""
    return f"{math.floor(length_mm * 10.0 + 1e-6) / 10.0:.1f}"


def resolution_findings(subject: str, dpi: float, repeat_mm: float) -> list[Finding]:
    """Grade the pixels per inch that a tile has at its repeat."""
    if dpi >= CRISP_DPI - 0.5:
        return []
    return [
        finding(
            "resolution",
            subject,
            severity="stop" if dpi < COARSE_DPI else "warn",
            what=f"At a repeat of {repeat_mm:.1f} mm it has {dpi:.0f} pixels per inch.",
            why=f"Under {CRISP_DPI:.0f} edges look soft on paper, under {COARSE_DPI:.0f} they look "
            "stepped.",
            remedy=f"Use a repeat of {floor_to_tenth(repeat_mm * dpi / CRISP_DPI)} mm or less, or "
            "larger artwork.",
            effective_dpi=round(dpi, 1),
            repeat_mm=round(repeat_mm, 3),
        )
    ]
