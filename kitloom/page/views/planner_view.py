"""Which planner and which paper: asked before anything is judged against them.

In: a recipe, or the one that the first artwork will begin. Out: the fields, and what is saved.
"""

from __future__ import annotations

from typing import Any

from kit.recipe import PAPERS, Recipe
from kitloom.page.state import SORTS, place_words, saved_in, saved_names


def planner_view(recipe: Recipe) -> dict[str, Any]:
    """Return the planner's and the paper's fields, and what of one's own there is to choose."""
    sheet = recipe.sheet
    papers = [paper.name for paper in PAPERS.values()]
    named = next((p for p in papers if p.lower() == sheet.paper.name.lower()), "other")
    wide, high = recipe.planner.box
    offered = {
        "planner": f"{wide:g} x {high:g} mm",
        "paper": sheet.paper.name,
        "machine": "My printer and cutter",
    }
    return {
        "box": {"wide": f"{wide:g}", "high": f"{high:g}"},
        "papers": papers,
        "paper": named,
        "paper_mm": {"wide": f"{sheet.paper.width_mm:g}", "high": f"{sheet.paper.height_mm:g}"},
        "saved": {
            sort: {
                "names": saved_names(sort),
                "title": title,
                "place": place_words(saved_in(sort)),
                "offered": offered[sort],
            }
            for sort, (title, *_) in SORTS.items()
        },
    }
