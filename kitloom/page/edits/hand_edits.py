"""Edits by hand on the sheet: a sticker taken out, doubled or swapped; its artwork sized, turned.

Each is one change of the recipe's rows. What a row says sticker by sticker moves with its sticker.
"""

from __future__ import annotations

import math

from kit.compose import Kit, places_in_rows
from kit.recipe import RowPart
from kitloom.page.edits.editing import Edit, recipe_of, row_of
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt

MOST_STICKERS = 500
PERCENT = 100.0


def remove_sticker(bench: Bench, form: Form) -> Edit:
    """Take one sticker out; the last of a row takes the row with it."""
    index, row, place = _counted(bench, form)
    label = f"took out {row.sticker} {place + 1}"
    if row.count == 1:
        return Edit(label, lambda text: rt.without_row(text, index))
    return Edit(label, lambda text: rt.without_sticker(text, index, place, row))


def double_sticker(bench: Bench, form: Form) -> Edit:
    """Set another one beside a sticker, with the same fill."""
    index, row, place = _counted(bench, form)
    if row.count >= MOST_STICKERS:
        raise PageError(
            f"this row has {row.count} stickers, and no more go into one",
            where="sheet",
            remedy="Add another row.",
        )
    fill = _fill(bench, index, row, place)
    label = f"doubled {row.sticker} {place + 1}"
    return Edit(label, lambda text: rt.with_doubled(text, index, place, row, fill))


def swap_stickers(bench: Bench, form: Form) -> Edit:
    """Have two stickers of the same size change fill and window with each other."""
    index, row, place = _sticker(bench, form)
    kit = _kit(bench)
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
    index, row, place = _sticker(bench, form)
    scale = round(form.number("percent", 10.0, 1000.0) / PERCENT, 4)
    turn = form.number("turn", -360.0, 360.0) if form.has("turn") else row.turn_of(place)
    pin = row.pin_of(place)
    kit = bench.drawing.job.kit if bench.drawing.job is not None and _is_drawn(bench) else None
    if pin is None and kit is not None:
        pin = kit.windows.offsets_mm[_number(kit, index, place)]
    if isinstance(pin, tuple) and kit is not None:
        slot = kit.slots[_number(kit, index, place)]
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


def _sticker(bench: Bench, form: Form) -> tuple[int, RowPart, int]:
    index, row = row_of(bench, form)
    place = form.whole("place")
    if place >= row.count:
        raise PageError("that sticker is gone", where="sheet", remedy="Choose another sticker.")
    return index, row, place


def _counted(bench: Bench, form: Form) -> tuple[int, RowPart, int]:
    """Return a sticker of a row whose number of stickers is free."""
    index, row, place = _sticker(bench, form)
    if row.has_dates:
        raise PageError(
            "a month's dates go together",
            where="sheet",
            remedy="Change the row's dates or its month.",
        )
    return index, row, place


def _is_drawn(bench: Bench) -> bool:
    drawing = bench.drawing
    return drawing.fault is None and drawing.revision == bench.revision


def _kit(bench: Bench) -> Kit:
    if bench.drawing.job is None or not _is_drawn(bench):
        raise PageError(
            "is not drawn as it stands now", where="the sheet", remedy="Wait a moment, then again."
        )
    return bench.drawing.job.kit


def _number(kit: Kit, row: int, place: int) -> int:
    places = places_in_rows(kit.slots)
    return next(i for i, slot in enumerate(kit.slots) if (slot.row, places[i]) == (row, place))


def _fill(bench: Bench, index: int, row: RowPart, place: int) -> str:
    """Return what a sticker is filled with as it is shown, or else what the recipe wants."""
    if bench.drawing.job is not None and _is_drawn(bench):
        kit = bench.drawing.job.kit
        return kit.choices[_number(kit, index, place)].fill
    return row.fill if isinstance(row.fill, str) else row.fill[place % len(row.fill)]


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
