"""Beside every step: the sheet as it is, with the stickers that the step is about outlined.

In: the bench and what the address asks for. Out: the sheets with the outlines of those stickers,
and a sentence that says which they are.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from kit.recipe import Recipe
from kit.sheet import ColourFill, PatternFill, Placement
from kit.writers import path_data
from kitloom.page.state import Bench
from kitloom.page.views.tiles_view import chosen_index

About = Callable[[Placement, int], bool]


def aside_view(bench: Bench, recipe: Recipe, slug: str, query: Mapping[str, str]) -> dict[str, Any]:
    """Return every sheet with the stickers that the step is about, and what is said of them.

    Args:
        bench: whose drawing is shown; of an earlier state where this one cannot be laid out.
        recipe: as it is.
        slug: of the step.
        query: what is chosen in it.
    """
    job = bench.drawing.job
    if job is None:
        return {"sheets": [], "about": ""}
    words, about = _about(recipe, slug, query)
    sheets = []
    lit = 0
    for number, (sheet, spots) in enumerate(
        zip(job.kit.sheets, job.kit.layout.sheets, strict=True), start=1
    ):
        found = [
            path_data(placed.outline)
            for placed, spot in zip(sheet.placements, spots, strict=True)
            if about(placed, spot.index)
        ]
        lit += len(found)
        sheets.append(
            {
                "number": number,
                "wide": f"{sheet.width_mm:.3f}",
                "high": f"{sheet.height_mm:.3f}",
                "lit": found,
            }
        )
    return {"sheets": sheets, "about": words if lit else ""}


def _about(recipe: Recipe, slug: str, query: Mapping[str, str]) -> tuple[str, About]:
    """Return which stickers a step is about, in words and as a test."""
    if slug in {"tiles", "print"}:
        label = recipe.patterns[chosen_index(recipe, query)].label
        return (
            f"Outlined: {label}.",
            lambda placed, _: isinstance(placed.fill, PatternFill) and placed.fill.pattern == label,
        )
    if slug == "palette" and query.get("swap"):
        colour = query["swap"].lower()
        return (
            f"Outlined: {colour}.",
            lambda placed, _: (
                isinstance(placed.fill, ColourFill) and placed.fill.colour.lower() == colour
            ),
        )
    if slug == "sheet" and query.get("sticker"):
        return "Outlined: the chosen sticker.", lambda _, index: str(index) == query["sticker"]
    return "", lambda _, __: False
