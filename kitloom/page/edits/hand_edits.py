"""Edits by hand on the sheet: stickers taken out, doubled or swapped; their artwork sized, turned.

Each is one change of the recipe's rows. What a row says sticker by sticker moves with its sticker.
"""

from __future__ import annotations

import math

from kit.compose import Kit, places_in_rows
from kit.recipe import RowPart
from kit.stickers import slots_of
from kitloom.page.edits.editing import Edit, drawn_kit, named, recipe_of, sticker_of, stickers_of
from kitloom.page.edits.forms import Form
from kitloom.page.edits.in_place import others_in_place
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt

MOST_STICKERS = 500
PERCENT = 100.0


def remove_stickers(bench: Bench, form: Form) -> Edit:
    """Take stickers out; the last of a row takes the row with it. The others stay in place."""
    chosen, rows = _counted(bench, form), recipe_of(bench).rows

    def change(text: str) -> str:
        for index, places in reversed(chosen.items()):  # rows before one keep their numbers
            if len(places) == rows[index].count:
                text = rt.without_row(text, index)
            else:
                text = rt.without_stickers(text, index, places, rows[index])
        return text

    held = others_in_place(bench, chosen, change, doubles=False)
    return Edit(f"removed {named(bench, chosen)}", held)


def double_stickers(bench: Bench, form: Form) -> Edit:
    """Set another one near each sticker, with the same fill. The others stay in place."""
    chosen, rows = _counted(bench, form), recipe_of(bench).rows
    fills: dict[int, dict[int, str]] = {}
    for index, places in chosen.items():
        if rows[index].count + len(places) > MOST_STICKERS:
            raise PageError(
                f"this row has {rows[index].count} stickers, and at most {MOST_STICKERS} go in one",
                where="sheet",
                remedy="Add another row.",
            )
        fills[index] = {place: _fill(bench, index, rows[index], place) for place in places}

    def change(text: str) -> str:
        for index, new in fills.items():
            text = rt.with_doubled(text, index, new, rows[index])
        return text

    held = others_in_place(bench, chosen, change, doubles=True)
    return Edit(f"doubled {named(bench, chosen)}", held)


def swap_stickers(bench: Bench, form: Form) -> Edit:
    """Have two stickers of the same size change fill and window with each other."""
    index, row, place = sticker_of(bench, form)
    kit = drawn_kit(bench).kit
    number, other = form.whole("with"), _number(kit, index, place)
    if number >= len(kit.slots) or not alike(kit, other, number):
        raise PageError(
            "these two stickers are not of one kind and size",
            where="sheet",
            remedy="Choose another one to swap with.",
        )
    there = kit.slots[number].row
    at = places_in_rows(kit.slots)[number]
    rows = recipe_of(bench).rows
    one, two = _look(kit, other), _look(kit, number)

    def change(text: str) -> str:
        text = rt.with_look(text, index, place, row, two)
        now = bench.parse(bench.tidied(text)).rows[there] if there == index else rows[there]
        return rt.with_look(text, there, at, now, one)

    return Edit(f"swapped {row.sticker} {place + 1} with {at + 1}", change)


def set_artwork(bench: Bench, form: Form) -> Edit:
    """Set how large one sticker's artwork is and how far it is turned, about its middle."""
    index, row, place = sticker_of(bench, form)
    scale = round(form.number("percent", 10.0, 1000.0) / PERCENT, 4)
    turn = form.number("turn", -360.0, 360.0) if form.has("turn") else row.turn_of(place)
    pin = row.pin_of(place)
    shown = bench.shown_kit()
    if pin is None and shown is not None:
        pin = shown.kit.windows.offsets_mm[_number(shown.kit, index, place)]
    if isinstance(pin, tuple):
        slots = slots_of(recipe_of(bench))
        slot = [one for one in slots if one.row == index][place]
        half = slot.width_mm / 2.0, slot.height_mm / 2.0
        angle = math.radians(turn - row.turn_of(place))
        times = scale / row.scale_of(place)
        x, y = (pin[i] + half[i] for i in (0, 1))
        cos, sin = math.cos(angle) * times, math.sin(angle) * times
        pin = x * cos - y * sin - half[0], x * sin + y * cos - half[1]
    look = {"offset": pin, "turn": turn, "scale": scale}
    label = f"{row.sticker} {place + 1} at {scale * PERCENT:g}%"
    if turn != row.turn_of(place):
        label = f"turned {row.sticker} {place + 1} to {turn:g}°"
    return Edit(label, lambda text: rt.with_look(text, index, place, row, look))


def alike(kit: Kit, one: int, other: int) -> bool:
    """Tell whether two stickers, by number, are of one kind and size, and so may be swapped."""
    a, b = kit.slots[one], kit.slots[other]
    sizes = (a.width_mm, a.height_mm), (b.width_mm, b.height_mm)
    return one != other and a.kind.name == b.kind.name and sizes[0] == sizes[1]


def _counted(bench: Bench, form: Form) -> dict[int, list[int]]:
    """Return the stickers that are meant, all of rows whose number of stickers is free."""
    chosen, rows = stickers_of(bench, form), recipe_of(bench).rows
    if any(rows[index].has_dates for index in chosen):
        raise PageError(
            "a month's dates go together",
            where="sheet",
            remedy="Change the row's dates or its month.",
        )
    return chosen


def _number(kit: Kit, row: int, place: int) -> int:
    places = places_in_rows(kit.slots)
    return next(i for i, slot in enumerate(kit.slots) if (slot.row, places[i]) == (row, place))


def _fill(bench: Bench, index: int, row: RowPart, place: int) -> str:
    """Return what a sticker is filled with as it is shown, or else what the recipe names."""
    shown = bench.shown_kit()
    if shown is not None:
        return shown.kit.choices[_number(shown.kit, index, place)].fill
    return row.wish_of(place)


def _look(kit: Kit, number: int) -> rt.Look:
    """Return a sticker's fill, and where, how large and how turned it shows it."""
    slot, choice = kit.slots[number], kit.choices[number]
    if choice.pattern is None and choice.panel_pattern is None:
        return {"fill": choice.fill, "offset": None, "turn": 0.0, "scale": 1.0}
    return {
        "fill": choice.fill,
        "offset": kit.windows.offsets_mm[number],
        "turn": slot.angle_deg,
        "scale": slot.scale,
    }
