"""Edits of step 6: one sticker's fill, and where in its pattern it lies."""

from __future__ import annotations

from kit.recipe import RowPart
from kitloom.page.edits.editing import Edit, row_of
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt


def set_fill(bench: Bench, form: Form) -> Edit:
    """Fill one sticker; the others of its row stay as they are shown."""
    index, row, place = _sticker(bench, form)
    wish = form.colour("colour") if form.text("fill") == "colour" else form.text("fill")
    shown = _shown_fills(bench, index, row)
    shown[place] = wish
    label = f"{row.sticker} {place + 1} in {wish}"
    return Edit(label, lambda text: rt.with_fill(text, index, shown))


def pin_offset(bench: Bench, form: Form) -> Edit:
    """Set where in its pattern one sticker lies, or leave it to kitloom again."""
    index, row, place = _sticker(bench, form)
    how = form.text("how")
    if how in {"auto", "centred"}:
        offset = how
    else:
        offset = rt.pair(form.length_mm("across", -999, 999), form.length_mm("down", -999, 999))
    label = {"auto": f"freed {row.sticker} {place + 1}", "centred": f"centred {row.sticker}"}.get(
        how, f"moved the fill of {row.sticker} {place + 1}"
    )
    return Edit(label, lambda text: rt.with_pin(text, index, place, row, offset))


def _sticker(bench: Bench, form: Form) -> tuple[int, RowPart, int]:
    """Return the row, and the place in it, of a sticker."""
    index, row = row_of(bench, form)
    place = form.whole("place")
    if place >= row.count:
        raise PageError("that sticker is gone", where="sheet", remedy="Choose another sticker.")
    return index, row, place


def _shown_fills(bench: Bench, index: int, row: RowPart) -> list[str]:
    """Return what each sticker of a row is filled with on the sheet as it is shown."""
    drawing = bench.drawing
    if drawing.job is None or drawing.fault is not None or drawing.revision != bench.revision:
        wishes = (row.fill,) if isinstance(row.fill, str) else row.fill
        return [wishes[i % len(wishes)] for i in range(row.count)]
    kit = drawing.job.kit
    pairs = zip(kit.slots, kit.choices, strict=True)
    return [choice.fill for slot, choice in pairs if slot.row == index][: row.count]
