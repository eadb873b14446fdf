"""Findings about joins: where a seam shows, and where a person has to look."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kitloom.findings.codes import Finding, finding
from patterns.seams import AxisCheck, Fault, SeamCheck

if TYPE_CHECKING:
    from kitloom.measure import Look, TileStudy

EDGES = {
    "x": "where the right edge meets the left",
    "y": "where the bottom edge meets the top",
}

# question of an unsure join: what a person should look for
QUESTIONS = {
    "faint-join": "does the pattern go on across the join as it does elsewhere?",
    "line-part-of-design": "does the line along the join belong to the design?",
    "border-part-of-design": "does the border that runs all round belong to the design?",
    "too-small-to-judge": "the tile has too few pixels to measure; does the pattern go on across "
    "the join as it does elsewhere?",
}

# kind of fault: what it is called in few words; codes are for ``--json``
_NAMES = {
    "cut-motif": "motif cut off",
    "crop": "cropped off its repeat",
    "doubled-line": "duplicated row",
    "fringe": "pale edge",
    "drift": "uneven background",
    "clamped": "enlarged",
    "rhythm": "rhythm breaks",
    "border": "border all round",
    "edge-line": "line along the edge",
    "join": "sides differ",
}

# kind of fault: (what it looks like, how to mend it)
_FAULTS = {
    "cut-motif": (
        "a motif is cut off and does not go on at the other side",
        "Continue the motif across the edge in the artwork, or export exactly one repeat.",
    ),
    "crop": (
        "the two edges do not continue each other, as after a crop off the repeat",
        "Export exactly one repeat, or crop to it where the file holds more.",
    ),
    "doubled-line": (
        "the edge row is duplicated, so the pattern is a pixel too long there",
        "Crop the tile by that one line of pixels.",
    ),
    "fringe": (
        "a line of pale or half-transparent pixels, or a frame, runs along the edge",
        "Export again without anti-aliasing the border, or take the outer line of pixels off.",
    ),
    "drift": (
        "the background's tone drifts, so the two sides differ",
        "Level the background, or choose a crop with even light.",
    ),
    "clamped": (
        "the file was enlarged without wrapping round its edges",
        "Enlarge the original again: repeat it 3 × 3, enlarge that, and crop the middle tile.",
    ),
    "rhythm": (
        "the rhythm breaks: what repeats inside the tile does not fit it a whole number of times",
        "Export a whole number of its repeats, or crop to that.",
    ),
    "border": (
        "a border of one colour runs all round and cuts the artwork off",
        "Let kitloom mend take it off, or crop it off each side and check the tile again.",
    ),
    "edge-line": (
        "a thin line of one colour runs along the edge",
        "Crop it off and check the tile again.",
    ),
    "join": (
        "the two sides do not continue each other",
        "Look at the picture and change the artwork.",
    ),
}

# axis: its two sides, the one at which the tile begins first
_ENDS = {"x": ("left", "right"), "y": ("top", "bottom")}

_ASKED_ANEW = "This holds for this file alone: kitloom asks again about any other."
_TAKE_OUT = "Nothing to do. To be asked again, take looked out of the recipe."
_IDLE_LOOKS: dict[Look, tuple[str, str]] = {
    "no doubt": (
        "The recipe says that you looked at this tile, but it is seamless as measured.",
        "Take looked out of the recipe.",
    ),
    "another file": (
        "The recipe says that you looked at this tile, but its file has changed since.",
        "Look at it again, or take looked out of the recipe.",
    ),
}

# what kitloom mend does for it
_TRIES = {
    "doubled-line": "kitloom mend takes it off, where it can tell it from its neighbours.",
    "edge-line": "kitloom mend does it where the tile closes without the line.",
    "join": "Or let kitloom mend try it.",
}


def seam_findings(
    subject: str, check: SeamCheck, other: str = "", *, accepted: bool = False, mark: str = ""
) -> list[Finding]:
    """Say where a tile's joins show, or that a person must look.

    Args:
        subject: the tile.
        check: what was measured on it.
        other: a lattice in which its joins would close.
        accepted: whether the maker looked at the joins and found them good.
        mark: what a recipe writes once the maker has looked; empty where there is no recipe.
    """
    found = []
    for name, axis in (("x", check.x), ("y", check.y)):
        if axis.verdict == "seam":
            found.append(
                _accepted_seam(subject, name, axis, check.lattice)
                if accepted
                else _seam(subject, name, axis, check, other=other, mark=mark)
            )
        elif axis.verdict == "unsure":
            found.append(_unsure(subject, name, axis, mark, accepted=accepted))
    return found


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


def doubts(check: SeamCheck) -> str:
    """Return where the measurements cannot decide and what to look for, each as a question."""
    axes = [(name, axis) for name, axis in (("x", check.x), ("y", check.y))]
    return " ".join(
        f"{EDGES[name][0].upper()}{EDGES[name][1:]}: {QUESTIONS[axis.question or 'faint-join']}"
        for name, axis in axes
        if axis.verdict == "unsure"
    )


def seam_name(kind: str) -> str:
    """Return what a kind of fault is called, in two or three words."""
    return _NAMES.get(kind, _NAMES["join"])


def seam_looks(kind: str) -> str:
    """Return what a fault of this kind looks like, as half a sentence."""
    return _FAULTS.get(kind, _FAULTS["join"])[0]


def seam_remedy(kind: str) -> str:
    """Return how a fault of this kind is mended in the artwork itself."""
    return _FAULTS.get(kind, _FAULTS["join"])[1]


def line_widths(name: str, lines_px: tuple[int, int]) -> str:
    """Return how wide a line lies along a join, as "3 px on each side" or "1 px at the bottom".

    Args:
        name: the axis, "x" or "y".
        lines_px: how wide on either side of the join; not both 0.
    """
    first, last = lines_px
    if first == last:
        return f"{first} px on each side"
    places = zip(lines_px, _ENDS[name], strict=True)
    return ", ".join(f"{wide} px at the {side}" for wide, side in places if wide)


def fault_dict(fault: Fault) -> dict[str, object]:
    """Return a fault as ``--json`` shows it."""
    lines = {"lines_px": list(fault.lines_px)} if any(fault.lines_px) else {}
    return {
        "kind": fault.kind,
        "from_px": fault.from_px,
        "to_px": fault.to_px,
        "shift_de2000": round(fault.shift_de2000, 2),
        **lines,
    }


def look_findings(subject: str, look: Look) -> list[Finding]:
    """Say when it has no effect that a recipe says a tile was looked at."""
    if look not in _IDLE_LOOKS:
        return []
    what, remedy = _IDLE_LOOKS[look]
    return [
        finding(
            "looked-idle",
            subject,
            what=what,
            why="So it has no effect.",
            remedy=remedy,
        )
    ]


def _seam(
    subject: str, name: str, axis: AxisCheck, check: SeamCheck, *, other: str, mark: str
) -> Finding:
    worst = max(axis.faults, key=lambda fault: fault.shift_de2000, default=None)
    kind = worst.kind if worst else "join"
    looks, remedy = _FAULTS.get(kind, _FAULTS["join"])
    if worst and any(worst.lines_px):
        wide = line_widths(name, worst.lines_px)
        looks, remedy = f"{looks} ({wide})", f"Crop it by {wide}."
    if other:
        remedy = (
            f"The tile repeats as a {other} of {len(check.y.strength)} × {len(check.x.strength)} "
            f"px: check it with --lattice {other}, and write "
            f'lattice = "{other}" for it in the recipe.'
        )
    elif mark:
        remedy += f" {_TRIES.get(kind, _TRIES['join'])} {_if_it_is_good(mark)}"
    else:
        remedy += f" {_TRIES.get(kind, _TRIES['join'])}"
    place = f", {_span(worst)}" if worst else ""
    return finding(
        "seam",
        subject,
        what=f"A seam shows {EDGES[name]}{place}: {looks}.",
        why="It comes back at every repeat, on every sticker that it crosses.",
        remedy=remedy,
        **_seam_measures(name, axis, check.lattice),
    )


def _accepted_seam(subject: str, name: str, axis: AxisCheck, lattice: str) -> Finding:
    return finding(
        "seam",
        subject,
        severity="note",
        what=f"You looked at it: the join {EDGES[name]} is good, though a seam was measured there.",
        why=_ASKED_ANEW,
        remedy=_TAKE_OUT,
        accepted=True,
        **_seam_measures(name, axis, lattice),
    )


def _seam_measures(name: str, axis: AxisCheck, lattice: str) -> dict[str, Any]:
    return {
        "axis": name,
        "score": round(axis.score, 3),
        "lattice": lattice,
        "faults": [fault_dict(fault) for fault in axis.faults],
    }


def _if_it_is_good(mark: str) -> str:
    return f'If you have looked and it is good, write looked = "{mark}" for it in the recipe.'


def _unsure(subject: str, name: str, axis: AxisCheck, mark: str, *, accepted: bool) -> Finding:
    measures: dict[str, Any] = {"axis": name, "score": round(axis.score, 3)}
    measures["question"] = axis.question or ""
    if accepted:
        return finding(
            "seam-unsure",
            subject,
            severity="note",
            what=f"You looked at it: the join {EDGES[name]} is good, though the measurements "
            "cannot decide.",
            why=_ASKED_ANEW,
            remedy=_TAKE_OUT,
            accepted=True,
            **measures,
        )
    meant = f' If it belongs to the design, write looked = "{mark}" in the recipe.' if mark else ""
    if axis.question == "border-part-of-design":
        return finding(
            "seam-unsure",
            subject,
            what=f"A border of one colour lies {EDGES[name]}, and cuts the artwork off.",
            why="On paper it is a line at every repeat.",
            remedy=f"{seam_remedy('border')}{meant}",
            **measures,
        )
    line_px = next((fault.lines_px for fault in axis.faults if any(fault.lines_px)), None)
    if line_px is not None:
        wide = line_widths(name, line_px)
        return finding(
            "seam-unsure",
            subject,
            what=f"A thin line of one colour runs along the edge ({wide}) {EDGES[name]}.",
            why="On paper it is a line at every repeat.",
            remedy=f"Crop it by {wide}. {_TRIES['edge-line']}{meant}",
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
