"""How is the sheet held, and how are its cut lines moved against what a cutter misses by each time?

In: a recipe. Out: the point that stays in place where a cut is turned or stretched off the print,
and the ``CutMove`` of its cut files. Not done here: finding out what a cutter misses by
(``kit.registration.habit``).
"""

from __future__ import annotations

from kit.recipe import Recipe, place_in
from kit.recipe_error import RecipeError
from kit.shapes import Point, Rect, bounding_box, rounded_rectangle
from kit.sheet import CutMove, mark_point


def held_at(recipe: Recipe) -> Point:
    """Return the point of the paper that stays in place where a cut is turned or stretched, mm."""
    width, height = recipe.sheet.paper.width_mm, recipe.sheet.paper.height_mm
    held = recipe.sheet.held
    if held == "middle":
        return width / 2.0, height / 2.0
    if held == "marks":
        points = [mark_point(part) for part in recipe.marks]
        return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
    return width if "right" in held else 0.0, height if "bottom" in held else 0.0


def cut_move(recipe: Recipe) -> CutMove:
    """Return how the recipe moves what is cut."""
    return CutMove(recipe.cut.offset, recipe.cut.turn, held_at(recipe))


def check_offset(recipe: Recipe, area: Rect) -> None:
    """Refuse to move cut lines off the paper.

    Args:
        recipe: what is asked for.
        area: the usable area, anywhere in which cut lines may lie.

    Raises:
        RecipeError: the offset, with the turn, is more than the margins.
    """
    paper = recipe.sheet.paper
    moved = bounding_box(cut_move(recipe)(rounded_rectangle(area)))
    past = {
        "left": -moved.x_mm,
        "top": -moved.y_mm,
        "right": moved.right_mm - paper.width_mm,
        "bottom": moved.bottom_mm - paper.height_mm,
    }
    edge = max(past, key=lambda one: past[one])
    if past[edge] > 1e-6:
        key = "offset" if recipe.cut.offset != (0.0, 0.0) else "turn"
        raise RecipeError(
            f"cut.{key} is larger than the margin",
            where=place_in(recipe, "cut", key),
            why=f"cut lines would lie up to {past[edge]:.2f} mm past the paper's {edge} edge",
            remedy="Measure what your cutter misses by with kitloom trial; correct more than a "
            "few millimetres in its own program.",
        )
