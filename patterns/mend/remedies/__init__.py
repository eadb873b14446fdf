"""The remedies, one module each: what each can hide, drawn again, moved or let in.

In: a tile's pixels along one axis, in linear light or sRGB. Out: new pixels, or nothing where the
remedy does not apply. Not done here: choosing between them (``patterns.mend.axis``).
"""

from patterns.mend.remedies.border_off import take_border_off
from patterns.mend.remedies.clamping import redraw_clamped
from patterns.mend.remedies.continuing import continue_tile
from patterns.mend.remedies.double_lines import count_double_columns
from patterns.mend.remedies.drift import level_drift
from patterns.mend.remedies.fringe import is_paper, redraw_fringe, unmix_edges
from patterns.mend.remedies.overlap import count_overlapping_columns
from patterns.mend.remedies.patch import cut_limit_de, patch_join
from patterns.mend.remedies.quilting import let_in, rank_overlaps
from patterns.mend.remedies.slope import LEAST_L, level_slope, measure_slope

__all__ = [
    "LEAST_L",
    "continue_tile",
    "count_double_columns",
    "count_overlapping_columns",
    "cut_limit_de",
    "is_paper",
    "let_in",
    "level_drift",
    "level_slope",
    "measure_slope",
    "patch_join",
    "rank_overlaps",
    "redraw_clamped",
    "redraw_fringe",
    "take_border_off",
    "unmix_edges",
]
