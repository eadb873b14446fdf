"""What does a page show? The frame that all steps share: steps, undo, what was refused, the folder.

In: the bench and what the address asks for (a tile, a colour, a sticker, a preview). Out: a
dictionary of texts and numbers for the template. Measurements are only shaped here, and nothing is
decided.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any
from zlib import crc32

from kit.recipe import PatternPart, Recipe
from kitloom import __version__
from kitloom.page.addresses import step_address
from kitloom.page.edits import OPENED
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench, Step, place_words
from kitloom.page.views.aside_view import aside_view
from kitloom.page.views.gone_view import ALL_GONE, gone_view
from kitloom.page.views.planner_view import planner_view
from kitloom.page.views.settings_view import settings_view, text_view
from kitloom.page.views.step_views import STEP_VIEWS, StepRequest, opened_on
from kitloom.page.views.steps import SLUGS, step_rows
from kitloom.page.views.tiles_view import chosen_index
from kitloom.page.work import Batch, FileMaking
from palette.errors import KitloomError

# what a step's address can name
IN_ADDRESS = ("tile", "swap", "sticker", "try", "to", "wear", "road", "row")
START = secrets.token_hex(4)  # after another start all pictures are new


@dataclass(frozen=True)
class OpenPage:
    """An open kit, with the work under way on it."""

    bench: Bench
    making: FileMaking
    batch: Batch


def page_view(
    page: OpenPage,
    slug: str,
    query: Mapping[str, str],
    *,
    refusals: Sequence[KitloomError] = (),
    sent: Mapping[str, str] = MappingProxyType({}),
) -> dict[str, Any]:
    """Return everything that a page of one step needs.

    Args:
        page: the open kit.
        slug: the step.
        query: what its address asks for.
        refusals: what was refused.
        sent: the fields of the form that was refused, so that nothing typed is lost.
    """
    bench = page.bench
    seen = bench.signals.sent  # before all else: what is shown is at least as new
    recipe, drawing = bench.recipe(), bench.drawing
    number = SLUGS.index(slug)
    workspace = bench.workspace
    view: dict[str, Any] = {
        "slug": slug,
        "steps": step_rows(bench),
        "next": SLUGS[number + 1] if number + 1 < len(SLUGS) else None,
        "kit_name": (recipe.kit.name if recipe else "") or "A new kit",
        "undo": _done(workspace.undoable()),
        "redo": _done(workspace.redoable()),
        "refusals": refusals,
        "faults": {one.field: one.at_field() for one in refusals if isinstance(one, PageError)},
        "batch": page.batch.progress,
        "fault": bench.fault(),
        "seen": seen,
        "revision": f"{START}-{bench.revision}",
        "picture": f"{START}-{drawing.revision}{'-fine' if drawing.fine else ''}",
        "drawn_fault": drawing.fault,
        "stuck": bench.stuck,
        "drawing": drawing.revision != bench.revision,
        "empty": recipe is None,
        "gone": [ALL_GONE] if recipe is None and _choices(query) else [],
        "folder": place_words(workspace.folder),
        "version": __version__,
        "choices": _choices(query),
        "address": step_address(slug, _choices(query)),
        "beside": {"sheets": [], "about": ""},
    }
    view |= text_view(bench, refusals, sent)
    if recipe is not None:
        if "tile" not in query and (worst := opened_on(slug, bench, recipe)):
            query = {**query, "tile": worst}
            view["choices"] = _choices(query)
            view["address"] = step_address(slug, view["choices"])
        view["of"] = {part.label: _picture_of(recipe, part) for part in recipe.patterns}
        view["beside"] = aside_view(bench, recipe, slug, query)
        request = StepRequest(bench, page.making, page.batch.previews, recipe, drawing.job, query)
        view |= STEP_VIEWS[slug](request)
        view |= settings_view(bench, recipe, slug, chosen_index(recipe, query), query)
        view["gone"] = gone_view(slug, request, view)
    elif view["fault"] is None:
        begun = bench.before_artwork()
        view |= planner_view(bench.parse(begun), begun)
    unlaid = recipe is not None and drawing.job is None and drawing.fault is None
    return view | {"waits": _waits(view, unlaid=unlaid)}


def _done(steps: Sequence[Step]) -> str:
    """Say what one undo or redo is about; a drop of several tiles is one thing."""
    opened = next((step.label for step in steps if step.label.startswith(OPENED)), "")
    if opened:  # with the artwork that it names
        return opened
    if len(steps) > 1:
        return f"added {len(steps)} tiles"
    return steps[0].label if steps else ""


def _waits(view: Mapping[str, Any], *, unlaid: bool) -> bool:
    """Tell whether a page without its script should look again by itself."""
    pieces = [view.get(key) for key in ("making", "preview", "dressed", "batch")]
    at_work = any(one is not None and not one.ended for one in pieces)
    unmeasured = view["slug"] == "tiles" and not view["empty"] and not view.get("tile")
    unmeasured = unmeasured and view["stuck"] is None
    return bool(at_work or unmeasured or (unlaid and view["slug"] in ("palette", "print", "sheet")))


def _picture_of(recipe: Recipe, part: PatternPart) -> str:
    """Return what a tile's pictures are of: another file, or a changed one, has other pictures."""
    path = recipe.folder / part.file
    changed_ns = path.stat().st_mtime_ns if path.is_file() else 0
    return f"{START}-{crc32(f'{part.file} {changed_ns}'.encode()):08x}"


def _choices(query: Mapping[str, str]) -> dict[str, str]:
    """Return what an address names that a step knows."""
    return {key: query[key] for key in query if key in IN_ADDRESS}
