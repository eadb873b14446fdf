"""What does each step show? One function a step; the larger ones stand in ``view_*``."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from kit.recipe import PatternPart, Recipe
from kitloom.findings import CODES
from kitloom.kits import Job
from kitloom.page.state import Bench
from kitloom.page.views.colourway_view import wear_view
from kitloom.page.views.findings_view import findings_view
from kitloom.page.views.kit_view import kit_view
from kitloom.page.views.palette_view import palette_view
from kitloom.page.views.sheet_view import home_view, sheet_view
from kitloom.page.views.tiles_view import (
    chosen,
    print_view,
    tiles_view,
    verdict,
    worst_join,
    worst_print,
)
from kitloom.page.work import Maker, Tries, plan_mend, plan_recolour, plan_repair, wearing


@dataclass(frozen=True)
class Asked:
    """What a step's view is made from: the bench as it stands, and what the address asks for."""

    bench: Bench
    maker: Maker
    tries: Tries
    recipe: Recipe
    job: Job | None
    query: Mapping[str, str]


def opened_on(slug: str, bench: Bench, recipe: Recipe) -> str:
    """Return the tile on which a step opens where none is chosen: the worst one, if any is bad."""
    if slug == "tiles":
        return worst_join(bench, recipe)
    return worst_print(bench.drawn.job) if slug == "print" else ""


def _artwork(asked: Asked) -> dict[str, Any]:
    return {"tiles": [_tile_card(asked, part) for part in asked.recipe.patterns]}


def _tile_card(asked: Asked, part: PatternPart) -> dict[str, Any]:
    there = (asked.recipe.folder / part.file).is_file()
    study = asked.bench.known(asked.recipe, part) if there else None
    mark, words = (
        verdict(asked.bench, part, study) if there else ("stop", f"drop {part.file.name} here")
    )
    return {
        "name": part.label,
        "known": study is not None,
        "mark": mark,
        "words": words,
        "size": f"{study.artwork.width_px} × {study.artwork.height_px} px" if study else "",
    }


def _tiles(asked: Asked) -> dict[str, Any]:
    view = tiles_view(asked.bench, asked.recipe, asked.query)
    codes = {"seam", "seam-unsure", "resolution", "opened", "repeat-inside", "thin-lines"}
    about = view["tile"]["subject"] if view.get("tile") else ""
    if view["tile"] and view["tile"]["doubts"]:
        codes.remove("seam-unsure")  # the tile's own words and buttons say it
    part = asked.recipe.patterns[chosen(asked.recipe, asked.query)]
    tried = None
    if view["tile"] and asked.query.get("try") == "mend":
        tried = asked.tries.soon(*plan_mend(asked.bench, asked.recipe, part))
    return view | {"findings": findings_view(asked.job, codes, about), "tried": tried}


def _palette(asked: Asked) -> dict[str, Any]:
    if asked.job is None:
        return {"swatches": None}
    codes = {"pair-close", "pair-merges", "sight"}  # what shifts in print stands at the swatches
    view = palette_view(asked.bench, asked.recipe, asked.job, asked.query)
    view |= {"findings": findings_view(asked.job, codes)} | _recolour(asked, asked.job, view)
    return view | wear_view(asked.bench, asked.tries, asked.recipe, asked.job, asked.query)


def _recolour(asked: Asked, job: Job, view: dict[str, Any]) -> dict[str, Any]:
    """The chosen tile in another colour, if one was chosen."""
    to, swap = asked.query.get("to", ""), view["swap"]
    if not swap:
        return {"to": "", "wearing": [], "tried": None}
    names = wearing(job, swap["hex"])
    part = asked.recipe.patterns[chosen(asked.recipe, asked.query)]
    tried = None
    if to and part.label in names and asked.bench.known(asked.recipe, part) is not None:
        plan = plan_recolour(asked.bench, asked.recipe, part, swap["hex"], to.lower())
        tried = asked.tries.soon(*plan)
    return {"to": to, "wearing": names, "tried": tried}


def _print(asked: Asked) -> dict[str, Any]:
    codes = {"press-limits", "ink"}
    view = print_view(asked.bench, asked.recipe, asked.job, asked.query)
    part = asked.recipe.patterns[chosen(asked.recipe, asked.query)]
    tried = None
    if view["printed"] and asked.query.get("try") == "repair":
        tried = asked.tries.soon(*plan_repair(asked.bench, asked.recipe, part))
    return view | {"findings": findings_view(asked.job, codes), "tried": tried}


def _kit(asked: Asked) -> dict[str, Any]:
    codes = {"bleed", "gap", "border", "sheets", "fills-repeat", "copies-alike", "cut-motifs"}
    codes |= {"neighbours-alike", "small-size"}
    view = kit_view(asked.bench, asked.recipe, asked.job)
    return view | {"findings": findings_view(asked.job, codes)}


def _sheet(asked: Asked) -> dict[str, Any]:
    view = sheet_view(asked.bench, asked.recipe, asked.job, asked.query)
    return view | {"findings": findings_view(asked.job, set(CODES))}


def _home(asked: Asked) -> dict[str, Any]:
    return home_view(asked.bench, asked.maker, asked.recipe, asked.job)


STEP_VIEWS: dict[str, Callable[[Asked], dict[str, Any]]] = {
    "artwork": _artwork,
    "tiles": _tiles,
    "palette": _palette,
    "print": _print,
    "kit": _kit,
    "sheet": _sheet,
    "home": _home,
}
