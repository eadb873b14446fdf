"""What did the last change do to the stickers that it was not about?

In: the kit as it was shown before, and as it is shown now. Out: the stickers that lie elsewhere or
show another fill, by number, and a sentence on them. Stickers of rows that were added, and those
that came or went, are what a change is about; of those that came it is only said on which sheet,
where their row lies on several.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import chain

from kit.compose import places_in_rows
from kit.recipe import OwnPlace, Recipe, RowPart
from kit.shapes import Rect
from kitloom.kits import JudgedKit
from kitloom.present import plural

SAME_MM = 0.05  # moved by less, it looks unmoved


@dataclass(frozen=True, slots=True)
class GaveWay:
    """What a change moved or altered besides.

    Attributes:
        stickers: their numbers, and those of new ones whose row lies on several sheets.
        words: a sentence on them; empty where there are none.
    """

    stickers: frozenset[int] = frozenset()
    words: str = ""


def gave_way(earlier: JudgedKit | None, now: JudgedKit) -> GaveWay:
    """Return which stickers are not as they were in the kit that was shown before."""
    if earlier is None or earlier is now:
        return GaveWay()
    then = _stickers_then(earlier, now)
    was, places = _places(earlier), _places(now)
    moved, altered = [], list(now.kit.lost)
    for number, old in sorted(then.items()):
        by_hand = _own_place(earlier, old) != _own_place(now, number)
        if not by_hand and not _is_there(now, number, was[old], places):
            moved.append(number)
    said = [
        _sentence(now, moved, "are in another place now", "is in another place now"),
        _sentence(now, altered, "could not keep their fill", "could not keep its fill"),
    ]
    strays = _strays(earlier, now, places)
    said += [
        f"{plural(len(alike), f'new {kind}')} {'lies' if len(alike) == 1 else 'lie'} on sheet "
        f"{sheet}."
        for (sheet, kind), alike in strays.items()
    ]
    numbers = frozenset([*moved, *altered, *chain.from_iterable(strays.values())])
    return GaveWay(numbers, " ".join(filter(None, said)))


def _strays(
    earlier: JudgedKit, now: JudgedKit, places: Mapping[int, tuple[int, Rect]]
) -> dict[tuple[int, str], list[int]]:
    """Return the new stickers of rows that have more now, where a row lies on several sheets.

    By the sheet's number, from 1, and their kind. Which of copies that look alike is the new one,
    its place tells.
    """
    was, before = _places(earlier), _by_row(earlier)
    then = _rows_then(earlier.recipe, now.recipe)
    found: dict[tuple[int, str], list[int]] = {}
    for row, numbers in _by_row(now).items():
        old = before.get(then[row], []) if row in then and row >= 0 else []
        if not old or len(numbers) <= len(old) or len({places[one][0] for one in numbers}) < 2:
            continue
        gained = Counter(places[one][0] for one in numbers)
        gained.subtract(was[one][0] for one in old)
        for sheet, count in gained.items():
            fresh = [
                one
                for one in numbers
                if places[one][0] == sheet
                and not any(_same_place(was[other], places[one]) for other in old)
            ]
            if count > 0 and fresh:
                kind = now.kit.slots[fresh[0]].kind.name
                found.setdefault((sheet + 1, kind), []).extend(fresh[:count])
    return found


def _stickers_then(earlier: JudgedKit, now: JudgedKit) -> dict[int, int]:
    """Return for each sticker what number it had before; none for one that is new.

    In a row that has more or fewer now, those with the same fill and window are the same.
    """
    before, after, found = _by_row(earlier), _by_row(now), dict[int, int]()
    for row, old_row in _rows_then(earlier.recipe, now.recipe).items():
        old, new = before.get(old_row, []), after.get(row, [])
        if len(old) == len(new):
            found |= zip(new, old, strict=True)
            continue
        then, looks = [_look(earlier, i) for i in old], [_look(now, i) for i in new]
        for block in SequenceMatcher(None, then, looks, autojunk=False).get_matching_blocks():
            found |= {new[block.b + i]: old[block.a + i] for i in range(block.size)}
    return found


def _by_row(job: JudgedKit) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for number, (row, _) in enumerate(_keys(job)):
        found.setdefault(row, []).append(number)
    return found


def _look(job: JudgedKit, number: int) -> tuple[object, ...]:
    kit, windows = job.kit, job.kit.windows
    return kit.choices[number], windows.offsets_mm[number], windows.panel_offsets_mm[number]


def _keys(job: JudgedKit) -> list[tuple[int, int]]:
    """Return row and place of each sticker; those that top a sheet up are no row's of a recipe."""
    rows = len(job.recipe.rows)
    places = zip(job.kit.slots, places_in_rows(job.kit.slots), strict=True)
    return [(slot.row if slot.row < rows else rows - slot.row - 2, at) for slot, at in places]


def _rows_then(before: Recipe, after: Recipe) -> dict[int, int]:
    """Return for each row what number it had before; none for a row that is another now."""
    old, new = ([_sort(row) for row in recipe.rows] for recipe in (before, after))
    found: dict[int, int] = {}
    for block in SequenceMatcher(None, old, new, autojunk=False).get_matching_blocks():
        found |= {block.b + i: block.a + i for i in range(block.size)}
    left = [i for i in range(len(old)) if i not in found.values()]
    for number, sort in enumerate(new):  # a row that was moved past others
        match = next((i for i in left if old[i] == sort), None)
        if number not in found and match is not None:
            found[number] = match
            left.remove(match)
    fillers = min(len(before.sheet.top_up), len(after.sheet.top_up))
    return found | {-2 - i: -2 - i for i in range(fillers)}


def _sort(row: RowPart) -> str:
    """Return what a row is called by, whatever its count and fills."""
    return repr((row.sticker, row.size, row.text, row.month, row.made_of))


def _own_place(job: JudgedKit, number: int) -> OwnPlace | None:
    """Return where the maker put a sticker."""
    return job.kit.slots[number].at


def _places(job: JudgedKit) -> dict[int, tuple[int, Rect]]:
    laid = zip(job.kit.sheets, job.kit.layout.sheets, strict=True)
    return {
        spot.index: (number, placed.box)
        for number, (sheet, spots) in enumerate(laid)
        for placed, spot in zip(sheet.placements, spots, strict=True)
    }


def _is_there(
    job: JudgedKit, number: int, was: tuple[int, Rect], places: Mapping[int, tuple[int, Rect]]
) -> bool:
    """Tell whether a sticker lies where it was; a copy of it that came in its place is as good."""
    slots, look = job.kit.slots, _look(job, number)
    return _same_place(was, places[number]) or any(
        _same_place(was, place)
        for i, place in places.items()
        if slots[i].row == slots[number].row and _look(job, i) == look
    )


def _same_place(was: tuple[int, Rect], now: tuple[int, Rect]) -> bool:
    (old_sheet, old), (sheet, box) = was, now
    apart_mm = max(abs(old.x_mm - box.x_mm), abs(old.y_mm - box.y_mm))
    return old_sheet == sheet and apart_mm < SAME_MM


def _sentence(job: JudgedKit, numbers: Iterable[int], many: str, one: str) -> str:
    kinds = Counter(job.kit.slots[number].kind.name for number in numbers)
    if not kinds:
        return ""
    words = [plural(count, kind) for kind, count in kinds.items()]
    listed = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
    if 2 * kinds.total() > len(job.kit.slots):  # a list of everything says nothing
        listed = f"{kinds.total()} of {len(job.kit.slots)} stickers"
    return f"{listed} {one if kinds.total() == 1 else many}."
