"""Will it look on paper as it looks on screen, and what could be done about it?

In: colours, colour bins or pixels, and a press. Out: shifts and grades, coverage of ink, lines too
thin to print, pictures of the print, and artwork redrawn within what prints. Not done here: the
sentences about them.
"""

from palette.press import AS_SEEN
from palette.proof.assess import (
    OUT_OF_GAMUT,
    ColourAssessment,
    FillAssessment,
    assess_colours,
    assess_fill,
    proof_pixels,
    shift_map,
)
from palette.proof.detail import (
    MAX_PLACES,
    POSITIVE_MM,
    ThinStroke,
    TileStrokes,
    judge_strokes,
    thin_strokes,
)
from palette.proof.ink import HEAVY, coverage, mean_coverage, share_heavy, share_of_black
from palette.proof.repair import prints_from_screen, repair_pixels, repair_plain

__all__ = [
    "AS_SEEN",
    "HEAVY",
    "MAX_PLACES",
    "OUT_OF_GAMUT",
    "POSITIVE_MM",
    "ColourAssessment",
    "FillAssessment",
    "ThinStroke",
    "TileStrokes",
    "assess_colours",
    "assess_fill",
    "coverage",
    "judge_strokes",
    "mean_coverage",
    "prints_from_screen",
    "proof_pixels",
    "repair_pixels",
    "repair_plain",
    "share_heavy",
    "share_of_black",
    "shift_map",
    "thin_strokes",
]
