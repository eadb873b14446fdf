"""Can the same stickers do with fewer sheets? A denser arrangement than rows, where it pays.

In and out as ``kit.layout.rows``. ``pack`` keeps the rows whenever these already reach the bound by
area, and whenever nothing denser saves a sheet: a tidy grid is easier to weed and trim. Otherwise
it tries maximal rectangles (J. Jylänki, "A thousand ways to pack the bin", 2010): keep every
largest free rectangle of a sheet, and lay each item into the one that a rule calls best; with
quarter turns where an item allows them, by several rules and in several orders, none of which is
best for every kit. Last, kits of few stickers try orders in which each kind's rank is shifted by
chance, always by the same chance: a search restarted at random finds what no fixed order does
(common practice).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from random import Random

from kit.layout.ground import (
    SLACK_MM,
    Ground,
    Item,
    Layout,
    Spot,
    centre,
    ground,
    layout_of,
    too_large,
)
from kit.layout.rows import rows
from kit.recipe_error import RecipeError
from kit.shapes import Rect

Order = Callable[[Item], tuple[float, ...]]
Free = tuple[float, float, float, float]  # left, top, right, bottom
Place = tuple[tuple[float, ...], float, float, bool]  # score, left, top, turned

Rule = Callable[[Free, float, float], tuple[float, ...]]  # of a free rectangle, width and height

ORDERS: tuple[Order, ...] = (
    lambda item: (-item.height_mm, -item.width_mm),
    lambda item: (-item.height_mm * item.width_mm, -item.height_mm),
    lambda item: (-round(item.height_mm * item.width_mm, 6), -item.width_mm),
    lambda item: (-max(item.width_mm, item.height_mm), -min(item.width_mm, item.height_mm)),
    lambda item: (-item.width_mm, -item.height_mm),
    lambda item: (-min(item.width_mm, item.height_mm), -max(item.width_mm, item.height_mm)),
    lambda item: (-item.width_mm / item.height_mm,),
)
FEW, MANY = 4, 300  # ways tried for a quick answer, and for more items than that
_BY_CHANCE, _BY_CHANCE_ITEMS = 30, 2_000  # the most ways by chance, and the most items laid in them


def _short_side(free: Free, width: float, height: float) -> tuple[float, ...]:
    """Leave the least along one side."""
    over = free[2] - free[0] - width, free[3] - free[1] - height
    return min(over), max(over)


def _top(free: Free, _width: float, height: float) -> tuple[float, ...]:
    """End as high up as can be."""
    return (free[1] + height,)


RULES: tuple[Rule, ...] = (_short_side, _top)


def pack(
    items: Sequence[Item],
    usable: Rect,
    gap_mm: float,
    keep_outs: Sequence[Rect] = (),
    *,
    quick: bool = False,
) -> Layout:
    """Return the arrangement with the fewest sheets of those tried; rows win ties.

    Args:
        items: what to place; row numbers matter only while rows are kept.
        usable: what printer and cutter can reach.
        gap_mm: the least distance between two stickers along x or y.
        keep_outs: areas that no sticker may enter.
        quick: try a few ways only, for questions that are asked many times.

    Raises:
        RecipeError: an item fits nowhere on an empty sheet, turned or not.
    """
    best: Layout | None = None
    try:
        best = rows(items, usable, gap_mm, keep_outs)
    except RecipeError:
        if not any(item.may_turn for item in items):
            raise
    on = ground(usable, gap_mm, keep_outs)
    for rule, order in _ways(items, quick=quick):
        if best is not None and len(best.sheets) <= best.sheets_at_least:
            break
        layout = _pack_by(items, usable, on, order, rule)
        if best is None or len(layout.sheets) < len(best.sheets):
            best = layout
    assert best is not None  # every order either returned or raised
    return best


def _ways(items: Sequence[Item], *, quick: bool) -> Iterator[tuple[Rule, Order]]:
    """Yield the rules and orders to try, those that help most often first."""
    ways = [(rule, order) for rule in RULES for order in ORDERS]
    if quick or len(items) > MANY:
        yield from ways[:FEW]
        return
    yield from ways
    chance = Random(len(items))  # noqa: S311  no secret, only a search
    for number in range(min(_BY_CHANCE, _BY_CHANCE_ITEMS // len(items))):
        yield RULES[number % len(RULES)], _shift(ORDERS[number % FEW], items, chance)


def _shift(order: Order, items: Sequence[Item], chance: Random) -> Order:
    """Return an order in which each row's items stand further forward or back than in another."""
    by_row = {row: chance.uniform(0.6, 1.6) for row in sorted({item.row for item in items})}
    return lambda item: (order(item)[0] * by_row[item.row], item.row)


