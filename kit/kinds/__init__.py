"""The kinds of sticker: the one table of them, as functions of the planner's box.

In: a day box in millimetres. Out: sizes, panels, marks. Not done here: filling or placing any.
"""

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
    "RULE_STROKE_MM",
    "Kind",
    "check_marks",
    "least_border_mm",
    "rules",
]
