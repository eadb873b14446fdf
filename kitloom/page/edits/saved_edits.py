"""A planner, a paper, a printer and cutter of one's own: saved by name, and taken for this kit."""

from __future__ import annotations

from kitloom.page.edits.editing import Edit
from kitloom.page.edits.forms import Form
from kitloom.page.page_error import PageError
from kitloom.page.state import SORTS, Bench, save_piece, with_saved
from kitloom.page.state.recipe_text import without_windows


def take_saved(bench: Bench, form: Form) -> Edit:
    """Take a saved planner, paper or machine for this kit."""
    del bench
    sort, name = _sort(form), form.text("name")
    if not name:  # the choice that only says what the others are
        return Edit("nothing", lambda text: text)

    def change(text: str) -> str:
        after = with_saved(sort, name, text)
        # stickers of another size get windows of their own
        return without_windows(after) if sort == "planner" and after != text else after

    return Edit(f"your {SORTS[sort][0]} {name}", change)


def save(bench: Bench, form: Form) -> None:
    """Save this kit's planner, paper or machine by name.

    Raises:
        KitloomError: no name, one that is taken, or the disk refuses.
    """
    text = bench.workspace.text() or bench.before_artwork()
    save_piece(_sort(form), form.text("name", longest=60), text, bench.workspace.folder)


def _sort(form: Form) -> str:
    sort = form.text("sort")
    if sort not in SORTS:
        raise PageError(f'nothing is saved as "{sort}"', where="page", remedy="Load it again.")
    return sort
