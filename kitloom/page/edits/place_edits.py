"""Edits of where stickers lie on the sheet: put somewhere by hand, or left to kitloom again.

A place that another sticker has, or that cannot be printed and cut, is refused: what lies on the
sheet stays where it is. Stickers that only fill a sheet up make room.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from kit.compose import places_in_rows
from kit.layout import misplaced, own_box, sticker_area, too_near, usable_area
from kit.recipe import OwnPlace, Recipe
from kit.stickers import Slot, slots_of
from kitloom.kits import JudgedKit
from kitloom.page.edits.editing import LONGEST, Edit, named, recipe_of, stickers_of
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt

_NUMBER = r"-?\d{1,4}(?:\.\d{1,4})?"
_TO = re.compile(rf"({_NUMBER}) ({_NUMBER}) (\d{{1,3}}) ([01])")

Wanted = Mapping[tuple[int, int], OwnPlace | None]  # by row and place in it; None: left to kitloom


def place_stickers(bench: Bench, form: Form) -> Edit:
    """Put stickers somewhere on a sheet, or let kitloom place them again."""
    chosen, rows = stickers_of(bench, form), recipe_of(bench).rows
    back = form.text("how") == "auto"
    follow = {} if back else _as_numbered(bench)
    keys = [(index, place) for index, places in chosen.items() for place in places]
    wanted: Wanted = dict.fromkeys(keys) if back else _wanted(form, keys)

    def change(text: str) -> str:
        for index in sorted({row for row, _ in {**follow, **wanted}}):
            own = {place: at for (row, place), at in {**follow, **wanted}.items() if row == index}
            text = rt.with_places(text, index, own, rows[index])
        return text

    if not back:
        _check(bench, bench.parse(bench.tidied(change(bench.workspace.text()))), wanted)
    said = named(bench, chosen)
    return Edit(f"let kitloom place {said}" if back else f"moved {said}", change)


def _as_numbered(bench: Bench) -> Wanted:
    """Return places on sheets that moved up, with the numbers that these are shown with.

    Else one that is put beside such a sticker would come to another sheet.
    """
    job = bench.shown_kit()
    if job is None:
        return {}
    slots, places = job.kit.slots, places_in_rows(job.kit.slots)
    return {
        (slots[spot.index].row, places[spot.index]): replace(at, sheet=number)
        for number, spots in enumerate(job.kit.layout.sheets, start=1)
        for spot in spots
        if (at := slots[spot.index].at) is not None and at.sheet != number
    }


def _wanted(form: Form, keys: list[tuple[int, int]]) -> Wanted:
    """Return the places that a form asks for: of one in fields, of several in their order."""
    if not form.has("to"):
        sheet = form.whole("sheet", 1, 999) if form.has("sheet") else 1
        left, top = (form.length_mm(key) for key in ("left", "top"))
        at = OwnPlace(left, top, sheet, form.text("side") == "1")
        return dict.fromkeys(keys, at)
    names = form.text("stickers", longest=LONGEST).split()
    places = [_TO.fullmatch(one) for one in form.text("to", longest=LONGEST).split(";")]
    found = {
        (int(row), int(place)): OwnPlace(float(to[1]), float(to[2]), int(to[3]), to[4] == "1")
        for (row, place), to in zip((one.split(".") for one in names), places, strict=False)
        if to is not None
    }
    if set(found) != set(keys):
        raise PageError(
            "that is no place for each of these stickers", where="sheet", remedy="Move them again."
        )
    return found


def _check(bench: Bench, recipe: Recipe, wanted: Wanted) -> None:
    """Refuse places that cannot be, or that another sticker has.

    Raises:
        PageError: what is in the way.
    """
    job = bench.shown_kit()
    slots = _with_places(recipe, job.kit.slots) if job else slots_of(recipe)
    area = sticker_area(usable_area(recipe.sheet), recipe)
    keys = zip((slot.row for slot in slots), places_in_rows(slots), strict=True)
    moved = {number for number, key in enumerate(keys) if key in wanted}
    for number, why in misplaced(recipe, slots, area, last=moved):
        if number in moved:
            raise _refused(why)
    if job is not None:
        _check_others(job, recipe, slots, wanted)


def _check_others(job: JudgedKit, recipe: Recipe, slots: tuple[Slot, ...], wanted: Wanted) -> None:
    """Refuse places where stickers lie that nobody placed."""
    keys = [(s.row, p) for s, p in zip(slots, places_in_rows(slots), strict=True)]
    for number, spots in enumerate(job.kit.layout.sheets, start=1):
        for spot in spots:
            slot, (row, place) = slots[spot.index], keys[spot.index]
            if row >= len(recipe.rows) or (row, place) in wanted:
                continue
            for (other_row, other), at in wanted.items():
                if at is None or at.sheet != number:
                    continue
                box = own_box(slots[keys.index((other_row, other))], at)
                if too_near(box, spot.box, recipe.sheet.gap):
                    there = "lies there" if box.overlaps(spot.box) else "is nearer than the gap"
                    raise _refused(f"{slot.kind.name} {place + 1} {there}")


def _with_places(recipe: Recipe, slots: tuple[Slot, ...]) -> tuple[Slot, ...]:
    """Return a kit's stickers with the places that the recipe gives them now."""
    return tuple(
        replace(slot, at=recipe.rows[slot.row].at_of(place))
        if slot.row < len(recipe.rows)
        else slot
        for slot, place in zip(slots, places_in_rows(slots), strict=True)
    )


def _refused(why: str) -> PageError:
    return PageError(
        f"not moved: {why}", where="Place on the sheet", remedy="Choose a free place.", field="left"
    )
