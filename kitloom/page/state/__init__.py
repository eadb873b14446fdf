"""The open kit: the maker's folder, the recipe in it, and what has been measured of it so far.

In: a folder or a recipe. Out: a ``Bench``, whose every change is a change of the recipe's text,
checked, saved with all earlier states for undo, and drawn again; and signals of all that changes.

Not done here: what an edit is about (``edits``), and what is shown of it (``views``).
"""

from kitloom.page.state.bench import Bench, open_bench
from kitloom.page.state.file_names import parse_place, place_words, plain_stem, unused_stem
from kitloom.page.state.pieces import (
    SORTS,
    save_piece,
    saved_as,
    saved_in,
    saved_names,
    with_saved,
)
from kitloom.page.state.recipe_keys import (
    tables_of,
    text_mark,
    value_at,
    with_entry,
    with_key,
    without_entry,
)
from kitloom.page.state.recipe_text import (
    millimetres,
    with_files_renamed,
    with_fills_renamed,
    with_motif,
    with_pattern,
    with_pattern_value,
    with_row_value,
    with_value,
    without_pattern,
)
from kitloom.page.state.settings import (
    ANY,
    BOXES,
    BY_HAND,
    COLOURED,
    NEW,
    NOT_ASKED,
    Place,
    id_of,
    lists_on,
    names_of,
    offered,
    path_of,
    place_of,
    settings_of,
    shown_value,
    tables_on,
    title_of,
    title_of_list,
    value_of,
)
from kitloom.page.state.study_cache import study_state
from kitloom.page.state.workspace import Step

__all__ = [
    "ANY",
    "BOXES",
    "BY_HAND",
    "COLOURED",
    "NEW",
    "NOT_ASKED",
    "SORTS",
    "Bench",
    "Place",
    "Step",
    "id_of",
    "lists_on",
    "millimetres",
    "names_of",
    "offered",
    "open_bench",
    "parse_place",
    "path_of",
    "place_of",
    "place_words",
    "plain_stem",
    "save_piece",
    "saved_as",
    "saved_in",
    "saved_names",
    "settings_of",
    "shown_value",
    "study_state",
    "tables_of",
    "tables_on",
    "text_mark",
    "title_of",
    "title_of_list",
    "unused_stem",
    "value_at",
    "value_of",
    "with_entry",
    "with_files_renamed",
    "with_fills_renamed",
    "with_key",
    "with_motif",
    "with_pattern",
    "with_pattern_value",
    "with_row_value",
    "with_saved",
    "with_value",
    "without_entry",
    "without_pattern",
]
