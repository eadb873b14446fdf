"""Edits of step 5: which rows of stickers there are, and what a row holds."""

from __future__ import annotations

from kit.kinds import KINDS
from kit.recipe import Recipe
from kitloom.page.edits.editing import Edit, recipe_of, row_of
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt

MOST_IN_A_ROW = 500  # that the page adds by a number


def add_row(bench: Bench, form: Form) -> Edit:
    """Add a row of stickers."""
    recipe = recipe_of(bench)
    kind = form.text("sticker")
    if kind not in KINDS:
        raise PageError(f'there is no kind "{kind}"', where="sticker", remedy="Choose another.")
    count = count_across(recipe, kind)
    fill = "palette" if KINDS[kind].panel or KINDS[kind].checks else "patterns"
    row = {"sticker": kind, "count": count, "fill": fill}
    return Edit(f"added {count} {kind}", lambda text: rt.with_row(text, row))


def count_across(recipe: Recipe, kind: str) -> int:
    """Return how many stickers of a kind fill the sheet's width, up to 40."""
    width_mm = KINDS[kind].size_mm(recipe.planner.box)[0]
    margin = recipe.sheet.margin
    room = recipe.sheet.paper.width_mm - margin.left - margin.right + recipe.sheet.gap
    return min(40, max(1, int(room // (width_mm + recipe.sheet.gap))))


def remove_row(bench: Bench, form: Form) -> Edit:
    """Take a row of stickers out."""
    index, row = row_of(bench, form)
    return Edit(f"removed {row.count} {row.sticker}", lambda text: rt.without_row(text, index))


def move_row(bench: Bench, form: Form) -> Edit:
    """Move a row of stickers up or down."""
    index, row = row_of(bench, form)
    step = -1 if form.text("to") == "up" else 1
    label = f"moved {row.sticker} {'up' if step < 0 else 'down'}"
    return Edit(label, lambda text: rt.with_row_moved(text, index, step))


def set_row(bench: Bench, form: Form) -> Edit:
    """Set what a row holds: its kind, count, fill and panel, as far as they changed."""
    index, row = row_of(bench, form)
    changes: dict[str, object] = {}
    kind, count = (
        form.text("sticker"),
        form.whole("count", 1, MOST_IN_A_ROW, field=f"count-{index}"),
    )
    if kind != row.sticker:
        changes |= {"sticker": kind, "panel": None, "size": None}
    if count != row.count:
        changes["count"] = count
    fill, panel = form.text("fill"), form.text("panel")
    if fill not in {"as it is", row.fill}:
        changes["fill"] = fill
    if "fill" in changes or "sticker" in changes:  # other stickers, which were dealt nothing yet
        changes["held"] = None
    usual = KINDS[row.sticker].panel or "none"
    if kind == row.sticker and panel and panel != (row.panel or usual):
        changes["panel"] = None if panel == usual else panel

    def change(text: str) -> str:
        for key, value in changes.items():
            text = rt.with_row_value(text, index, key, value)
        return text

    return Edit(f"{count} {kind}", change)


def set_border(bench: Bench, form: Form) -> Edit:
    """Set the border round the panels of all stickers of a kind."""
    recipe, kind = recipe_of(bench), form.text("kind")
    border = form.length("border", 0.1, 100)
    rows = [i for i, row in enumerate(recipe.rows) if row.sticker == kind]

    def change(text: str) -> str:
        for index in rows:
            text = rt.with_row_value(text, index, "border", border)
        return text

    return Edit(f"border of each {kind} {border}", change)
