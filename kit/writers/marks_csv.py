"""Where the maker's marks lie, as a table: for a machine whose head is led to them by hand.

In: the recipe's marks and the paper's height, millimetres. Out: CSV, UTF-8, one mark a line, its
point (``kit.sheet.mark_point``) from the page's left edge, from its top, and from its bottom, where
plotters and DXF count from.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from kit.recipe import MarkPart
from kit.sheet import mark_point

_COLUMNS = ("mark", "shape", "from_left_mm", "from_top_mm", "from_bottom_mm", "size_mm")


def marks_csv(marks: Sequence[MarkPart], height_mm: float) -> bytes:
    """Return the table."""
    sheet = io.StringIO()
    table = csv.writer(sheet, lineterminator="\n")
    table.writerow(_COLUMNS)
    for number, mark in enumerate(marks, start=1):
        x, y = mark_point(mark)
        lengths = [f"{mm:.3f}" for mm in (x, y, height_mm - y, mark.size)]
        table.writerow([number, mark.shape, *lengths])
    return sheet.getvalue().encode()
