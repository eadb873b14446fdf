"""Where stickers lie: a layout's values, its bound by area, and what all ways of laying share.

In: sticker sizes, the usable area, the gap and keep-outs, in millimetres. Out: a ``Layout``: for
every sheet, which item lies where. Pure geometry: no recipe, no fills, no files.
``kit.layout.rows`` lays items as the recipe lists them, ``kit.layout.packing`` as close as they
fit.

No layout is called the best possible unless its sheets equal ``sheets_at_least``, a bound by area.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kit.recipe_error import RecipeError
from kit.shapes import Rect, rect_between

SLACK_MM = 1e-7  # floating point, not paper


@dataclass(frozen=True, slots=True)
class Item:
    """A sticker to be placed.

    Attributes:
        width_mm: its cut box's width.
        height_mm: its height.
        row: the recipe's row; neighbours of the same number lie beside each other.
        line: which line of its row it is meant for, such as a week's; 0 where that is open.
        beside: whether its row is at the end of the lines of the row before it.
        across: how many of its row a packed block should have side by side; 0 where that is open.
        may_turn: whether ``pack`` may lay it a quarter turn round.
    """

    width_mm: float
    height_mm: float
    row: int = 0
    may_turn: bool = False
    line: int = 0
    beside: bool = False
    across: int = 0


@dataclass(frozen=True, slots=True)
class Spot:
    """Where an item lies: its number in the given sequence, its box, and whether it was turned."""

    index: int
    box: Rect
    on_its_side: bool = False


@dataclass(frozen=True, slots=True)
class Layout:
    """All sheets of a kit.

    Attributes:
        sheets: the spots of each sheet, in drawing order.
        method: "rows" or "packed".
        sheets_at_least: no arrangement can need fewer, by area.
        share_of_usable: the stickers' area over the usable area of all sheets, 0 to 1.
        parted: how many groups of stickers lie apart from the rest of their row, where packed.
        gave_way: the stickers that lie elsewhere because the maker put another one there.
    """

    sheets: tuple[tuple[Spot, ...], ...]
    method: str
    sheets_at_least: int
    share_of_usable: float
    parted: int = 0
    gave_way: tuple[int, ...] = ()

    @property
    def proven_fewest(self) -> bool:
        """Whether the number of sheets is the bound, so that none can need fewer."""
        return len(self.sheets) == self.sheets_at_least


@dataclass(frozen=True, slots=True)
class Ground:
    """Where stickers may lie.

    Attributes:
        area: what printer and cutter can reach, less the keep-outs that take a whole edge.
        gap_mm: the least distance between two stickers along x or y.
        keep_outs: areas that no sticker may enter.
    """

    area: Rect
    gap_mm: float
    keep_outs: tuple[Rect, ...] = ()

    def is_clear(self, box: Rect) -> bool:
        """Tell whether a box keeps out of every keep-out."""
        return not any(box.overlaps(out, slack_mm=SLACK_MM) for out in self.keep_outs)


def ground(usable: Rect, gap_mm: float, keep_outs: Sequence[Rect]) -> Ground:
    """Return where stickers may lie, edges taken by keep-outs left off the area."""
    return Ground(without_edges(usable, keep_outs), gap_mm, tuple(keep_outs))


def area_bound(items: Sequence[Item], usable: Rect, gap_mm: float) -> float:
    """Return how many sheets the items' area asks for, each with its gap to the right and below.

    Stickers grown by the gap must fit the usable area grown by the gap, so the sum of
    (w + g)(h + g) over (W + g)(H + g) is a lower bound; keep-outs are left out of account.
    """
    taken = sum((item.width_mm + gap_mm) * (item.height_mm + gap_mm) for item in items)
    return taken / ((usable.width_mm + gap_mm) * (usable.height_mm + gap_mm))


def layout_of(
    items: Sequence[Item],
    sheets: Sequence[Sequence[Spot]],
    method: str,
    usable: Rect,
    gap_mm: float,
) -> Layout:
    """Return the layout with its bound and share reckoned."""
    area = sum(item.width_mm * item.height_mm for item in items)
    return Layout(
        sheets=tuple(tuple(sheet) for sheet in sheets),
        method=method,
        sheets_at_least=math.ceil(area_bound(items, usable, gap_mm) - 1e-9),
        share_of_usable=area / (usable.area_mm2 * len(sheets)) if sheets else 0.0,
    )


def without_edges(usable: Rect, keep_outs: Sequence[Rect]) -> Rect:
    """Return the usable area less the keep-outs that take a whole edge of it."""
    left, top, right, bottom = usable.x_mm, usable.y_mm, usable.right_mm, usable.bottom_mm
    for out in keep_outs:
        if out.x_mm <= left and out.right_mm >= right:
            if out.y_mm <= top:
                top = max(top, out.bottom_mm)
            elif out.bottom_mm >= bottom:
                bottom = min(bottom, out.y_mm)
        if out.y_mm <= top and out.bottom_mm >= bottom:
            if out.x_mm <= left:
                left = max(left, out.right_mm)
            elif out.right_mm >= right:
                right = min(right, out.x_mm)
    return rect_between(left, top, max(left, right), max(top, bottom))


def too_large(item: Item, usable: Rect) -> RecipeError:
    """Return the error for an item that fits nowhere."""
    return RecipeError(
        f"a sticker of {item.width_mm:.2f} x {item.height_mm:.2f} mm does not fit the usable "
        f"{usable.width_mm:.2f} x {usable.height_mm:.2f} mm",
        where="sheet",
        remedy="Choose larger paper, smaller margins or keep-outs, or a smaller box.",
    )


def centre(spots: Sequence[Spot], on: Ground, *, across: bool = True) -> list[Spot]:
    """Return a sheet's spots moved to the middle of the area, unless a keep-out is in the way.

    Args:
        spots: at least one.
        on: the area to centre in, and what to stay clear of.
        across: move along x too, not along y alone.
    """
    left = min(s.box.x_mm for s in spots)
    right = max(s.box.right_mm for s in spots)
    top = min(s.box.y_mm for s in spots)
    bottom = max(s.box.bottom_mm for s in spots)
    dx = on.area.centre_mm[0] - (left + right) / 2.0 if across else 0.0
    dy = on.area.centre_mm[1] - (top + bottom) / 2.0
    for move in ((dx, dy), (0.0, dy), (dx, 0.0)):
        moved = [Spot(s.index, s.box.shift(*move), s.on_its_side) for s in spots]
        if all(on.is_clear(spot.box) for spot in moved):
            return moved
    return list(spots)
