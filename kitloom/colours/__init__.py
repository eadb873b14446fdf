"""Palettes and proofs measured for the press at hand.

In: bins, palettes, presses. Out: measurements and files of colours. Not done here: sentences about
them (``kitloom.findings``).
"""

from kitloom.colours.colourway import (
    Colourway,
    becomes,
    joins_kept,
    plan_colourway,
    recolour_tile,
)
from kitloom.colours.ink_coverage import (
    fill_coverages,
    plain_coverages,
    shares_of_black,
    sticker_coverages,
)
from kitloom.colours.palette_io import (
    merge_colours,
    palette_files,
    palette_of_colours,
    read_palette_file,
)
from kitloom.colours.palette_verdict import (
    PaletteVerdict,
    check_pairs,
    judge_palette,
    parse_allowed,
    parse_pairs,
)
from kitloom.colours.proofing import (
    FillProof,
    PressRequest,
    RepairResult,
    Subjects,
    measure_repair,
    proof_fills,
    stems_of,
    subjects_of,
)

__all__ = [
    "Colourway",
    "FillProof",
    "PaletteVerdict",
    "PressRequest",
    "RepairResult",
    "Subjects",
    "becomes",
    "check_pairs",
    "fill_coverages",
    "joins_kept",
    "judge_palette",
    "measure_repair",
    "merge_colours",
    "palette_files",
    "palette_of_colours",
    "parse_allowed",
    "parse_pairs",
    "plain_coverages",
    "plan_colourway",
    "proof_fills",
    "read_palette_file",
    "recolour_tile",
    "shares_of_black",
    "stems_of",
    "sticker_coverages",
    "subjects_of",
]
