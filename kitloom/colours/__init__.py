"""Palettes and proofs measured for the press at hand.

In: bins, palettes, presses. Out: measurements and files of colours. Not done here: sentences about
them (``kitloom.findings``).
"""

from kitloom.colours.charts import ReadingQuality, chart_files, chart_for, read_chart
from kitloom.colours.colourway import Colourway, recolour_tile
from kitloom.colours.ink_coverage import beside_black_by_name, fill_coverages, sticker_coverages
from kitloom.colours.palette_io import (
    palette_files,
    read_palette_file,
    worn_colours,
    worn_palette,
)
from kitloom.colours.palette_verdict import (
    PaletteVerdict,
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
    "ReadingQuality",
    "RepairResult",
    "Subjects",
    "beside_black_by_name",
    "chart_files",
    "chart_for",
    "fill_coverages",
    "judge_palette",
    "measure_repair",
    "palette_files",
    "parse_allowed",
    "parse_pairs",
    "proof_fills",
    "read_chart",
    "read_palette_file",
    "recolour_tile",
    "stems_of",
    "sticker_coverages",
    "subjects_of",
    "worn_colours",
    "worn_palette",
]
