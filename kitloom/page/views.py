"""What does each step show? Measurements shaped for the templates, and nothing decided.

In: the bench and what the address asks for (a tile, a colour, a sticker). Out: dictionaries of
texts and numbers. The modules ``view_*`` beside this one hold the larger steps.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from typing import Any

from kit.recipe import PatternPart, Recipe
from kitloom import __version__
from kitloom.findings import CODES, Finding
from kitloom.job import Job
from kitloom.page.bench import Bench
from kitloom.page.maker import Maker
from kitloom.page.remedies import remedy_for
from kitloom.page.steps import SLUGS, step_rows
from kitloom.page.view_kit import kit_view
from kitloom.page.view_sheet import home_view, sheet_view
from kitloom.page.view_tiles import print_view, tiles_view, verdict
from palette.errors import KitloomError

START = secrets.token_hex(4)  # pictures of another start are other pictures


def page_view(
    bench: Bench,
    maker: Maker,
    slug: str,
    query: Mapping[str, str],
    said: Sequence[KitloomError] = (),
) -> dict[str, Any]:
    """Return everything that a page of one step needs."""
    recipe, drawn = bench.recipe(), bench.drawn
    number = SLUGS.index(slug)
    workspace = bench.workspace
    now, after = workspace.step(workspace.position), workspace.step(workspace.position + 1)
    before = workspace.step(workspace.position - 1)
    view: dict[str, Any] = {
        "slug": slug,
        "steps": step_rows(bench),
        "next": SLUGS[number + 1] if number + 1 < len(SLUGS) else None,
        "kit_name": (recipe.kit.name if recipe else "") or "A new kit",
        "undo": now.label if now and before else "",
        "redo": after.label if after else "",
        "said": said,
        "fault": bench.fault(),
        "revision": f"{START}-{bench.revision}",
        "drawing": drawn.revision != bench.revision,
        "empty": recipe is None,
        "folder": str(workspace.folder),
        "version": __version__,
        "address": address(slug, query),
    }
    if recipe is not None:
        view |= _STEP_VIEWS[slug](bench, maker, recipe, drawn.job, query)
    return view


def address(slug: str, query: Mapping[str, str]) -> str:
    """Return the address of a step with what is chosen in it."""
    from urllib.parse import urlencode

    kept = {key: value for key, value in query.items() if key in {"tile", "swap", "sticker"}}
    return f"/step/{slug}" + (f"?{urlencode(kept)}" if kept else "")


def _artwork(
    bench: Bench, maker: Maker, recipe: Recipe, job: Job | None, query: Mapping[str, str]
) -> dict[str, Any]:
    del maker, job, query
    return {"tiles": [_tile_card(bench, recipe, part) for part in recipe.patterns]}


def _tile_card(bench: Bench, recipe: Recipe, part: PatternPart) -> dict[str, Any]:
    there = (bench.workspace.folder / part.file).is_file() or (recipe.folder / part.file).is_file()
    study = bench.known(recipe, part) if there else None
    mark, words = verdict(study) if there else ("stop", f"drop {part.file.name} here")
    return {"name": part.label, "there": there, "known": study is not None} | {
        "mark": mark,
        "words": words,
        "size": f"{study.artwork.width_px} × {study.artwork.height_px} px" if study else "",
    }


def _palette(
    bench: Bench, maker: Maker, recipe: Recipe, job: Job | None, query: Mapping[str, str]
) -> dict[str, Any]:
    from kitloom.page.view_palette import palette_view

    del maker
    if job is None:
        return {"swatches": None}
    codes = {"pair-close", "pair-merges", "sight", "pen-contrast"}  # shifts stand at the swatches
    return palette_view(bench, recipe, job, query) | {"findings": findings_view(job, codes)}


def _tiles(
    bench: Bench, maker: Maker, recipe: Recipe, job: Job | None, query: Mapping[str, str]
) -> dict[str, Any]:
    del maker
    view = tiles_view(bench, recipe, query)
    codes = {"seam", "seam-unsure", "resolution", "opened", "repeat-inside", "thin-lines"}
    about = view["tile"]["subject"] if view.get("tile") else ""
    found = findings_view(job, codes, about) if job else []
    return view | {"findings": found}


def _print(
    bench: Bench, maker: Maker, recipe: Recipe, job: Job | None, query: Mapping[str, str]
) -> dict[str, Any]:
    del maker
    codes = {"fill-shift", "press-limits", "ink"}
    found = findings_view(job, codes) if job else []
    return print_view(bench, recipe, job, query) | {"findings": found}


def _kit(
    bench: Bench, maker: Maker, recipe: Recipe, job: Job | None, query: Mapping[str, str]
) -> dict[str, Any]:
    del maker, query
    codes = {"bleed", "gap", "border", "sheets", "fills-repeat", "copies-alike", "cut-motifs"}
    found = findings_view(job, codes) if job else []
    return kit_view(bench, recipe, job) | {"findings": found}


def _sheet(
    bench: Bench, maker: Maker, recipe: Recipe, job: Job | None, query: Mapping[str, str]
) -> dict[str, Any]:
    del maker
    found = findings_view(job, set(CODES)) if job else []
    return sheet_view(bench, recipe, job, query) | {"findings": found}


def _home(
    bench: Bench, maker: Maker, recipe: Recipe, job: Job | None, query: Mapping[str, str]
) -> dict[str, Any]:
    del query
    return home_view(bench, maker, recipe, job)


_STEP_VIEWS = {
    "artwork": _artwork,
    "tiles": _tiles,
    "palette": _palette,
    "print": _print,
    "kit": _kit,
    "sheet": _sheet,
    "home": _home,
}


def findings_view(job: Job, codes: set[str], about: str = "") -> list[dict[str, Any]]:
    """Return the findings of some codes, each with its button; ``about`` keeps one subject's."""
    wanted = [
        one for one in job.findings if one.code in codes and (not about or one.subject == about)
    ]
    return [_finding(job, one) for one in wanted]


def _finding(job: Job, one: Finding) -> dict[str, Any]:
    title = CODES[one.code].title
    return {
        "code": one.code,
        "severity": one.severity,
        "subject": one.subject,
        "title": title[0].lower() + title[1:],
        "what": one.what,
        "why": one.why,
        "remedy": one.remedy,
        "button": remedy_for(job, one),
    }
