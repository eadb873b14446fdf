"""What can be changed: each edit from a form's fields to a new recipe text, and what is dropped.

In: the bench and the fields of a form, or a dropped file. Out: one change of the recipe, with what
was done in the maker's words, for undo.

Not done here: checking and saving the recipe (``state``), and changes that need new artwork to be
computed first (``work``).
"""

from kitloom.page.edits.earlier_palettes import (
    OWN,
    SUFFIXES,
    colours_of,
    palette_setting,
    palettes,
    take_palette,
)
from kitloom.page.edits.editing import recipe_of
from kitloom.page.edits.forms import Form
from kitloom.page.edits.hand_edits import alike
from kitloom.page.edits.intake import (
    MAX_FILE_BYTES,
    MAX_PATTERNS,
    OPENED,
    Incoming,
    begin_with_folder,
    keep_artwork,
    measure_artwork,
    new_file,
    room_left,
    take_profile,
    take_recipe,
)
from kitloom.page.edits.not_artwork import NotArtworkError, no_picture, not_artwork, shown_name
from kitloom.page.edits.other_artwork import take_other_artwork
from kitloom.page.edits.packed import is_archive, pictures_in
from kitloom.page.edits.row_edits import count_across
from kitloom.page.edits.saved_edits import save
from kitloom.page.edits.settings_edits import (
    MOST_TYPED,
    MOTIF_KEYS,
    TEXT_FIELD,
    set_text,
    settings_place,
    take_own_row,
    take_setting_file,
)
from kitloom.page.edits.whole_drop import READ_ME, SortedDrop, recipe_among, sort_drop

__all__ = [
    "MAX_FILE_BYTES",
    "MAX_PATTERNS",
    "MOST_TYPED",
    "MOTIF_KEYS",
    "OPENED",
    "OWN",
    "READ_ME",
    "SUFFIXES",
    "TEXT_FIELD",
    "Form",
    "Incoming",
    "NotArtworkError",
    "SortedDrop",
    "alike",
    "begin_with_folder",
    "colours_of",
    "count_across",
    "is_archive",
    "keep_artwork",
    "measure_artwork",
    "new_file",
    "no_picture",
    "not_artwork",
    "palette_setting",
    "palettes",
    "pictures_in",
    "recipe_among",
    "recipe_of",
    "room_left",
    "save",
    "set_text",
    "settings_place",
    "shown_name",
    "sort_drop",
    "take_other_artwork",
    "take_own_row",
    "take_palette",
    "take_profile",
    "take_recipe",
    "take_setting_file",
]
