"""Dealing out again: all stickers, those of a row, or one get other fills; the rest stays.

What was dealt is in the recipe as what its stickers keep, their windows left open. Fills and
places that the maker chose by hand are no deal, and stay.
"""

from __future__ import annotations

from kit.compose import deal_anew, holding_of, places_in_rows
from kitloom.page.edits.editing import Edit, drawn_kit, named, recipe_of, row_of, stickers_of
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.state import recipe_text as rt


def set_dealt(bench: Bench, form: Form) -> Edit:
    """Deal out again: the stickers that the form names, or its row, or all."""
    recipe, made = recipe_of(bench), drawn_kit(bench)
    places = list(enumerate(zip(made.kit.slots, places_in_rows(made.kit.slots), strict=True)))
    if form.has("place") or form.has("stickers"):
        chosen = stickers_of(bench, form)
        which = {i for i, (slot, at) in places if at in chosen.get(slot.row, ())}
        label = f"new fills for {named(bench, chosen)}"
    elif form.has("row"):
        index, row = row_of(bench, form)
        which = {i for i, (slot, _) in places if slot.row == index}
        label = f"new fills for the {row.count} {row.sticker}"
    else:
        which, label = {i for i, _ in places}, "new fills for all stickers"
    bins = {one.name: one.study.bins for one in made.patterns}
    fills = {name: one.weight @ one.lab for name, one in bins.items()}
    choices = deal_anew(recipe, made.kit, fills, made.verdict.palette, which)
    windows = made.kit.windows
    offsets = [None if i in which else one for i, one in enumerate(windows.offsets_mm)]
    panels = [None if i in which else one for i, one in enumerate(windows.panel_offsets_mm)]
    holding = holding_of(recipe, made.kit.slots, choices, offsets, panels)
    if choices == made.kit.choices and not any(windows.offsets_mm[i] for i in which):
        raise PageError(
            "no other fill can be chosen here",
            where="the sheet",
            why="its fills are chosen by hand, or there is only one",
            remedy="Choose another fill.",
        )
    return Edit(label, lambda text: rt.with_held(text, holding))
