"""Findings about the sheets: tolerance, fills side by side, printed size, borders, paper."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from kit.compose import Kit, Misplaced, places_in_rows, scale_error
from kit.layout import Advice
from kit.recipe import Binding, Recipe
from kit.registration import Tolerance
from kit.sheet import ColourFill, Placement, Sheet
from kitloom.findings.codes import Finding, finding
from kitloom.findings.kit_facts import KitFacts
from kitloom.findings.palettes import SAME_DE2000
from palette.press import Press, on_paper
from palette.space import de2000_table, hex_to_lab

_MOST_NAMED = 6  # stickers in one sentence


def sheet_findings(facts: KitFacts) -> list[Finding]:
    """Say of each sheet whether its tolerance holds, and which neighbours look alike."""
    found: list[Finding] = []
    sheets = zip(facts.kit.sheets, facts.kit.tolerances, strict=True)
    for number, (sheet, tolerance) in enumerate(sheets, start=1):
        found += tolerance_findings(f"sheet {number}", tolerance)
        gap_mm = facts.recipe.sheet.gap
        found += _alike_neighbours(f"sheet {number}", sheet, gap_mm, facts.press)
    return found


def tolerance_findings(subject: str, tolerance: Tolerance) -> list[Finding]:
    """Say whether bleed and gap hold within the declared registration, and what would."""
    found = []
    if not tolerance.bleed_ok:
        found.append(
            finding(
                "bleed",
                subject,
                what=f"{_missed(tolerance)}, but the print runs only "
                f"{_down(tolerance.bleed_mm)} mm past it.",
                why="Some stickers would come out with a white sliver at one edge.",
                remedy=f"Set bleed to {_up(tolerance.needed_bleed_mm)} mm or more"
                f"{_and_gap(tolerance)}, or register the cut more exactly.",
                shift_mm=round(tolerance.shift_mm, 4),
                bleed_mm=round(tolerance.bleed_mm, 4),
                needed_bleed_mm=round(tolerance.needed_bleed_mm, 4),
            )
        )
    if not tolerance.gap_ok:
        found.append(
            finding(
                "gap",
                subject,
                what=f"{_missed(tolerance)}, but a neighbour's ink is only "
                f"{_down(tolerance.clearance_mm)} mm away.",
                why="A sticker's edge could show its neighbour's colour.",
                remedy=f"Set gap to {_up(tolerance.needed_gap_mm)} mm or more, or the bleed lower.",
                shift_mm=round(tolerance.shift_mm, 4),
                clearance_mm=round(tolerance.clearance_mm, 4),
                needed_gap_mm=round(tolerance.needed_gap_mm, 4),
            )
        )
    return found


def _missed(tolerance: Tolerance) -> str:
    """Say how far a cut may miss, and the half pixel that a printed edge may be off besides."""
    half_pixel = tolerance.needed_bleed_mm - tolerance.shift_mm
    pixel = f", and printed edges are true to {half_pixel:.2f} mm" if half_pixel > 0.0 else ""
    return f"A cut may miss its print by {tolerance.shift_mm:.2f} mm{pixel}"


def _down(mm: float) -> str:
    """A length rounded down to a hundredth, so that it never reads like what would do."""
    return f"{np.floor(mm * 100.0 + 1e-6) / 100.0:.2f}"


def clipped_findings(facts: KitFacts) -> list[Finding]:
    """Say of each sheet where the printed bleed is less than the recipe asks for."""
    asked_mm, gap_mm = facts.recipe.sheet.bleed, facts.recipe.sheet.gap
    found = []
    for number, tolerance in enumerate(facts.kit.tolerances, start=1):
        if tolerance.bleed_mm < asked_mm - 1e-6:
            by_gap = gap_mm < 2.0 * asked_mm - 1e-6
            found.append(
                finding(
                    "bleed-clipped",
                    f"sheet {number}",
                    what=f"The bleed is {_down(tolerance.bleed_mm)} mm in places, not "
                    f"{asked_mm:.2f} as asked for.",
                    why=f"Two neighbours share the gap of {gap_mm:g} mm."
                    if by_gap
                    else "The paper ends there.",
                    remedy=f"Set gap to {_up(2.0 * asked_mm)} mm for all of it, or leave it: the "
                    "bleed finding says where it is too little."
                    if by_gap
                    else "Make the margins wider for all of it, or leave it.",
                    bleed_mm=round(tolerance.bleed_mm, 4),
                    asked_mm=round(asked_mm, 4),
                )
            )
    return found


def _up(mm: float) -> str:
    """A length rounded up to a tenth, so that what is advised is enough."""
    return f"{np.ceil(mm * 10.0 - 1e-6) / 10.0:.1f}"


def _and_gap(tolerance: Tolerance) -> str:
    needed = tolerance.needed_gap_mm
    return f" and gap to {_up(needed)} mm or more" if tolerance.clearance_mm < needed else ""


def _alike_neighbours(subject: str, sheet: Sheet, gap_mm: float, press: Press) -> list[Finding]:
    """Name plain fills side by side that cannot be told apart, on screen or once printed."""
    plain = [
        (placed, placed.fill.colour)
        for placed in sheet.placements
        if isinstance(placed.fill, ColourFill)
    ]
    colours = sorted({colour for _, colour in plain})
    if not colours:
        return []
    labs = np.stack([hex_to_lab(colour) for colour in colours])
    seen, printed = de2000_table(labs), de2000_table(on_paper(press, labs))
    place = {colour: i for i, colour in enumerate(colours)}
    found = []
    for i, (one, colour) in enumerate(plain):
        for other, second in plain[i + 1 :]:
            if _touch(one, other, gap_mm):
                pair = place[colour], place[second]
                looks = float(seen[pair]), float(printed[pair])
                found += _alike(subject, (one, colour), (other, second), looks)
    return found


def _touch(one: Placement, other: Placement, gap_mm: float) -> bool:
    return one.box.grow(gap_mm * 0.75).overlaps(other.box.grow(gap_mm * 0.75))


def _alike(
    subject: str,
    first: tuple[Placement, str],
    second: tuple[Placement, str],
    looks: tuple[float, float],
) -> list[Finding]:
    """One finding where two neighbours look alike; ``looks`` are seen and printed differences."""
    (one, colour), (other, twin) = first, second
    seen, printed = looks
    if colour == twin or min(seen, printed) >= SAME_DE2000:  # the same colour twice is meant
        return []
    beside = f"A {one.kind} in {colour} lies beside a {other.kind} in {twin}"
    measures: dict[str, Any] = {"de2000": round(seen, 2), "de2000_printed": round(printed, 2)}
    if seen >= SAME_DE2000:
        return [
            finding(
                "neighbours-merge",
                subject,
                what=f"{beside}; they differ by {seen:.1f} on screen but only {printed:.1f} in "
                "print (CIEDE2000).",
                why="On paper they look like the same sticker twice.",
                remedy="Give one of them another fill.",
                **measures,
            )
        ]
    return [
        finding(
            "neighbours-alike",
            subject,
            what=f"{beside}; they differ by {seen:.1f} (CIEDE2000).",
            why="They look like the same sticker twice.",
            remedy="Give one of them another fill, unless you mean it.",
            **measures,
        )
    ]


def scale_findings(facts: KitFacts) -> list[Finding]:
    """Say when the recipe's reading of the ruler shows that the printer does not keep the size."""
    errors = scale_error(facts.recipe)
    reads = facts.recipe.sheet.ruler_reads
    error = max(errors, key=abs)
    if reads is None or abs(error) < 0.0005:
        return []
    down = reads.down_mm is not None and error == errors[1]
    read_mm = reads.down_mm if down else reads.across_mm
    return [
        finding(
            "printer-scale",
            facts.recipe.file.name,
            what=f"The printed ruler{' down' if down else ''} reads {read_mm:.2f} mm, off by "
            f"{abs(error):.2%}.",
            why="Towards the edges of the sheet the cut misses its print by that percentage.",
            remedy='Look for "fit to page" in the driver first; if it stays, set '
            "sheet.correct_scale = true, and the print files make up for it.",
            scale_error=round(abs(error), 6),
        )
    ]


