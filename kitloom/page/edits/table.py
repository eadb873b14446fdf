"""What can be changed on the page: the one table of edits, each from a form to a new recipe text.

An edit gets the bench and the form, and returns what was done in the maker's words and a change of
the text; the bench checks, saves and draws. The edits are in ``*_edits.py``, a file a step.
"""

from __future__ import annotations

from collections.abc import Callable

from kitloom.page.edits.dealing_edits import set_dealt
from kitloom.page.edits.editing import Edit
from kitloom.page.edits.forms import Form
from kitloom.page.edits.hand_edits import (
    double_stickers,
    remove_stickers,
    set_artwork,
    swap_stickers,
)
from kitloom.page.edits.palette_edits import (
    leave_out,
    nudge_all,
    pin_colour,
    set_colours,
    swap_colour,
    take_no_colours_from,
)
from kitloom.page.edits.place_edits import place_stickers
from kitloom.page.edits.row_edits import add_row, move_row, remove_row, set_border, set_row
from kitloom.page.edits.saved_edits import take_saved
from kitloom.page.edits.settings_edits import add_entry, add_motifs, remove_entry, set_settings
from kitloom.page.edits.sheet_edits import (
    set_box,
    set_margin,
    set_name,
    set_paper,
    set_registration,
    set_sheet,
    set_surface,
    set_tolerance,
    set_top_up,
    set_variety,
)
from kitloom.page.edits.sticker_edits import pin_offset, set_fill, set_words
from kitloom.page.edits.tile_edits import (
    exchange_tiles,
    remove_missing,
    remove_tile,
    set_accepted,
    set_lattice,
    set_repeat,
)
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench


def apply(bench: Bench, name: str, form: Form) -> None:
    """Make an edit by its name.

    Raises:
        KitloomError: no such edit, or one that cannot be made.
    """
    if name not in EDITS:
        raise PageError(f'there is no edit "{name}"', where="page", remedy="Load the page again.")
    with bench.lock:
        edit = EDITS[name](bench, form)
        if name in BEFORE_ARTWORK and not bench.workspace.text():
            bench.begin_with(edit.change)
        else:
            bench.edit(edit.label, edit.change, holds=name not in BEFORE_STICKERS)


# what is asked before there is artwork
BEFORE_ARTWORK = ("box", "paper", "take-saved")
EDITS: dict[str, Callable[[Bench, Form], Edit]] = {
    "remove-tile": remove_tile,
    "remove-missing": remove_missing,
    "exchange-tiles": exchange_tiles,
    "repeat": set_repeat,
    "lattice": set_lattice,
    "looked": set_accepted,
    "colours": set_colours,
    "pin": pin_colour,
    "leave-out": leave_out,
    "no-colours-from": take_no_colours_from,
    "swap": swap_colour,
    "nudge-all": nudge_all,
    "surface": set_surface,
    "name": set_name,
    "box": set_box,
    "paper": set_paper,
    "sheet": set_sheet,
    "margin": set_margin,
    "top-up": set_top_up,
    "registration": set_registration,
    "add-row": add_row,
    "add-motifs": add_motifs,
    "remove-row": remove_row,
    "move-row": move_row,
    "row": set_row,
    "variety": set_variety,
    "fill": set_fill,
    "words": set_words,
    "offset": pin_offset,
    "artwork": set_artwork,
    "remove-sticker": remove_stickers,
    "remove-several": remove_stickers,
    "double-sticker": double_stickers,
    "double-several": double_stickers,
    "swap-stickers": swap_stickers,
    "place": place_stickers,
    "tolerance": set_tolerance,
    "border": set_border,
    "take-saved": take_saved,
    "deal": set_dealt,
    "settings": set_settings,
    "add-entry": add_entry,
    "remove-entry": remove_entry,
}
# made before anybody looks at stickers: while nothing is held, they are dealt again with these
BEFORE_STICKERS = frozenset(
    {
        "remove-tile",
        "remove-missing",
        "repeat",
        "lattice",
        "looked",
        "colours",
        "no-colours-from",
        "surface",
        "name",
        "box",
        "paper",
        "take-saved",
    }
)
