"""What does each step show? One function a step; the larger ones have modules of their own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from kit.recipe import PatternPart, Recipe
from kitloom.findings import CODES
from kitloom.kits import JudgedKit
from kitloom.page.state import Bench
from kitloom.page.views.colourway_view import colourway_view
from kitloom.page.views.findings_view import findings_view
from kitloom.page.views.kit_view import kit_view
from kitloom.page.views.page_words import told_of
from kitloom.page.views.palette_view import palette_view
from kitloom.page.views.planner_view import planner_view
from kitloom.page.views.road_view import road_view
from kitloom.page.views.settings_view import asked_row
from kitloom.page.views.sheet_view import home_view, sheet_view
from kitloom.page.views.tiles_view import (
    chosen_index,
    is_here,
    print_view,
    standing,
    tiles_view,
    worst_join,
    worst_print,
)
from kitloom.page.work import (
    FileMaking,
    Previews,
    plan_mend,
    plan_recolour,
    plan_repair,
    tiles_showing,
)


@dataclass(frozen=True)
class StepRequest:
    """What a step's view is made from: the bench as it is, and what the address asks for."""

    bench: Bench
    making: FileMaking
    previews: Previews
    recipe: Recipe
    job: JudgedKit | None
    query: Mapping[str, str]


def opened_on(slug: str, bench: Bench, recipe: Recipe) -> str:
    """Return the tile on which a step opens where none is chosen: the worst one, if any is bad."""
    if slug == "tiles":
        return worst_join(bench, recipe)
    return worst_print(bench.drawing.job) if slug == "print" else ""


def _artwork(request: StepRequest) -> dict[str, Any]:
    cards = [_tile_card(request, part) for part in request.recipe.patterns]
    missing = sum(not is_here(request.recipe, part) for part in request.recipe.patterns)
    made = any(path.exists() for path in request.making.files)
    planner = planner_view(request.recipe, request.bench.workspace.text())
    return planner | {"tiles": cards, "missing": missing, "made": made}


def _tile_card(request: StepRequest, part: PatternPart) -> dict[str, Any]:
    study = request.bench.known(request.recipe, part)
    card = {"name": part.label} | standing(request.bench, request.recipe, part)
    if not is_here(request.recipe, part):
        study, card["words"] = None, f"drop {part.file.name} here"
    return card | {
        "size": f"{study.artwork.width_px} × {study.artwork.height_px} px" if study else "",
    }


def _tiles(request: StepRequest) -> dict[str, Any]:
    view = tiles_view(request.bench, request.recipe, request.query)
    codes = {
        "seam",
        "seam-unsure",
        "looked-idle",
        "resolution",
        "opened",
        "repeat-inside",
        "thin-lines",
    }
    about = view["tile"]["subject"] if view.get("tile") else ""
    if view["tile"] and view["tile"]["doubts"]:
        codes.remove("seam-unsure")  # the tile's own words and buttons say it
    part = request.recipe.patterns[chosen_index(request.recipe, request.query)]
    preview = None
    if view["tile"] and request.query.get("try") == "mend":
        preview = request.previews.now(*plan_mend(request.bench, request.recipe, part))
    found = findings_view(request.job, codes, about)
    return view | {"findings": found, "preview": preview, "told": told_of(preview)}


def _palette(request: StepRequest) -> dict[str, Any]:
    if request.job is None:
        return {"swatches": None}
    codes = {
        "pair-close",
        "pair-merges",
        "sight",
        "ground-missing",
        "tile-apart",
        "stranger",
    }  # what shifts in print is at the swatches
    view = palette_view(request.bench, request.recipe, request.job, request.query)
    view |= {"findings": findings_view(request.job, codes)} | _recolour(request, request.job, view)
    view["all_here"] = all(is_here(request.recipe, part) for part in request.recipe.patterns)
    return view | colourway_view(
        request.bench, request.previews, request.recipe, request.job, request.query
    )


def _recolour(request: StepRequest, job: JudgedKit, view: dict[str, Any]) -> dict[str, Any]:
    """The chosen tile in another colour, if one was chosen."""
    to, swap = request.query.get("to", ""), view["swap"]
    if not swap:
        return {"to": "", "showing": [], "shown_in": "", "preview": None, "told": []}
    names = tiles_showing(job, swap["hex"])
    part = request.recipe.patterns[chosen_index(request.recipe, request.query)]
    preview = None
    if to and part.label in names and request.bench.known(request.recipe, part) is not None:
        plan = plan_recolour(request.bench, request.recipe, part, swap["hex"], to.lower())
        preview = request.previews.now(*plan)
    shown_in = part.label if part.label in names else next(iter(names), "")
    return {
        "to": to,
        "showing": names,
        "shown_in": shown_in,
        "preview": preview,
        "told": told_of(preview),
    }


def _print(request: StepRequest) -> dict[str, Any]:
    codes = {"press-limits", "ink", "coordinate-merges"}
    view = print_view(request.bench, request.recipe, request.job, request.query)
    part = request.recipe.patterns[chosen_index(request.recipe, request.query)]
    preview = None
    if view["printed"] and request.query.get("try") == "repair":
        preview = request.previews.now(*plan_repair(request.bench, request.recipe, part))
    found = findings_view(request.job, codes, plain=True)
    return view | {"findings": found, "preview": preview, "told": told_of(preview)}


def _kit(request: StepRequest) -> dict[str, Any]:
    codes = {"bleed", "gap", "border", "sheets", "fills-repeat", "copies-alike", "cut-motifs"}
    codes |= {"neighbours-alike", "small-size", "unprinted"}
    codes |= {"bleed-clipped", "through-sliver", "through-mark"}
    codes |= {"outline-beside", "fine-outline", "icon-left-out"}
    view = kit_view(
        request.bench, request.recipe, request.job, asked_row(request.recipe, request.query)
    )
    return view | {"findings": findings_view(request.job, codes)}


def _sheet(request: StepRequest) -> dict[str, Any]:
    view = sheet_view(request.bench, request.recipe, request.job, request.query)
    return view | {"findings": findings_view(request.job, set(CODES))}


def _home(request: StepRequest) -> dict[str, Any]:
    view = home_view(request.bench, request.making, request.recipe, request.job)
    return view | road_view(request.query.get("road", ""), view["files"])


STEP_VIEWS: dict[str, Callable[[StepRequest], dict[str, Any]]] = {
    "artwork": _artwork,
    "tiles": _tiles,
    "palette": _palette,
    "print": _print,
    "kit": _kit,
    "sheet": _sheet,
    "home": _home,
}