def _pack_by(items: Sequence[Item], usable: Rect, on: Ground, order: Order, rule: Rule) -> Layout:
    """Lay the items in this order, each on the first sheet that takes it."""
    blank = _blank(on)
    frees: list[list[Free]] = []
    sheets: list[list[Spot]] = []
    for index in sorted(range(len(items)), key=lambda i: (*order(items[i]), i)):
        item = items[index]
        number, place = _first_sheet(item, frees, on.gap_mm, rule)
        if place is None:
            place = _best_place(item, blank, on.gap_mm, rule)
            if place is None:
                raise too_large(item, on.area)
            frees.append(blank)
            sheets.append([])
        _, left, top, turned = place
        size = (item.width_mm, item.height_mm)[:: -1 if turned else 1]
        sheets[number].append(Spot(index, Rect(left, top, *size), turned))
        grown = (left, top, left + size[0] + on.gap_mm, top + size[1] + on.gap_mm)
        frees[number] = _without(frees[number], grown)
    placed = [centre(sheet, on) for sheet in sheets]
    return layout_of(items, placed, "packed", usable, on.gap_mm)


def _blank(on: Ground) -> list[Free]:
    """Return the free rectangles of an empty sheet.

    Items are grown by the gap to the right and below, and so is the area: a sticker may end at its
    edge without a gap. Keep-outs stay as they are, so a sticker ends a gap before them.
    """
    area = on.area
    free = [(area.x_mm, area.y_mm, area.right_mm + on.gap_mm, area.bottom_mm + on.gap_mm)]
    for out in on.keep_outs:
        free = _without(free, (out.x_mm, out.y_mm, out.right_mm, out.bottom_mm))
    return free


def _first_sheet(
    item: Item, frees: Sequence[Sequence[Free]], gap: float, rule: Rule
) -> tuple[int, Place | None]:
    """Return the first sheet that takes the item, and where; else the number of a new one."""
    for number, free in enumerate(frees):
        place = _best_place(item, free, gap, rule)
        if place is not None:
            return number, place
    return len(frees), None


def _best_place(item: Item, free: Sequence[Free], gap: float, rule: Rule) -> Place | None:
    """Return the place that the rule calls best, the upper left first among equals."""
    best: Place | None = None
    sides = (item.width_mm + gap, item.height_mm + gap)
    for turned in (False, True) if item.may_turn else (False,):
        width, height = sides[::-1] if turned else sides
        for left, top, right, bottom in free:
            if right - left - width < -SLACK_MM or bottom - top - height < -SLACK_MM:
                continue
            # rounded, or floating point would decide between equals
            rated = rule((left, top, right, bottom), width, height)
            score = (*(round(value, 6) for value in rated), top, left)
            if best is None or score < best[0]:
                best = (score, left, top, turned)
    return best


def _without(free: Sequence[Free], taken: Free) -> list[Free]:
    """Return the largest free rectangles once ``taken`` is used."""
    left, top, right, bottom = taken
    whole: list[Free] = []
    cut: list[Free] = []
    for a, b, c, d in free:
        if (
            left >= c - SLACK_MM
            or right <= a + SLACK_MM
            or top >= d - SLACK_MM
            or bottom <= b + SLACK_MM
        ):
            whole.append((a, b, c, d))
        else:
            cut += [(a, b, left, d), (right, b, c, d), (a, b, c, top), (a, bottom, c, d)]
    real = sorted({r for r in cut if r[2] - r[0] > SLACK_MM and r[3] - r[1] > SLACK_MM})
    for i, one in enumerate(real):
        others = real[:i] + real[i + 1 :]
        if not any(_inside(one, other) for other in (*whole, *others)):
            whole.append(one)
    return whole


def _inside(one: Free, other: Free) -> bool:
    return one[0] >= other[0] and one[1] >= other[1] and one[2] <= other[2] and one[3] <= other[3]
