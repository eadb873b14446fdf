"""Can the same stickers do with fewer sheets? A denser arrangement than rows, where it pays.

In and out as ``kit.layout.rows``. ``pack`` keeps the rows whenever these already reach the bound by
area, and whenever nothing denser saves a sheet: a tidy grid is easier to weed and trim. Otherwise
it tries maximal rectangles (J. Jylänki, "A thousand ways to pack the bin", 2010): keep every
largest free rectangle of a sheet, and lay each item into the one that a rule calls best; with
quarter turns where an item allows them, by several rules and in several orders, none of which is
best for every kit. First it lays the stickers of a row together, in a grid that reads line by line
(``_by_blocks``), then, where that saves no sheet, each by itself. Last, kits of few stickers try
orders in which each kind's rank is shifted by chance, always by the same chance: a search restarted
at random finds what no fixed order does (common practice). Stickers laid
each by itself still read in their row's order, line by line.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice
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
    tidy: bool = False,
) -> Layout:
    """Return the arrangement with the fewest sheets of those tried; tidier ones win ties.

    Args:
        items: what to place; row numbers matter only while rows are kept.
        usable: what printer and cutter can reach.
        gap_mm: the least distance between two stickers along x or y.
        keep_outs: areas that no sticker may enter.
        quick: try a few ways only, for questions that are asked many times.
        tidy: leave out the ways in which a row's stickers are scattered.

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
    if best is not None and best.proven_fewest:
        return best
    for layout in _packed(items, usable, on, quick=quick, tidy=tidy):
        if best is None or _rank(layout) < _rank(best):
            best = layout
        if best.proven_fewest and not best.parted:
            break
    assert best is not None  # every order either returned or raised
    return best


def _rank(layout: Layout) -> tuple[int, int]:
    return len(layout.sheets), layout.parted


def _packed(
    items: Sequence[Item], usable: Rect, on: Ground, *, quick: bool, tidy: bool
) -> Iterator[Layout]:
    """Yield the packed arrangements, the tidier ones first."""
    for rule, order in islice(_ways(items, quick=quick), len(RULES) * len(ORDERS)):
        sheets, parted = _by_blocks(items, on, order, rule)
        yield replace(_layout(items, sheets, usable, on), parted=parted)
    if not tidy:
        for rule, order in _ways(items, quick=quick):
            sheets = _in_order(items, _one_by_one(items, on, order, rule))
            yield replace(_layout(items, sheets, usable, on), parted=len(items))


def _layout(
    items: Sequence[Item], sheets: Sequence[Sequence[Spot]], usable: Rect, on: Ground
) -> Layout:
    placed = [centre(sheet, on) for sheet in sheets]
    return layout_of(items, placed, "packed", usable, on.gap_mm)


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


def _in_order(items: Sequence[Item], sheets: Sequence[Sequence[Spot]]) -> list[list[Spot]]:
    """Let like stickers of a row change places, so that they read line by line, sheet by sheet."""
    places = [(number, spot) for number, sheet in enumerate(sheets) for spot in sheet]
    places.sort(key=lambda one: (one[0], round(one[1].box.y_mm, 3), one[1].box.x_mm))
    waiting: dict[tuple[float, ...], list[int]] = defaultdict(list)
    for index, item in enumerate(items):
        waiting[_like(item)].append(index)
    given = {key: iter(indices) for key, indices in waiting.items()}
    read: list[list[Spot]] = [[] for _ in sheets]
    for number, spot in places:
        read[number].append(replace(spot, index=next(given[_like(items[spot.index])])))
    return read


def _like(item: Item) -> tuple[float, ...]:
    """What stickers of a row that can change places have in common."""
    return item.row, item.width_mm, item.height_mm


