"""Which way of laying the stickers, what fills a sheet up, and what would save one?

In: a recipe's slots and the area. Out: the slots with those that top a sheet up, their ``Layout``,
and ``Advice``: the largest gap, or the fewest stickers less, with which the kit saves a sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import cycle, groupby

from kit.layout.by_hand import around_placed
from kit.layout.ground import Item, Layout, ground, layout_of
from kit.layout.packing import pack
from kit.layout.place import mark_keep_outs
from kit.layout.rows import rows
from kit.letters import DAYS
from kit.recipe import Recipe
from kit.shapes import Rect
from kit.stickers import Slot, filler_slot

MOST_FILLERS = 400
_LEAST_GAP_MM = 1.0
_MOST_FEWER = 12


@dataclass(frozen=True, slots=True)
class Advice:
    """What would save a sheet.

    Attributes:
        gap_mm: the largest gap, in whole tenths, at which a sheet is saved; None if none does.
        fewer: how many stickers less, from the end, would do; None if over a dozen.
    """

    gap_mm: float | None
    fewer: int | None


def arrange(
    recipe: Recipe, slots: Sequence[Slot], area: Rect, layout: Layout
) -> tuple[tuple[Slot, ...], Layout]:
    """Return all slots, topped up where the recipe asks for it, and where they lie.

    Args:
        recipe: what is asked for.
        slots: its own stickers.
        area: where they may lie.
        layout: where its own stickers lie by themselves (``lay_out``).
    """
    if not recipe.sheet.top_up:
        return tuple(slots), layout
    return _topped_up(recipe, slots, area, layout)


def advice(recipe: Recipe, slots: Sequence[Slot], area: Rect, layout: Layout) -> Advice | None:
    """Return what would save a sheet, or None where nothing can: one sheet, or as few as go."""
    sheets = len(layout.sheets)
    if sheets == 1:
        return None
    gap_mm = None
    tenths = range(round(recipe.sheet.gap * 10) - 1, round(_LEAST_GAP_MM * 10) - 1, -1)
    for tenth in tenths:
        if len(lay_out(recipe, slots, area, tenth / 10.0, quick=True).sheets) < sheets:
            gap_mm = tenth / 10.0
            break
    fewer = next(
        (
            count
            for count in range(1, min(_MOST_FEWER, len(slots) - 1) + 1)
            if len(lay_out(recipe, slots[:-count], area, recipe.sheet.gap, quick=True).sheets)
            < sheets
        ),
        None,
    )
    return Advice(gap_mm, fewer)


def neighbours(layout: Layout, count: int, gap_mm: float) -> tuple[tuple[int, ...], ...]:
    """Return for each of ``count`` stickers those that lie next to it, nearest first.

    Next means that nothing but about a gap and a half is between them, along x or along y, or that
    they follow each other in one line, however wide that is spread.
    """
    distances: list[list[tuple[float, int]]] = [[] for _ in range(count)]
    reach_mm = max(0.75 * gap_mm, 1.0)
    for spots in layout.sheets:
        grown = [spot.box.grow(reach_mm) for spot in spots]
        for i, one in enumerate(spots):
            for j in range(i):
                other = spots[j]
                in_line = j == i - 1 and _overlap(one.box, other.box)[1] > 0.0
                near = grown[i].overlaps(grown[j]) and max(_overlap(one.box, other.box)) > 0.0
                if in_line or near:
                    (x, y), (u, v) = one.box.centre_mm, other.box.centre_mm
                    away = (x - u) ** 2 + (y - v) ** 2
                    distances[one.index].append((away, other.index))
                    distances[other.index].append((away, one.index))
    return tuple(tuple(index for _, index in sorted(each)) for each in distances)


def _overlap(a: Rect, b: Rect) -> tuple[float, float]:
    """How much of x and of y two boxes have in common; not above 0 where they only face corners."""
    return (
        min(a.right_mm, b.right_mm) - max(a.x_mm, b.x_mm),
        min(a.bottom_mm, b.bottom_mm) - max(a.y_mm, b.y_mm),
    )


def lay_out(
    recipe: Recipe,
    slots: Sequence[Slot],
    area: Rect,
    gap_mm: float,
    *,
    quick: bool = False,
) -> Layout:
    """Return where stickers lie by the recipe's own way of laying them, or by hand.

    ``quick`` tries fewer ways of packing, for questions that are asked many times.

    Raises:
        RecipeError: a sticker fits nowhere.
    """
    laid = _unplaced(recipe, slots, area, gap_mm, quick=quick)
    return _with_placed(recipe, slots, area, gap_mm, laid, own_stickers=len(slots))


def _unplaced(
    recipe: Recipe,
    slots: Sequence[Slot],
    area: Rect,
    gap_mm: float,
    *,
    quick: bool = False,
    tidy: bool = False,
) -> Layout:
    """Return where stickers lie if the maker has put none of them anywhere.

    ``tidy`` tries only the ways that keep a row's stickers together.
    """
    items = [_item(recipe, slot) for slot in slots]
    return _lay(recipe, items, area, gap_mm, quick=quick, tidy=tidy)


def _lay(
    recipe: Recipe, items: Sequence[Item], area: Rect, gap_mm: float, *, quick: bool, tidy: bool
) -> Layout:
    keep_outs = mark_keep_outs(recipe)
    if recipe.sheet.layout == "pack":
        return pack(items, area, gap_mm, keep_outs, quick=quick, tidy=tidy)
    return rows(items, area, gap_mm, keep_outs)


def _with_placed(
    recipe: Recipe,
    slots: Sequence[Slot],
    area: Rect,
    gap_mm: float,
    layout: Layout,
    *,
    own_stickers: int,
) -> Layout:
    """Return a layout with the stickers in it that the maker put somewhere; most often the same."""
    own = {i: slot.at for i, slot in enumerate(slots) if slot.at is not None}
    if not own:
        return layout
    items = [_item(recipe, slot) for slot in slots]

    def lay(some: Sequence[Item]) -> Layout:
        return _lay(recipe, some, area, gap_mm, quick=True, tidy=True)

    on = ground(area, gap_mm, mark_keep_outs(recipe))
    sheets, gave_way = around_placed(items, layout, own, on, lay, own_stickers=own_stickers)
    there = [items[spot.index] for spots in sheets for spot in spots]
    result = layout_of(there, sheets, layout.method, area, gap_mm)
    return replace(result, parted=layout.parted, gave_way=gave_way)


def _item(recipe: Recipe, slot: Slot) -> Item:
    is_filler = slot.row >= len(recipe.rows)
    row = None if is_filler else recipe.rows[slot.row]
    return Item(
        slot.width_mm,
        slot.height_mm,
        slot.row,
        may_turn=not slot.upright,
        line=slot.line,
        beside=row is not None and row.beside,
        across=len(DAYS) if row is not None and row.has_dates else 0,
    )


def _topped_up(
    recipe: Recipe, slots: Sequence[Slot], area: Rect, layout: Layout
) -> tuple[tuple[Slot, ...], Layout]:
    """Add stickers of the named kinds in turn, as long as they take no further sheet.

    They are not strewn into every gap, unless the recipe's own stickers lie like that.
    """
    row = len(recipe.rows)
    fillers = [filler_slot(recipe, name, row + i) for i, name in enumerate(recipe.sheet.top_up)]
    full = list(slots)
    gap_mm = recipe.sheet.gap
    together = _unplaced(recipe, slots, area, gap_mm, quick=True, tidy=True)
    if any(slot.at is not None for slot in slots):  # those keep off no filler: it makes room
        layout = _unplaced(recipe, slots, area, gap_mm)
    tidy = len(together.sheets) <= len(layout.sheets)
    parted = together.parted
    counts = [0] * len(fillers)
    closed: set[int] = set()
    for i in cycle(range(len(fillers))):
        if len(closed) == len(fillers) or sum(counts) >= MOST_FILLERS:
            break
        if i in closed:
            continue
        counts[i] += 1
        added = [f for f, n in zip(fillers, counts, strict=True) for _ in range(n)]
        candidate = [*slots, *added]
        grown = _unplaced(recipe, candidate, area, gap_mm, quick=True, tidy=tidy)
        if len(grown.sheets) > len(layout.sheets) or (tidy and grown.parted > parted):
            counts[i] -= 1
            closed.add(i)
        else:
            full, layout = candidate, grown
    layout = _with_placed(recipe, full, area, gap_mm, layout, own_stickers=len(slots))
    return _without_lost(full, layout)


def _without_lost(slots: Sequence[Slot], layout: Layout) -> tuple[tuple[Slot, ...], Layout]:
    """Return the slots that have a place, and the layout with their numbers among these.

    Of fillers of one kind the last ones go, so that as few as can be change their colour.
    """
    there = {spot.index for spots in layout.sheets for spot in spots}
    if len(there) == len(slots):
        return tuple(slots), layout
    named: dict[int, int] = {}
    kept: list[Slot] = []
    for _, run in groupby(range(len(slots)), key=lambda i: slots[i].row):
        of_row = list(run)
        left = [i for i in of_row if i in there]
        stay = set(of_row[: len(left)])
        free = iter(sorted(stay - set(left)))
        named |= {i: len(kept) + (i if i in stay else next(free)) - of_row[0] for i in left}
        kept += [slots[i] for i in of_row[: len(left)]]
    sheets = tuple(
        tuple(replace(spot, index=named[spot.index]) for spot in spots) for spots in layout.sheets
    )
    gave_way = tuple(named[i] for i in layout.gave_way)
    return tuple(kept), replace(layout, sheets=sheets, gave_way=gave_way)
