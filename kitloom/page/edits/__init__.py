"""What can be changed: each edit from a form's fields to a new recipe text, and what is dropped.

In: the bench and the fields of a form, or a dropped file. Out: one change of the recipe, with what
was done in the maker's words, for undo.

Not done here: checking and saving the recipe (``state``), and changes that need new artwork to be
computed first (``work``).
"""

from kitloom.page.edits.earlier_palettes import OWN, SUFFIXES, colours_of, palettes, take_palette
from kitloom.page.edits.editing import recipe_of
from kitloom.page.edits.forms import Form
from kitloom.page.edits.hand_edits import alike
from kitloom.page.edits.intake import (
    MAX_FILE_BYTES,
    Incoming,
    begin_with_folder,
    keep_artwork,
    measure_artwork,
    new_file,
    take_profile,
    take_recipe,
)

__all__ = [
    "MAX_FILE_BYTES",
    "OWN",
    "SUFFIXES",
    "Form",
    "Incoming",
    "alike",
    "begin_with_folder",
    "colours_of",
    "keep_artwork",
    "measure_artwork",
    "new_file",
    "palettes",
    "recipe_of",
    "take_palette",
    "take_profile",
    "take_recipe",
]
