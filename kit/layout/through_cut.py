"""Where is the backing cut through as well: round groups of stickers, round them all, or nowhere?

In: the stickers' cut boxes with the recipe's row of each, and the gap between stickers, in
millimetres. Out: rounded rectangles that touch no sticker and no other through cut. A group is a
row of the recipe on this sheet; rows that lie in each other's way are one group, and a row round a
mark for the machine is several.

The room comes from the gap: a third of it lies between a sticker and its group's line, a third
between the lines of two groups. The layout must leave ``room_at_edge_mm`` round the stickers.
Not done here: asking for it (the recipe's ``[cut]``) or ordering the cuts (``kit.cut.order``).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Literal

from kit.recipe_error import RecipeError
from kit.shapes import Contour, Rect, rect_around, rounded_rectangle

Wish = Literal["none", "groups", "sheet", "both"]

LEAST_GAP_MM = 2.0  # narrower slivers of backing tear (common practice, no published source)
LEAST_BACKING_MM = 2.0  # between two through cuts; less lifts under the blade (likewise)


def room_at_edge_mm(wish: Wish, gap_mm: float) -> float:
    """Return how far stickers must keep from the reachable area's edge for the through cuts."""
    return {"none": 0.0, "groups": 1.0, "sheet": 2.0, "both": 2.0}[wish] * gap_mm / 3.0


def check_gap(wish: Wish, gap_mm: float, *, where: str = "recipe") -> None:
    """Refuse through cuts that would have no room between the stickers.

    Raises:
        RecipeError: the gap is under ``LEAST_GAP_MM`` and through cuts are asked for.
    """
    if wish != "none" and gap_mm < LEAST_GAP_MM:
        raise RecipeError(
            f"a gap of {gap_mm:g} mm leaves no room for a through cut",
            where=where,
            remedy=f'Set sheet.gap to at least "{LEAST_GAP_MM:g}mm", or cut.through = "none".',
        )


def through_cuts(
    boxes: Sequence[Rect],
    rows: Sequence[int],
    wish: Wish,
    gap_mm: float,
    radius_mm: float,
    *,
    zones: Sequence[Rect] = (),
) -> tuple[Contour, ...]:
    """Return the through cuts of one sheet, those of groups before the one round all.

    Args:
        boxes: the stickers' cut boxes.
        rows: for each of them its row in the recipe.
        wish: what is to be cut out.
        gap_mm: the least distance between stickers.
        radius_mm: of the corners.
        zones: the machine's marks with their quiet zones: no group's line goes round one.
    """
    if wish == "none" or not boxes:
        return ()
    frames = []
    if wish in {"groups", "both"}:
        frames += [hull.grow(gap_mm / 3.0) for hull in group_hulls(boxes, rows, gap_mm, zones)]
    if wish in {"sheet", "both"}:
        frames.append(rect_around(boxes).grow(2.0 * gap_mm / 3.0))
    return tuple(rounded_rectangle(rect, radius_mm) for rect in frames)


def narrowest_backing_mm(frames: Sequence[Rect]) -> float:
    """Return the narrowest strip of backing between two through cuts; infinite where none is.

    Args:
        frames: the boxes of the through cuts, beside each other or one inside the other.
    """
    strips = [_between_mm(a, b) for i, a in enumerate(frames) for b in frames[:i]]
    return min(strips, default=math.inf)


def _between_mm(one: Rect, other: Rect) -> float:
    """Return the width of what lies between two boxes' edges."""
    for outer, inner in ((one, other), (other, one)):
        if outer.holds(inner):
            return min(
                inner.x_mm - outer.x_mm,
                inner.y_mm - outer.y_mm,
                outer.right_mm - inner.right_mm,
                outer.bottom_mm - inner.bottom_mm,
            )
    across = max(one.x_mm - other.right_mm, other.x_mm - one.right_mm)
    down = max(one.y_mm - other.bottom_mm, other.y_mm - one.bottom_mm)
    return math.hypot(max(across, 0.0), max(down, 0.0))


def group_hulls(
    boxes: Sequence[Rect], rows: Sequence[int], gap_mm: float, zones: Sequence[Rect] = ()
) -> list[Rect]:
    """Return the rectangles round each group of stickers; no two are nearer than a gap.

    A group whose line would go round one of the zones is taken apart: into its lines, then into
    single stickers, which keep off every zone and off each other by themselves.
    """
    by_row: dict[int, list[Rect]] = {}
    for box, row in zip(boxes, rows, strict=True):
        by_row.setdefault(row, []).append(box)

    def clear(members: Sequence[Rect]) -> bool:
        line = rect_around(members).grow(gap_mm / 3.0)
        return not any(line.overlaps(zone) for zone in zones)

    groups = [part for row in by_row.values() for part in _runs(row, clear)]
    while (pair := _nearer_than([rect_around(group) for group in groups], gap_mm)) is not None:
        first, second = pair
        both = groups[first] + groups.pop(second)
        # stickers nearer than a gap to each other cannot be taken apart
        if clear(both) or _nearer_than(both, gap_mm) is not None:
            groups[first] = both
        else:
            groups[first : first + 1] = [[box] for box in both]
    return [rect_around(group) for group in groups]


def _runs(members: Sequence[Rect], clear: Callable[[Sequence[Rect]], bool]) -> list[list[Rect]]:
    """Return a row as it is where its line is clear, or as the longest runs whose lines are."""
    if clear(members):
        return [list(members)]
    runs: list[list[Rect]] = []
    for box in members:
        if runs and clear([*runs[-1], box]):
            runs[-1].append(box)
        else:
            runs.append([box])
    return runs


def _nearer_than(rects: Sequence[Rect], gap_mm: float) -> tuple[int, int] | None:
    for j, rect in enumerate(rects):
        for i in range(j):
            if rect.grow(gap_mm / 2.0).overlaps(rects[i].grow(gap_mm / 2.0), slack_mm=1e-6):
                return i, j
    return None