def _by_blocks(
    items: Sequence[Item], on: Ground, order: Order, rule: Rule
) -> tuple[list[list[Spot]], int]:
    """Lay the stickers of each row together, as many as a sheet takes, in the largest grid.

    Also returns how many groups lie apart from the rest of their row.
    """
    rows_of: dict[tuple[float, ...], list[int]] = defaultdict(list)
    for index, item in enumerate(items):
        rows_of[_like(item)].append(index)
    free_of: list[list[Free]] = []
    sheets: list[list[Spot]] = []
    blocks = 0
    for row in sorted(rows_of.values(), key=lambda row: (*order(items[row[0]]), row[0])):
        rest, number = row, 0
        while rest:
            if number == len(sheets):
                free_of.append(_blank(on))
                sheets.append([])
            block = _best_block(items[rest[0]], len(rest), free_of[number], on.gap_mm, rule)
            if block is None:
                if not sheets[number]:
                    raise too_large(items[rest[0]], on.area)
                number += 1
                continue
            for spot in block.spots(rest, on.gap_mm):
                sheets[number].append(spot)
            for taken in block.taken(on.gap_mm):
                free_of[number] = _without(free_of[number], taken)
            rest = rest[block.count :]
            blocks += 1
    return sheets, blocks - len(rows_of)


@dataclass(frozen=True, slots=True)
class _Block:
    """Stickers of one size in a grid, its last line perhaps not full; mm."""

    left: float
    top: float
    size: tuple[float, float]
    count: int
    across: int
    turned: bool

    def spots(self, indices: Sequence[int], gap: float) -> Iterator[Spot]:
        """Yield where each sticker lies."""
        width, height = self.size
        for place, index in zip(range(self.count), indices, strict=False):
            down, along = divmod(place, self.across)
            x, y = self.left + along * (width + gap), self.top + down * (height + gap)
            yield Spot(index, Rect(x, y, width, height), self.turned)

    def taken(self, gap: float) -> Iterator[Free]:
        """Yield what its full lines take, and its last, with gaps."""
        width, height = self.size[0] + gap, self.size[1] + gap
        full, over = divmod(self.count, self.across)
        below = self.top + full * height
        if full:
            yield self.left, self.top, self.left + self.across * width, below
        if over:
            yield self.left, below, self.left + over * width, below + height


def _best_block(
    item: Item, count: int, free: Sequence[Free], gap: float, rule: Rule
) -> _Block | None:
    """Return the grid of the most stickers that a sheet still takes; even ones win ties."""
    best: tuple[tuple[float, ...], _Block] | None = None
    size = (item.width_mm, item.height_mm)
    for turned in (False, True) if item.may_turn else (False,):
        width, height = (side + gap for side in (size[::-1] if turned else size))
        for rect in free:
            left, top, right, bottom = rect
            across = int((right - left + SLACK_MM) / width)
            down = int((bottom - top + SLACK_MM) / height)
            taken = min(count, across * down)
            for lines in range(-(-taken // across), min(down, taken) + 1) if taken else ():
                wide = -(-taken // lines)
                rated = rule(rect, wide * width, lines * height)
                missing = wide * lines - taken if not item.across else abs(item.across - wide)
                score = (-taken, missing, turned, *(round(one, 6) for one in rated), top, left)
                if best is None or score < best[0]:
                    sides = size[::-1] if turned else size
                    best = (score, _Block(left, top, sides, taken, wide, turned))
    return best[1] if best else None


def _one_by_one(items: Sequence[Item], on: Ground, order: Order, rule: Rule) -> list[list[Spot]]:
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
    return sheets


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


def free_places(on: Ground, taken: Sequence[Rect]) -> list[Free]:
    """Return the largest free rectangles of a sheet with stickers on it.

    One is free for a sticker that, grown by the gap to the right and below, lies in it.
    """
    free = _blank(on)
    for box in taken:
        right, bottom = box.right_mm + on.gap_mm, box.bottom_mm + on.gap_mm
        free = _without(free, (box.x_mm, box.y_mm, right, bottom))
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
