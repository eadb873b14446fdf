"""The remedies, one module each: what each can hide, drawn anew, moved or let in.

In: a tile's pixels along one axis, in linear light or sRGB. Out: new pixels, or nothing where the
remedy does not apply. Not done here: choosing between them (``patterns.mend.axis``).
"""

from patterns.mend.remedies.clamped import redraw_clamped
from patterns.mend.remedies.doubled import doubled_columns
from patterns.mend.remedies.drift import level_drift
from patterns.mend.remedies.fringe import is_paper, redraw_fringe, unmixed_edges
from patterns.mend.remedies.join import least_visible, let_in
from patterns.mend.remedies.overlap import overlapping_columns
from patterns.mend.remedies.patch import cut_limit_de, patched
from patterns.mend.remedies.tone import LEAST_L, level_slope, slope_of

__all__ = [
    "LEAST_L",
    "cut_limit_de",
    "doubled_columns",
    "is_paper",
    "least_visible",
    "let_in",
    "level_drift",
    "level_slope",
    "overlapping_columns",
    "patched",
    "redraw_clamped",
    "redraw_fringe",
    "slope_of",
    "unmixed_edges",
]
