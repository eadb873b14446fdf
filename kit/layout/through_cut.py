"""Where is the backing cut through as well: round groups of stickers, round them all, or nowhere?

In: the stickers' cut boxes with the recipe's row of each, and the gap between stickers, in
millimetres. Out: rounded rectangles that touch no sticker and no other through cut. A group is a
row of the recipe on this sheet; rows that lie in each other's way are one group.

The room comes from the gap: a third of it lies between a sticker and its group's line, a third
between the lines of two groups. The layout must leave ``room_at_edge_mm`` round the stickers.
Not done here: asking for it (the recipe's ``[cut]``) or ordering the cuts (``kit.cut.order``).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from kit.recipe_error import RecipeError
from kit.shapes import Contour, Rect, rect_between, rounded_rectangle

Wish = Literal["none", "groups", "sheet", "both"]

LEAST_GAP_MM = 2.0  # narrower slivers of backing tear (common practice, no published source)


def room_at_edge_mm(wish: Wish, gap_mm: float) -> float:
    """Return how far stickers must keep from the reachable area's edge for the through cuts."""
    return {"none": 0.0, "groups": 1.0, "sheet": 2.0, "both": 2.0}[wish] * gap_mm / 3.0


def check_gap(wish: Wish, gap_mm: float, *, where: str = "recipe") -> None:
    """Refuse through cuts that would have no room between the stickers.

    Raises:
        RecipeError: the gap is under ``LEAST_GAP_MM`` and through cuts are wanted.
    """
    if wish != "none" and gap_mm < LEAST_GAP_MM:
        raise RecipeError(
            f"a gap of {gap_mm:g} mm leaves no room for a through cut",
            where=where,
            remedy=f'Set sheet.gap to at least "{LEAST_GAP_MM:g}mm", or cut.through = "none".',
        )


def through_cuts(
    boxes: Sequence[Rect], rows: Sequence[int], wish: Wish, gap_mm: float, radius_mm: float
) -> tuple[Contour, ...]:
    """Return the through cuts of one sheet, those of groups before the one round all.

    Args:
        boxes: the stickers' cut boxes.
        rows: for each of them its row in the recipe.
        wish: what is to be cut out.
        gap_mm: the least distance between stickers.
        radius_mm: of the corners.
    """
    if wish == "none" or not boxes:
        return ()
    frames = []
    if wish in {"groups", "both"}:
        frames += [hull.grow(gap_mm / 3.0) for hull in group_hulls(boxes, rows, gap_mm)]
    if wish in {"sheet", "both"}:
        frames.append(_hull(boxes).grow(2.0 * gap_mm / 3.0))
    return tuple(rounded_rectangle(rect, radius_mm) for rect in frames)


def group_hulls(boxes: Sequence[Rect], rows: Sequence[int], gap_mm: float) -> list[Rect]:
    """Return the rectangles round each group of stickers; no two are nearer than a gap."""
    by_row: dict[int, list[Rect]] = {}
    for box, row in zip(boxes, rows, strict=True):
        by_row.setdefault(row, []).append(box)
    hulls = [_hull(members) for members in by_row.values()]
    while (pair := _nearer_than(hulls, gap_mm)) is not None:
        first, second = pair
        hulls[first] = _hull([hulls[first], hulls.pop(second)])
    return hulls


def _nearer_than(rects: Sequence[Rect], gap_mm: float) -> tuple[int, int] | None:
    for j, rect in enumerate(rects):
        for i in range(j):
            if rect.grow(gap_mm / 2.0).overlaps(rects[i].grow(gap_mm / 2.0), slack_mm=1e-6):
                return i, j
    return None


def _hull(rects: Sequence[Rect]) -> Rect:
    return rect_between(
        min(rect.x_mm for rect in rects),
        min(rect.y_mm for rect in rects),
        max(rect.right_mm for rect in rects),
        max(rect.bottom_mm for rect in rects),
    )
