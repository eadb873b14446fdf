"""Which planner and which paper: asked before anything is judged against them.

In: a recipe, or the one that the first artwork will begin. Out: the fields, and what is saved.
"""

from __future__ import annotations

from typing import Any

from kit.recipe import PAPERS, Recipe
from kitloom.page.state import (
    SORTS,
    place_words,
    saved_as,
    saved_in,
    saved_names,
    tables_of,
    value_at,
)
from patterns.units import MM_PER_INCH


def planner_view(recipe: Recipe, text: str) -> dict[str, Any]:
    """Return the planner's and the paper's fields, and what of one's own there is to choose.

    Args:
        recipe: the recipe.
        text: as it is written; a box that is written in inches is shown in inches.
    """
    sheet = recipe.sheet
    papers = [paper.name for paper in PAPERS.values()]
    named = next((p for p in papers if p.lower() == sheet.paper.name.lower()), "other")
    wide, high = recipe.planner.box
    offered = {
        "planner": f"{wide:g} x {high:g} mm",
        "paper": sheet.paper.name,
        "machine": "My printer and cutter",
    }
    chosen = {sort: saved_as(sort, text, recipe.folder) for sort in SORTS}
    return {
        "box": {"wide": _as_written(wide, text), "high": _as_written(high, text)},
        "papers": papers,
        "paper": named,
        "paper_mm": {"wide": f"{sheet.paper.width_mm:g}", "high": f"{sheet.paper.height_mm:g}"},
        "saved": {
            sort: {
                "names": saved_names(sort),
                "title": title,
                "place": place_words(saved_in(sort)),
                "chosen": chosen[sort],
                "offered": chosen[sort] or offered[sort],
            }
            for sort, (title, *_) in SORTS.items()
        },
    }


def _as_written(side_mm: float, text: str) -> str:
    box = value_at(tables_of(text), ("planner", "box"))
    inches = isinstance(box, str) and box.count("in") == 2
    return f"{round(side_mm / MM_PER_INCH, 3):g} in" if inches else f"{side_mm:g} mm"
