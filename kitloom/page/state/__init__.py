"""The open kit: the maker's folder, the recipe in it, and what has been measured of it so far.

In: a folder or a recipe. Out: a ``Bench``, whose every change is a change of the recipe's text,
checked, saved with all earlier states for undo, and drawn anew; and signals of all that changes.

Not done here: what an edit is about (``edits``), and what is shown of it (``views``).
"""

from kitloom.page.state.bench import Bench, open_bench
from kitloom.page.state.file_names import parse_place, place_words, plain_stem, unused_stem
from kitloom.page.state.pieces import SORTS, save_piece, saved_in, saved_names, with_saved
from kitloom.page.state.recipe_text import (
    millimetres,
    with_files_renamed,
    with_fills_renamed,
    with_pattern,
    with_pattern_value,
    with_row_value,
    with_value,
    without_pattern,
)
from kitloom.page.state.workspace import Step

__all__ = [
    "SORTS",
    "Bench",
    "Step",
    "millimetres",
    "open_bench",
    "parse_place",
    "place_words",
    "plain_stem",
    "save_piece",
    "saved_in",
    "saved_names",
    "unused_stem",
    "with_files_renamed",
    "with_fills_renamed",
    "with_pattern",
    "with_pattern_value",
    "with_row_value",
    "with_saved",
    "with_value",
    "without_pattern",
]
