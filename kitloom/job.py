"""The whole job, from a checked recipe to sheets: what ``make``, the report and the page share.

In: a recipe. Out: a ``Job`` with everything that was measured and decided on the way, nothing of it
computed twice. Data flows one way: artwork, tiles, colours, kit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from threading import Thread

from patterns.motif import auto_repeat

from kit.compose import Kit, Pattern, compose
from kit.recipe import PatternPart, Recipe
from kitloom.colours import JudgedPalette, judge_palette
from kitloom.findings import Finding, in_order
from kitloom.findings.colours import fill_findings
from kitloom.findings.sheets import kit_findings
from kitloom.findings.tiles import opening_findings, resolution_findings, seam_findings
from kitloom.studies import Request, TileStudy, study, study_all
from palette.choose import choose
from palette.kmeans import preload
from palette.press import Press, open_press
from palette.proof import FillAssessment, assess_fill
from palette.swatch import Palette
from patterns.plane import Plane


@dataclass(frozen=True)
class UsedPattern:
    """One of the recipe's patterns, measured and laid out as a plane.

    Attributes:
        name: what the recipe calls it.
        study: everything measured on its tile.
        plane: it, repeating without end, in millimetres.
        printed: what printing does to it.
    """

    name: str
    study: TileStudy
    plane: Plane
    printed: FillAssessment


@dataclass(frozen=True)
class Job:
    """One kit with all that was measured and decided.

    Attributes:
        recipe: what was asked for.
        press: what it is judged for.
        patterns: the recipe's patterns, in its order.
        judged: the palette and its measurements.
        kit: the sheets and how they came about.
        findings: what a maker should know, the gravest first.
    """

    recipe: Recipe
    press: Press
    patterns: tuple[UsedPattern, ...]
    judged: JudgedPalette
    kit: Kit
    findings: tuple[Finding, ...]


def make_kit(
    recipe: Recipe,
    notes: Sequence[Finding],
    tick: Callable[[], None],
    *,
    study_with: Callable[[Request], TileStudy] = study,
    choose_with: Callable[..., Palette] = choose,
) -> Job:
    """Measure the artwork, choose the palette and compose the sheets.

    Args:
        recipe: a checked recipe.
        notes: findings about how the recipe was changed on the way here.
        tick: called after each tile and after the palette and the layout.
        study_with: studies one tile; another that remembers gives the same kit sooner.
        choose_with: chooses the palette, likewise.

    Raises:
        KitloomError: artwork, profile or recipe that cannot be used.
    """
    profile = recipe.press.profile
    press = open_press(recipe.press.surface, recipe.folder / profile if profile else None)
    Thread(target=preload, daemon=True).start()  # its second of import hides behind decoding
    requests = [
        Request(recipe.folder / part.file, part.lattice, str(part.file)) for part in recipe.patterns
    ]
    studies = list(study_all(requests, study_with, tick))
    used = tuple(
        _used(recipe, part, tile, press)
        for part, tile in zip(recipe.patterns, studies, strict=True)
    )
    bins = {one.name: one.study.bins for one in used}
    judged = judge_palette(choose_with(bins, recipe.palette.colours, recipe.palette.pinned), press)
    tick()
    kit = compose(recipe, [_pattern(one) for one in used], judged.palette)
    tick()
    found = [*notes, *_pattern_findings(used, press), *judged.findings, *kit_findings(recipe, kit)]
    return Job(recipe, press, used, judged, kit, in_order(found))


def _used(recipe: Recipe, part: PatternPart, tile: TileStudy, press: Press) -> UsedPattern:
    repeat_mm = part.repeat
    if repeat_mm == "auto":
        half_box = recipe.planner.box[0], recipe.planner.box[1] / 2.0
        repeat_mm = auto_repeat(tile.artwork.pixels, *half_box, recipe.sheet.dpi).repeat_mm
    plane = Plane(tile.artwork.pixels, repeat_mm, tile.lattice)
    return UsedPattern(part.label, tile, plane, assess_fill(tile.bins, press))


def _pattern(used: UsedPattern) -> Pattern:
    bins = used.study.bins
    return Pattern(used.name, used.plane, bins.weight @ bins.lab)


def _pattern_findings(used: Sequence[UsedPattern], press: Press) -> list[Finding]:
    return [
        found
        for one in used
        for found in (
            *seam_findings(one.study.subject, one.study.check),
            *resolution_findings(one.study.subject, one.plane.effective_dpi, one.plane.repeat_mm),
            *fill_findings(one.study.subject, one.printed, press),
            *opening_findings(one.study.subject, one.study.artwork),
        )
    ]
