"""Stickers that a maker put on a sheet by hand: may they lie there, and where do the others go?

In: a recipe's slots, some with a place of their own, and a layout of all of them as if none had
one. Out: the layout with these in their places. Every other sticker stays where it lay, so that
moving one moves no other; one that would be in the way of a placed one goes to the free place of
its sheet that is nearest, else to another sheet that has room, else to a sheet of its own. Stickers
that only fill a sheet up make room for all others, and are left out where there is none for them.
A sheet that would be left without stickers is none: those after it move up, and with them what was
put there, so that a smaller gap or larger paper never leaves a kit that cannot be drawn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from kit.layout.ground import Ground, Item, Layout, Spot
from kit.layout.packing import Free, free_places
from kit.layout.place import mark_keep_outs
from kit.recipe import OwnPlace, Recipe, place_in
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from kit.stickers import Slot

ROUNDED_MM = 0.02  # places are written in hundredths of a millimetre

Lay = Callable[[Sequence[Item]], Layout]


def own_box(slot: Slot | Item, at: OwnPlace) -> Rect:
    """Return the box of a sticker's cut where the maker put it."""
    sides = (slot.width_mm, slot.height_mm)
    return Rect(at.x_mm, at.y_mm, *(sides[::-1] if at.on_its_side else sides))


def too_near(one: Rect, other: Rect, gap_mm: float) -> bool:
    """Tell whether two stickers have less than the gap between them, along x and along y."""
    return one.grow(gap_mm / 2.0).overlaps(other.grow(gap_mm / 2.0), slack_mm=ROUNDED_MM)


def check_places(recipe: Recipe, slots: Sequence[Slot], area: Rect) -> None:
    """Refuse places that no sticker can have.

    Args:
        recipe: what is asked for.
        slots: its stickers.
        area: where stickers may lie.

    Raises:
        RecipeError: the first of ``misplaced``.
    """
    names = list(_names(slots))
    for number, why in misplaced(recipe, slots, area):
        slot = slots[number]
        assert slot.at is not None
        raise _misplaced(recipe, slot, names[number], f"cannot lie at {_words(slot.at)}", why)


def misplaced(
    recipe: Recipe, slots: Sequence[Slot], area: Rect, last: Collection[int] = ()
) -> Iterator[tuple[int, str]]:
    """Yield the numbers of stickers that cannot lie where the maker put them, and why.

    One is past the area or on a mark's quiet zone, nearer than the gap to one that was placed
    before it, or on its side and never laid so. Arguments are as of ``check_places``; ``last`` are
    those that were placed after all others, most often because they are being moved.
    """
    gap_mm, keep_outs = recipe.sheet.gap, mark_keep_outs(recipe)
    before: list[tuple[str, int, Rect]] = []
    names = list(_names(slots))
    for number in sorted(range(len(slots)), key=lambda number: number in last):
        slot, name = slots[number], names[number]
        if slot.at is None:
            continue
        box, at = own_box(slot, slot.at), slot.at
        why = ""
        if at.on_its_side and slot.upright:
            why = "it is never laid on its side"
        elif not area.holds(box, slack_mm=ROUNDED_MM):
            why = (
                f"it takes {box.x_mm:g} to {box.right_mm:.6g} mm across and {box.y_mm:g} to "
                f"{box.bottom_mm:.6g} mm down; stickers may lie from {area.x_mm:.5g} to "
                f"{area.right_mm:.5g} and {area.y_mm:.5g} to {area.bottom_mm:.5g} mm"
            )
        elif any(box.overlaps(zone, slack_mm=ROUNDED_MM) for zone in keep_outs):
            why = "a mark for the machine is there, and nothing may lie so near to one"
        else:
            near = (
                f"{other} is {'there too' if box.overlaps(taken) else 'nearer than the gap'}"
                for other, sheet, taken in before
                if sheet == at.sheet and too_near(box, taken, gap_mm)
            )
            why = next(near, "")
        if why:
            yield number, why
        else:
            before.append((name, at.sheet, box))


def _misplaced(recipe: Recipe, slot: Slot, name: str, what: str, why: str) -> RecipeError:
    return RecipeError(
        f"rows.{slot.row + 1}.at: {name} {what}",
        where=place_in(recipe, "rows", slot.row, "at"),
        why=why,
        remedy='Write another place, or "auto" to have kitloom find one.',
    )


def _names(slots: Sequence[Slot]) -> Iterable[str]:
    """Yield what each sticker is called: its kind, and its place in its row."""
    seen: Counter[int] = Counter()
    for slot in slots:
        seen[slot.row] += 1
        yield f"{slot.kind.name} {seen[slot.row]}"


def _words(at: OwnPlace) -> str:
    side = " on its side" if at.on_its_side else ""
    return f'"{at.x_mm:g}mm x {at.y_mm:g}mm"{side}'


