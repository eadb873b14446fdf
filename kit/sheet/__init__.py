"""One sheet of paper as values: what is printed where, and what is cut.

In: nothing but numbers and names. Out: frozen ``Sheet``s that every writer is given. Not done here:
deciding or drawing any of it.
"""

from kit.sheet.marks import frame_around, mark_box, mark_point, page_marks
from kit.sheet.values import (
    PAPER,
    ColourFill,
    CutMove,
    CutStyle,
    Fill,
    Mark,
    Panel,
    PatternFill,
    Picture,
    Placement,
    Sheet,
    plane_key,
)

__all__ = [
    "PAPER",
    "ColourFill",
    "CutMove",
    "CutStyle",
    "Fill",
    "Mark",
    "Panel",
    "PatternFill",
    "Picture",
    "Placement",
    "Sheet",
    "frame_around",
    "mark_box",
    "mark_point",
    "page_marks",
    "plane_key",
]
