"""Edits of step 6: one sticker's fill, and where in its pattern it lies."""

from __future__ import annotations

from kitloom.page.edits.editing import Edit, sticker_of
from kitloom.page.edits.forms import Form
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt


def set_fill(bench: Bench, form: Form) -> Edit:
    """Fill one sticker; the others stay as they are shown."""
    index, row, place = sticker_of(bench, form)
    wish = form.colour("colour") if form.text("fill") == "colour" else form.text("fill")
    wishes = [row.wish_of(i) for i in range(row.count)]
    wishes[place] = wish
    dealt = dict.fromkeys(("fill", "offset")) if row.wish_of(place) != wish else {}

    def change(text: str) -> str:
        text = rt.with_held_entry(text, index, place, dealt)
        return rt.with_fill(text, index, wishes)

    return Edit(f"{row.sticker} {place + 1} in {wish}", change)


def pin_offset(bench: Bench, form: Form) -> Edit:
    """Set where in its pattern one sticker lies, or leave it to kitloom again."""
    index, row, place = sticker_of(bench, form)
    how = form.text("how")
    if how in {"auto", "centred"}:
        offset = how
    else:
        offset = rt.pair(form.length_mm("across", -999, 999), form.length_mm("down", -999, 999))
    label = {
        "auto": f"no longer fixed: {row.sticker} {place + 1}",
        "centred": f"centred {row.sticker}",
    }.get(how, f"moved the fill of {row.sticker} {place + 1}")

    def change(text: str) -> str:
        text = rt.with_held_entry(text, index, place, {"offset": None})
        return rt.with_pin(text, index, place, row, offset)

    return Edit(label, change)
