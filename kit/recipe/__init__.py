"""What the maker asks for: the recipe as text, checked, with every length in millimetres.

In: TOML, and changes to it (other artwork, box or paper). Out: a frozen ``Recipe``; faults quote
their line. Not done here: opening artwork, or deciding anything about the sheet.
"""

from kit.recipe.coordinate_keys import SPACED, CoordinatePart
from kit.recipe.fields import LEAST_REPEAT_MM, MOST_MM, OwnPlace, Pin, RepeatLength
from kit.recipe.files import files_of, paths_of
from kit.recipe.idle import USUAL_IN_LISTS, idle_in_row
from kit.recipe.keys import RecipeKey, recipe_keys, recipe_tables
from kit.recipe.meanings import MEANINGS, TABLES
from kit.recipe.messages import near
from kit.recipe.model import (
    CutPart,
    Margins,
    MarkPart,
    PatternPart,
    Recipe,
    SheetPart,
)
from kit.recipe.paper import PAPERS, Paper, find_paper
from kit.recipe.places import check_files, place_in
from kit.recipe.reading import MAX_BYTES, file_places, idle_places, parse_recipe, read_recipe
from kit.recipe.reskin import Binding, box_of, with_box, with_name, with_paper, with_patterns
from kit.recipe.row_keys import ANY_FILL, HeldPart, RowPart, is_colour
from kit.recipe.slips import LEAST_BOX_MM, SmallSize, small_box, small_sizes
from kit.recipe.text_files import read_text

__all__ = [
    "ANY_FILL",
    "LEAST_BOX_MM",
    "LEAST_REPEAT_MM",
    "MAX_BYTES",
    "MEANINGS",
    "MOST_MM",
    "PAPERS",
    "SPACED",
    "TABLES",
    "USUAL_IN_LISTS",
    "Binding",
    "CoordinatePart",
    "CutPart",
    "HeldPart",
    "Margins",
    "MarkPart",
    "OwnPlace",
    "Paper",
    "PatternPart",
    "Pin",
    "Recipe",
    "RecipeKey",
    "RepeatLength",
    "RowPart",
    "SheetPart",
    "SmallSize",
    "box_of",
    "check_files",
    "file_places",
    "files_of",
    "find_paper",
    "idle_in_row",
    "idle_places",
    "is_colour",
    "near",
    "parse_recipe",
    "paths_of",
    "place_in",
    "read_recipe",
    "read_text",
    "recipe_keys",
    "recipe_tables",
    "small_box",
    "small_sizes",
    "with_box",
    "with_name",
    "with_paper",
    "with_patterns",
]
