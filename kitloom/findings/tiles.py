"""Findings about tiles: opening, seams, repeats and resolution.

The limits for the effective resolution (300 and 150 pixels per inch) are common practice in print,
no published source.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from kitloom.findings.codes import Finding, finding
from kitloom.findings.unseen import unseen_findings
from patterns.artwork import Artwork
from patterns.repeats import Repeat
from patterns.seams import AxisCheck, Fault, SeamCheck
from patterns.units import MM_PER_INCH

if TYPE_CHECKING:
    from kitloom.measure import TileStudy

CRISP_DPI = 300.0
COARSE_DPI = 150.0
SMALL_MM = 25.0  # a tile that is crisp to no more than this has very small motifs in print

EDGES = {
    "x": "where the right edge meets the left",
    "y": "where the bottom edge meets the top",
}

# question of an unsure join: what a person should look for
QUESTIONS = {
    "faint-join": "does the pattern go on across the join as it does elsewhere?",
    "line-part-of-design": "does the line along the join belong to the design?",
    "too-small-to-judge": "the tile has too few pixels to measure; does the pattern go on across "
    "the join as it does elsewhere?",
}

# kind of fault: (what it looks like, how to mend it)
_FAULTS = {
    "cut-motif": (
        "a motif is cut off and does not go on at the other side",
        "Continue the motif across the edge in the artwork, or crop the tile to its true repeat.",
    ),
    "crop": (
        "the two edges do not continue each other, as after a crop off the repeat",
        "Crop the tile to exactly one repeat.",
    ),
    "doubled-line": (
        "the border line stands twice, so the pattern is a pixel too long there",
        "Crop the tile by that one line of pixels.",
    ),
    "fringe": (
        "a line of pale or half-transparent pixels runs along the edge",
        "Export again without anti-aliasing the border, or take the outer line of pixels off.",
    ),
    "drift": (
        "the ground's tone drifts, so the two sides differ",
        "Level the ground, or choose a crop with even light.",
    ),
    "clamped": (
        "the edges were shrunk or sharpened without looking across the join",
        "Scale the original again, repeated beyond its edges.",
    ),
    "rhythm": (
        "the stripes' rhythm breaks: their period does not divide the tile",
        "Crop the tile to a whole number of stripes.",
    ),
    "join": (
        "the two sides do not continue each other",
        "Look at the picture and mend the artwork.",
    ),
}

# what kitloom mend does for it
_TRIES = {
    "doubled-line": "kitloom mend takes it off, where it can tell it from its neighbours.",
    "join": "Or let kitloom mend try it.",
}


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
            what=f"All of its {artwork.width_px} x {artwork.height_px} px are {colour}; there is "
            "nothing to judge in it.",
            why="One colour repeats without a seam whatever its file looks like.",
            remedy=f'Write fill = "{colour}" in the recipe instead, or look whether the right file '
            "was exported.",
            colour=colour,
        )
    ]


def closes_as(study: TileStudy) -> str:
    """Return the lattice in which a tile with a seam would close, "" where there is none."""
    if study.check.seamless is not False:
        return ""
    from patterns.repeats import find_lattice
    from patterns.seams import check_seams

    art = study.artwork
    other = find_lattice(art.pixels)
    if other.name == study.check.lattice:
        return ""
    closes = check_seams(art.pixels, other, lossy=art.lossy).seamless is True
    return other.name if closes else ""


def seam_findings(
    subject: str, check: SeamCheck, other: str = "", *, looked: bool = False, mark: str = ""
) -> list[Finding]:
    """Say where a tile's joins show, or that a person must look.

    Args:
        subject: the tile.
        check: what was measured on it.
        other: a lattice in which its joins would close.
        looked: whether the maker looked where the measurements cannot decide, and found it good.
        mark: what a recipe writes once the maker has looked; empty where there is no recipe.
    """
    found = []
    for name, axis in (("x", check.x), ("y", check.y)):
        if axis.verdict == "seam":
            found.append(_seam(subject, name, axis, check.lattice, other))
        elif axis.verdict == "unsure":
            found.append(_unsure(subject, name, axis, mark, looked=looked))
    return found


def _seam(subject: str, name: str, axis: AxisCheck, lattice: str, other: str) -> Finding:
    worst = max(axis.faults, key=lambda fault: fault.shift_de2000, default=None)
    kind = worst.kind if worst else "join"
    looks, remedy = _FAULTS.get(kind, _FAULTS["join"])
    if other:
        remedy = (
            f"It closes as a {other}: check it with --lattice {other}, and write "
            f'lattice = "{other}" for it in the recipe.'
        )
    place = f", {_span(worst)}" if worst else ""
    return finding(
        "seam",
        subject,
        what=f"A seam shows {EDGES[name]}{place}: {looks}.",
        why="It comes back at every repeat, on every sticker that it crosses.",
        remedy=remedy if other else f"{remedy} {_TRIES.get(kind, _TRIES['join'])}",
        axis=name,
        score=round(axis.score, 3),
        lattice=lattice,
        faults=[fault_dict(fault) for fault in axis.faults],
    )


def doubts(check: SeamCheck) -> str:
    """Return where the measurements cannot decide and what to look for, each as a question."""
    axes = [(name, axis) for name, axis in (("x", check.x), ("y", check.y))]
    return " ".join(
        f"{EDGES[name][0].upper()}{EDGES[name][1:]}: {QUESTIONS[axis.question or 'faint-join']}"
        for name, axis in axes
        if axis.verdict == "unsure"
    )


def seam_looks(kind: str) -> str:
    """Return what a fault of this kind looks like, as half a sentence."""
    return _FAULTS.get(kind, _FAULTS["join"])[0]


def seam_remedy(kind: str) -> str:
    """Return how a fault of this kind is mended in the artwork itself."""
    return _FAULTS.get(kind, _FAULTS["join"])[1]


def _unsure(subject: str, name: str, axis: AxisCheck, mark: str, *, looked: bool) -> Finding:
    measures: dict[str, Any] = {"axis": name, "score": round(axis.score, 3)}
    measures["question"] = axis.question or ""
    if looked:
        return finding(
            "seam-unsure",
            subject,
            severity="note",
            what=f"You looked at it: the join {EDGES[name]} is good, though the measurements "
            "cannot decide.",
            why="This holds for this very file; another one is measured and asked about anew.",
            remedy="Nothing to do. To be asked again, take looked out of the recipe.",
            looked=True,
            **measures,
        )
    return finding(
        "seam-unsure",
        subject,
        what=f"The join {EDGES[name]} may show; the measurements cannot decide.",
        why="If it shows, it comes back at every repeat.",
        remedy="Look at its picture, with the place ringed (kitloom check --pictures FOLDER, or "
        "the report of make): does the pattern go on there as it does elsewhere?"
        + (f' If it does, write looked = "{mark}" for it in the recipe.' if mark else ""),
        **measures,
    )


def _span(fault: Fault) -> str:
    return f"from {fault.from_px} to {fault.to_px} px along the edge"


def fault_dict(fault: Fault) -> dict[str, object]:
    """Return a fault as ``--json`` shows it."""
    return {
        "kind": fault.kind,
        "from_px": fault.from_px,
        "to_px": fault.to_px,
        "shift_de2000": round(fault.shift_de2000, 2),
    }


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
            what=f"The pattern repeats inside the tile, every {repeat.width_px:.1f} x "
            f"{repeat.height_px:.1f} px ({repeat.lattice}).",
            why="The repeat in a recipe is the width of the whole file on paper.",
            remedy="Nothing to do; mind it when you choose the repeat.",
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
            remedy=f"Use a repeat of {floored(most_mm)} mm or less, or a larger file.",
            crisp_to_mm=round(most_mm, 2),
        )
    ]


def tile_findings(study: TileStudy) -> list[Finding]:
    """Return all that is to be said of one tile by itself."""
    plain = plain_findings(study.subject, study.artwork)
    return [
        *seam_findings(study.subject, study.check, closes_as(study)),
        *repeat_findings(study.subject, study.repeat, study.artwork),
        *unseen_findings(study.subject, study.artwork.pixels, study.check, study.repeat),
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


def floored(length_mm: float) -> str:
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
            remedy=f"Use a repeat of {floored(repeat_mm * dpi / CRISP_DPI)} mm or less, or larger "
            "artwork.",
            effective_dpi=round(dpi, 1),
            repeat_mm=round(repeat_mm, 3),
        )
    ]
