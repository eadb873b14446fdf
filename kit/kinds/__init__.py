"""The kinds of sticker: the one table of them, as functions of the planner's box.

In: a day box in millimetres. Out: sizes, panels, marks, and the lists that panels hold. Not done
here: filling or placing any.
"""

from kit.kinds.lists import (
    LEAST_LIST_MM,
    LEAST_PITCH_MM,
    LineList,
    below_title,
    least_height_mm,
    most_lines,
    title_box,
)
from kit.kinds.table import (
    CHECK_STROKE_MM,
    KINDS,
    LEAST_BORDER_MM,
    RULE_STROKE_MM,
    Kind,
    check_marks,
    least_border_mm,
    rules,
)

__all__ = [
    "CHECK_STROKE_MM",
    "KINDS",
    "LEAST_BORDER_MM",
    "LEAST_LIST_MM",
    "LEAST_PITCH_MM",
    "RULE_STROKE_MM",
    "Kind",
    "LineList",
    "below_title",
    "check_marks",
    "least_border_mm",
    "least_height_mm",
    "most_lines",
    "rules",
    "title_box",
]
