"""What would a maker put on the sheets? A recipe to begin with, full from edge to edge.

In: tiles with their repeats, the planner's box and the paper. Out: the rows of full sheets
(``rows_for``), and the text of a recipe with them, with comments (``draft_recipe``). Not done
here: measuring artwork, or writing files.
"""

from kit.draft.plan import Plan, PlannedRow, drafted_rows, rows_for
from kit.draft.text import Draft, DraftTile, draft_pattern, draft_recipe, kit_name, row_lines

__all__ = [
    "Draft",
    "DraftTile",
    "Plan",
    "PlannedRow",
    "draft_pattern",
    "draft_recipe",
    "drafted_rows",
    "kit_name",
    "row_lines",
    "rows_for",
]
