"""Edits of step 6: the fill and the words of stickers, and where in its pattern one lies."""

from __future__ import annotations

from kitloom.page.edits.editing import Edit, named, recipe_of, sticker_of, stickers_of
from kitloom.page.edits.forms import Form
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt

MOST_LETTERS = 80  # as a recipe allows for one sticker


def set_fill(bench: Bench, form: Form) -> Edit:
    """Fill one sticker, or several; the others stay as they are shown."""
    chosen, rows = stickers_of(bench, form), recipe_of(bench).rows
    wish = form.colour("colour") if form.text("fill") == "colour" else form.text("fill")

    def change(text: str) -> str:
        for index, places in chosen.items():
            row = rows[index]
            wishes = [row.wish_of(i) for i in range(row.count)]
            for place in places:
                if wishes[place] != wish:
                    dealt = dict.fromkeys(("fill", "offset"))
                    text = rt.with_held_entry(text, index, place, dealt)
                wishes[place] = wish
            text = rt.with_fill(text, index, wishes)
        return text

    return Edit(f"{named(bench, chosen)} in {wish}", change)


def set_words(bench: Bench, form: Form) -> Edit:
    """Write other words on one sticker; the others of its row keep theirs."""
    index, row, place = sticker_of(bench, form)
    words = form.words("words", "Words", MOST_LETTERS)
    label = f'"{words}" on {row.sticker} {place + 1}' if words else f"no words on {row.sticker}"
    return Edit(label, lambda text: rt.with_words(text, index, place, row, words))


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
