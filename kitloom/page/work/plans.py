"""Which preview is it? Its key, by which it is cached, and the function that makes it.

In: the bench, a tile, and what it is to become. Out: a ``Plan``. Nothing is computed here, and
nothing while the bench is locked.
"""

from __future__ import annotations

from functools import partial

from kit.recipe import PatternPart, Recipe
from kitloom.kits import JudgedKit, press_opener
from kitloom.measure import TileStudy
from kitloom.page.edits import colours_of
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, study_state
from kitloom.page.work.previews import Plan
from kitloom.page.work.remaking import (
    preview_mend,
    preview_recolour,
    preview_redress,
    preview_repair,
)

RECOLOURED_SHARE = 0.002


def plan_mend(bench: Bench, recipe: Recipe, part: PatternPart) -> Plan:
    """Return the key and the making of a tile mended."""
    study = _study(bench, recipe, part)
    return ("mend", *study_state(study)), partial(preview_mend, study)


def plan_repair(bench: Bench, recipe: Recipe, part: PatternPart) -> Plan:
    """Return the key and the making of a tile repaired for print."""
    study, press = _study(bench, recipe, part), current_kit(bench).press
    return ("repair", press.name, *study_state(study)), partial(
        preview_repair, study, press_opener(recipe)
    )


def plan_recolour(bench: Bench, recipe: Recipe, part: PatternPart, old: str, new: str) -> Plan:
    """Return the key and the making of a tile with one colour changed."""
    study = _study(bench, recipe, part)
    shown = tuple(swatch.hex for swatch in current_kit(bench).verdict.palette.swatches)
    key = ("recolour", shown, old, new, *study_state(study))
    return key, partial(preview_recolour, study, shown, old, new)


def plan_redress(bench: Bench, recipe: Recipe, part: PatternPart, name: str) -> Plan:
    """Return the key and the making of a tile in a whole other palette.

    Raises:
        KitloomError: there is no palette of that name.
    """
    study, job = _study(bench, recipe, part), current_kit(bench)
    colours = colours_of(bench, job, name)
    everything = tuple(study_state(used.study) for used in job.patterns)
    bins = {used.name: used.study.bins for used in job.patterns}
    key = ("redress", colours, everything, *study_state(study))
    return key, partial(preview_redress, study, colours, bins)


def tiles_showing(job: JudgedKit, colour: str) -> list[str]:
    """Return the patterns in which a palette colour takes a visible share."""
    swatch = next((one for one in job.verdict.palette.swatches if one.hex == colour), None)
    if swatch is None:
        return []
    return [name for name, share in swatch.sources.items() if share >= RECOLOURED_SHARE]


def _study(bench: Bench, recipe: Recipe, part: PatternPart) -> TileStudy:
    return bench.cache.study(bench.request(recipe, part))


def current_kit(bench: Bench) -> JudgedKit:
    """Return the kit as it is drawn.

    Raises:
        PageError: it is not drawn yet.
    """
    if bench.drawing.job is None:
        raise PageError("is not drawn yet", where="the kit", remedy="Wait a moment.")
    return bench.drawing.job