def paper_findings(facts: KitFacts) -> list[Finding]:
    """Say how much paper the kit takes, and what would save a sheet."""
    kit = facts.kit
    sheets = len(kit.sheets)
    fewest = kit.own_layout.sheets_at_least
    used = kit.layout.share_of_usable
    bound = (
        "no layout could use fewer"
        if kit.own_layout.proven_fewest
        else f"by area alone {fewest} might do"
    )
    return [
        finding(
            "sheets",
            facts.recipe.sheet.paper.name,
            what=f"{len(kit.slots)} stickers take {sheets} "
            f"{'sheet' if sheets == 1 else 'sheets'} and {used:.0%} of the usable paper; {bound}."
            f"{_made_room(kit)}",
            why="Sticker paper is what costs money.",
            remedy=_what_would_save(kit.advice, sheets),
            sheets=sheets,
            sheets_at_least=fewest,
            share_used=round(used, 4),
        )
    ]


def _made_room(kit: Kit) -> str:
    """Name the stickers that lie elsewhere because the maker put others in their places."""
    moved = kit.layout.gave_way
    if not moved:
        return ""
    places = places_in_rows(kit.slots)
    names = [f"{kit.slots[i].kind.name} {places[i] + 1}" for i in moved]
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return f" Moved aside for those that you placed: {', '.join(names[:3])}{more}."


def _what_would_save(advice: Advice | None, sheets: int) -> str:
    ways = []
    if advice is not None and advice.gap_mm is not None:
        ways.append(f'a gap of "{advice.gap_mm:.1f}mm"')
    if advice is not None and advice.fewer is not None:
        ways.append(f"{advice.fewer} sticker{'' if advice.fewer == 1 else 's'} fewer")
    if ways:
        return f"{' or '.join(ways)} would save a sheet.".capitalize()
    if sheets == 1:
        return "Name kinds in sheet.top_up to fill what is left."
    return 'Try larger paper, or layout = "pack": it may save a sheet.'


def place_findings(gone: Misplaced, recipe: Recipe) -> list[Finding]:
    """Say which stickers were laid anew because they no longer fit where the maker put them."""
    if not gone:
        return []
    names = [f"{recipe.rows[row].sticker} {place + 1}" for row in gone for place in gone[row]]
    more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
    return [
        finding(
            "places-left",
            recipe.file.name,
            what=f"No longer where you put them: {', '.join(names[:_MOST_NAMED])}{more}.",
            why="They do not fit there with what this run changes, so kitloom placed them.",
            remedy="Move them on the page, or write other places (rows.at) in a recipe of its own.",
        )
    ]


def binding_findings(bindings: Sequence[Binding], recipe: Recipe) -> list[Finding]:
    """Say which file of another folder took which of the recipe's names, and what stayed."""
    names = "; ".join(f"{one.name} = {one.file.name}" for one in bindings)
    colours = sorted({one for row in recipe.rows for one in row.wishes if one.startswith("#")})
    kept = f" Colours written in the recipe stay: {', '.join(colours)}." if colours else ""
    return [
        finding(
            "bound-names",
            recipe.file.name,
            what=f"The recipe's names now stand for: {names}.{kept}",
            why="Files take the names in alphabetical order, and repeats are worked out again.",
            remedy="Rename the files to change their order, or write a recipe for them.",
        )
    ]
