"""Which preview is it? Its key, by which it is cached, and the function that makes it.

In: the bench, a tile, and what it is to become. Out: a ``Plan``. Nothing is computed here, and
nothing while the bench is locked.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import partial

from kit.recipe import PatternPart, Recipe
from kitloom.kits import JudgedKit
from kitloom.measure import TileStudy
from kitloom.page.edits import colours_of
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.work.previews import Plan
from kitloom.page.work.remaking import (
    preview_mend,
    preview_recolour,
    preview_redress,
    preview_repair,
)
from palette.press import Press, open_press

RECOLOURED_SHARE = 0.002


def plan_mend(bench: Bench, recipe: Recipe, part: PatternPart) -> Plan:
    """Return the key and the making of a tile mended."""
    study = _study(bench, recipe, part)
    return ("mend", *_identity(study)), partial(preview_mend, study)


def plan_repair(bench: Bench, recipe: Recipe, part: PatternPart) -> Plan:
    """Return the key and the making of a tile repaired for print."""
    study, press = _study(bench, recipe, part), current_kit(bench).press
    return ("repair", press.name, *_identity(study)), partial(
        preview_repair, study, press_of(recipe)
    )


def press_of(recipe: Recipe) -> Callable[[], Press]:
    """Return how a recipe's press is opened; an opened one cannot go to another process."""
    part = recipe.press
    return partial(
        open_press,
        part.surface,
        recipe.folder / part.profile if part.profile else None,
        intent=part.intent,
        black_point_compensation=part.black_point_compensation,
        chart=recipe.folder / part.chart if part.chart else None,
        convert=part.convert,
    )


def plan_recolour(bench: Bench, recipe: Recipe, part: PatternPart, old: str, new: str) -> Plan:
    """Return the key and the making of a tile with one colour changed."""
    study = _study(bench, recipe, part)
    shown = tuple(swatch.hex for swatch in current_kit(bench).verdict.palette.swatches)
    key = ("recolour", shown, old, new, *_identity(study))
    return key, partial(preview_recolour, study, shown, old, new)


def plan_redress(bench: Bench, recipe: Recipe, part: PatternPart, name: str) -> Plan:
    """Return the key and the making of a tile in a whole other palette.

    Raises:
        KitloomError: there is no palette of that name.
    """
    study, job = _study(bench, recipe, part), current_kit(bench)
    colours = colours_of(bench, job, name)
    everything = tuple(_identity(used.study) for used in job.patterns)
    bins = {used.name: used.study.bins for used in job.patterns}
    key = ("redress", colours, everything, *_identity(study))
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


def _identity(study: TileStudy) -> tuple[Hashable, ...]:
    path = study.artwork.path
    return str(path), path.stat().st_mtime_ns, study.lattice.name
