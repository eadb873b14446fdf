"""How does the page say a finding? With its own remedies: buttons and steps, not commands and keys.

In: a finished job and one of its findings. Out: the finding, its sentences put for somebody who
looks at the page and has no terminal open. Figures and verdicts stay as they are; whatever is true
in both places is said by ``kitloom.findings.codes`` alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from kitloom.findings import (
    CRISP_DPI,
    LOST_SHARE,
    QUESTIONS,
    Finding,
    larger_repeat,
    nudge_or_leave,
    seam_remedy,
)
from kitloom.kits import JudgedKit
from kitloom.page.work import Preview


def said_here(job: JudgedKit, finding: Finding) -> Finding:
    """Return a finding as the page says it."""
    say = _SAY.get(finding.code)
    return say(job, finding) if say else finding


def share_of(share: float, noun: str) -> str:
    """Return "63% of this tile", or "all of this tile" where nothing is left."""
    return f"all of {noun}" if share >= 0.995 else f"{share:.0%} of {noun}"


def told_of(preview: Preview | None) -> list[Finding]:
    """Return what is told of a new tile before it is used, its remedies put for the page."""
    told = preview.told if preview else ()
    lattice = preview.lattice.name if preview and preview.lattice else ""
    return [replace(one, remedy=_of_new_tile(one, lattice)) for one in told]


def _of_new_tile(one: Finding, lattice: str) -> str:
    if one.code == "seam":  # left as it is, because it closes in another lattice
        return f'It closes as a {lattice}: choose that under "How the tile repeats", on this page.'
    if one.code == "mended" and one.measures["given_up_share"] > LOST_SHARE:
        return "Compare before and after: do you miss what is gone?"
    made = one.measures.get("steps") != []  # else there is no new tile to look at
    return _OF_NEW_TILES.get(one.code, one.remedy) if made else one.remedy


_OF_NEW_TILES = {
    "mended": "Compare before and after.",
    "not-mended": "Look at before and after, and change the artwork itself.",
    "seam-unsure": "Look there, before and after. If it is good, use the new tile; if not, change "
    "the artwork itself.",
    "repaired": "Look where it repeats; keep the one whose print you like better.",
    "colourway-seam": "Look where it repeats. If it shows, choose another colour or palette.",
}
_ACCEPTED = "Nothing to do; the tile's own page asks you again if you wish."


def _seam(job: JudgedKit, one: Finding) -> Finding:
    del job
    if one.severity == "note":
        return replace(one, remedy=_ACCEPTED)
    kinds = [str(fault["kind"]) for fault in one.measures["faults"]]
    remedy = (
        f"{seam_remedy(kinds[0] if kinds else '')} Or have it mended here, and look at it first."
    )
    return replace(one, remedy=remedy)


def _unsure(job: JudgedKit, one: Finding) -> Finding:
    del job
    if one.severity == "note":
        return replace(one, remedy=_ACCEPTED)
    question = QUESTIONS[str(one.measures["question"]) or "faint-join"]
    return replace(one, remedy=f"Look at its picture, with the place ringed: {question}")


def _idle_look(job: JudgedKit, one: Finding) -> Finding:
    del job
    return replace(one, remedy="Look at the tile's own page, and say there if it is good.")


def _apart(job: JudgedKit, one: Finding) -> Finding:
    del job
    return replace(one, remedy="Does it belong? If not, take colours from the other tiles only.")


def _fill(job: JudgedKit, one: Finding) -> Finding:
    del job
    if "places" in one.measures:
        return one  # a drawing, which nothing here repairs
    share = share_of(float(one.measures["share_out_of_gamut"]), "it")
    return replace(
        one,
        what=f"It prints duller than it looks on screen: {share}, by "
        f"{one.measures['mean_shift_de2000']:.1f} on average (CIEDE2000).",
        why="Fine detail in such colours may be lost.",
        remedy="Compare it on screen and on paper, and repair it if the difference matters to you.",
    )


def _colour(job: JudgedKit, one: Finding) -> Finding:
    said = replace(one, why="On paper it looks duller than on screen.")
    if one.severity == "note":
        return said
    assessed = [*job.verdict.colours, *(judged.colour for judged in job.inks.colours)]
    own = next((colour for colour in assessed if colour.hex == one.subject), None)
    return replace(said, remedy=nudge_or_leave(own)) if own else said


def _limits(job: JudgedKit, one: Finding) -> Finding:
    del job
    return replace(
        one, remedy="Print a trial strip, or give your printer's own profile under Proof."
    )


def _one_colour(job: JudgedKit, one: Finding) -> Finding:
    del job
    return replace(
        one,
        remedy="Fill the stickers with that colour instead, or check that the right file was "
        "exported.",
    )


def _opened(job: JudgedKit, one: Finding) -> Finding:
    del job
    return replace(one, remedy="Nothing to do if the picture looks right.")


def _thin(job: JudgedKit, one: Finding) -> Finding:
    del job
    larger = larger_repeat(
        float(one.measures.get("holds_mm", 0.0)), float(one.measures.get("holds_dpi", 0.0))
    )
    return replace(
        one, remedy=f"{larger}. When you have made the files, the report rings the places."
    )


def _copies(job: JudgedKit, one: Finding) -> Finding:
    del job
    return replace(
        one,
        remedy="Use it once, give some copies another fill, or ask for copies that differ: "
        'step 5, under "What your printer and cutter need".',
    )


def _cuts(job: JudgedKit, one: Finding) -> Finding:
    if job.recipe.fills.variety <= 0.5:
        return replace(one, remedy="Nothing to do: that is how this pattern is.")
    return replace(
        one, remedy='Ask for clean cuts: step 5, under "What your printer and cutter need".'
    )


def _sheets(job: JudgedKit, one: Finding) -> Finding:
    advice = job.kit.advice
    if advice is not None and (advice.gap_mm is not None or advice.fewer is not None):
        return one
    if int(one.measures["sheets"]) == 1:
        remedy = (
            "Choose what fills the rest of the sheet, or leave it blank: step 5, under "
            '"What your printer and cutter need".'
        )
    else:
        remedy = 'Try larger paper, or the layout "as tightly as they fit": it may save a sheet.'
    return replace(one, remedy=remedy)


def _words(job: JudgedKit, one: Finding) -> Finding:
    del job
    return replace(
        one, remedy="Use fewer letters or a larger sticker: step 5, all settings of its row."
    )


def _merging(job: JudgedKit, one: Finding) -> Finding:
    del job
    return replace(
        one,
        remedy="Give it colours that are farther apart (step 3, under Coordinates), or fill these "
        "stickers with something else.",
    )


def _size(job: JudgedKit, one: Finding) -> Finding:
    del job
    if one.measures["derived"]:
        return replace(
            one,
            remedy="It follows from the day box: measure that again and set it in step 5, or give "
            "the row a size of its own there, under all settings.",
        )
    if one.measures["key"] != "planner.box":
        return replace(one, remedy=f"{one.remedy} You find it in step 5, all settings of its row.")
    return replace(one, remedy="Measure it again and set it in step 5; if you mean it, leave it.")


def _border(job: JudgedKit, one: Finding) -> Finding:
    del job
    if one.measures["inside"] == "panel":
        return one
    return replace(one, remedy=f"{one.remedy} You find it in step 5, all settings of its row.")


def _resolution(job: JudgedKit, one: Finding) -> Finding:
    number = re.fullmatch(r"rows\.(\d+)\.scale", str(one.measures.get("key", "")))
    used = next((u for u in job.patterns if u.study.subject == one.subject), None)
    if number is None or used is None:
        return one
    row = int(number[1])
    most = int(used.plane.effective_dpi / CRISP_DPI * 100.0)
    shown = [
        slot.scale * 100.0 > max(most, 100) and used.name in {choice.pattern, choice.panel_pattern}
        for slot, choice in zip(job.kit.slots, job.kit.choices, strict=True)
        if slot.row == row - 1
    ]
    places = [str(i) for i, is_large in enumerate(shown, start=1) if is_large]
    if not places:
        return one
    many = len(places) > 1
    said = " and ".join(part for part in (", ".join(places[:-1]), places[-1]) if part)
    return replace(
        one,
        remedy=f"Step 6: choose sticker{'s' * many} {said} of row {row}, "
        f"{'one by one, ' * many}and set the size of the pattern to {most}% or less. Or use larger "
        "artwork.",
    )


_SAY: dict[str, Callable[[JudgedKit, Finding], Finding]] = {
    "seam": _seam,
    "seam-unsure": _unsure,
    "looked-idle": _idle_look,
    "tile-apart": _apart,
    "fill-shift": _fill,
    "colour-shift": _colour,
    "press-limits": _limits,
    "one-colour": _one_colour,
    "opened": _opened,
    "thin-lines": _thin,
    "copies-alike": _copies,
    "cut-motifs": _cuts,
    "sheets": _sheets,
    "small-words": _words,
    "coordinate-merges": _merging,
    "small-size": _size,
    "border": _border,
    "resolution": _resolution,
}