@dataclass
class _Sheets:
    """Sheets that stickers come to and leave, with what is free on each."""

    on: Ground
    spots: list[list[Spot]]
    fillers: frozenset[int]

    def is_filler(self, index: int) -> bool:
        return index in self.fillers

    def nearest(self, spot: Spot, home: int, *, over: bool) -> tuple[int, Spot] | None:
        """Return the nearest free place for a sticker, on its own sheet or on the first with room.

        ``over`` takes what fillers lie on for free.
        """
        numbers = sorted(range(len(self.spots)), key=lambda n: (n != home, n))
        for number in numbers:
            boxes = [s.box for s in self.spots[number] if not (over and self.is_filler(s.index))]
            box = _nearest(spot.box, free_places(self.on, boxes), self.on.gap_mm)
            if box is not None:
                return number, replace(spot, box=box)
        return None

    def without_fillers_at(self, number: int, box: Rect) -> list[Spot]:
        """Take the fillers that are in a sticker's way off a sheet, and return them."""
        gone = [
            spot
            for spot in self.spots[number]
            if self.is_filler(spot.index) and too_near(spot.box, box, self.on.gap_mm)
        ]
        self.spots[number] = [spot for spot in self.spots[number] if spot not in gone]
        return gone


def around_placed(
    items: Sequence[Item],
    layout: Layout,
    own: Mapping[int, OwnPlace],
    on: Ground,
    lay: Lay,
    *,
    own_stickers: int,
) -> tuple[list[list[Spot]], tuple[int, ...]]:
    """Return sheets with some stickers where the maker put them, and which others made room.

    Args:
        items: all stickers.
        layout: where they lie if none has a place of its own.
        own: the places that are given, by the sticker's number.
        on: where stickers may lie.
        lay: lays stickers that have no place on these sheets on others.
        own_stickers: how many are the recipe's; those after them only fill sheets up.
    """
    count = max(len(layout.sheets), *(at.sheet for at in own.values()))
    placed: list[dict[int, Spot]] = [{} for _ in range(count)]
    for index, at in own.items():
        placed[at.sheet - 1][index] = Spot(index, own_box(items[index], at), at.on_its_side)
    sheets = _Sheets(on, [[] for _ in range(count)], frozenset(range(own_stickers, len(items))))
    in_the_way: list[tuple[int, Spot]] = []
    for number, spots in enumerate(layout.sheets):
        here = placed[number]
        for spot in spots:
            if spot.index in here:  # it keeps its turn, in which the stickers of a sheet are cut
                sheets.spots[number].append(here[spot.index])
            elif spot.index not in own:
                is_hit = any(too_near(spot.box, one.box, on.gap_mm) for one in here.values())
                if is_hit:
                    in_the_way.append((number, spot))
                else:
                    sheets.spots[number].append(spot)
    for on_sheet, here in zip(sheets.spots, placed, strict=True):
        there = {spot.index for spot in on_sheet}
        on_sheet += [spot for index, spot in here.items() if index not in there]
    gave_way = {spot.index for _, spot in in_the_way if not sheets.is_filler(spot.index)}
    without = _moved_aside(sheets, in_the_way)
    more = _laid_alone(items, without, lay) if without else []
    return _joined([*sheets.spots, *more], own_stickers), tuple(sorted(gave_way))


def _moved_aside(sheets: _Sheets, moved: Sequence[tuple[int, Spot]]) -> list[int]:
    """Give stickers that are in the way another place, the largest first; return those left over.

    Fillers come last, and are taken off the sheets where they have no place.
    """

    def size(one: tuple[int, Spot]) -> tuple[float, ...]:
        box = one[1].box
        return -box.height_mm, -box.width_mm, one[1].index

    without: list[int] = []
    fillers = [one for one in moved if sheets.is_filler(one[1].index)]
    for home, spot in sorted((one for one in moved if one not in fillers), key=size):
        found = sheets.nearest(spot, home, over=False) or sheets.nearest(spot, home, over=True)
        if found is None:
            without.append(spot.index)
            continue
        number, placed = found
        gone = sheets.without_fillers_at(number, placed.box)
        fillers += [(number, one) for one in gone]
        sheets.spots[number].append(placed)
    for home, spot in sorted(fillers, key=size):
        found = sheets.nearest(spot, home, over=False)
        if found is not None:
            sheets.spots[found[0]].append(found[1])
    return without


def _nearest(box: Rect, free: Sequence[Free], gap_mm: float) -> Rect | None:
    """Return the box moved as little as possible into one of the free rectangles, or None."""
    best: tuple[float, float, float] | None = None
    for left, top, right, bottom in free:
        last_x, last_y = right - gap_mm - box.width_mm, bottom - gap_mm - box.height_mm
        if last_x < left - ROUNDED_MM / 2.0 or last_y < top - ROUNDED_MM / 2.0:
            continue
        x, y = min(max(box.x_mm, left), last_x), min(max(box.y_mm, top), last_y)
        away = round((x - box.x_mm) ** 2 + (y - box.y_mm) ** 2, 6)
        best = min(best or (away, y, x), (away, y, x))
    return None if best is None else Rect(best[2], best[1], box.width_mm, box.height_mm)


def _laid_alone(items: Sequence[Item], indices: Sequence[int], lay: Lay) -> list[list[Spot]]:
    """Return the sheets of stickers that have no place on those there are."""
    numbers = sorted(indices)
    laid = lay([items[i] for i in numbers])
    return [[replace(spot, index=numbers[spot.index]) for spot in spots] for spots in laid.sheets]


def _joined(sheets: Sequence[Sequence[Spot]], own_stickers: int) -> list[list[Spot]]:
    """Return the sheets without those that nothing or only fillers are on; later ones move up."""
    return [list(spots) for spots in sheets if any(spot.index < own_stickers for spot in spots)]
