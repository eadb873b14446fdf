"""Palettes and proofs measured for the press at hand.

In: bins, palettes, presses. Out: measurements and files of colours. Not done here: sentences about
them (``kitloom.findings``).
"""

from kitloom.colours.charts import ReadingQuality, chart_files, chart_for, read_chart
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
    PressWish,
    ProofedFill,
    Repaired,
    Subjects,
    proofed_fills,
    reached,
    stems_of,
    subjects_of,
)
from kitloom.colours.recolouring import Colourway, redressed

__all__ = [
    "Colourway",
    "PaletteVerdict",
    "PressWish",
    "ProofedFill",
    "ReadingQuality",
    "Repaired",
    "Subjects",
    "beside_black_by_name",
    "chart_files",
    "chart_for",
    "fill_coverages",
    "judge_palette",
    "palette_files",
    "parse_allowed",
    "parse_pairs",
    "proofed_fills",
    "reached",
    "read_chart",
    "read_palette_file",
    "redressed",
    "stems_of",
    "sticker_coverages",
    "subjects_of",
    "worn_colours",
    "worn_palette",
]
