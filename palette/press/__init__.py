"""What can be printed: presses from published primaries, ICC profiles or measured charts.

In: colours asked for, CIELAB (D50), relative to the paper's white and with black point compensation
on both sides, so that plain white and plain black are never flagged. Out: the colours that would
be on paper. A new press is a module here with a class that keeps ``Press``, and a line in
``palette.surfaces``. Not done here: verdicts on a maker's colours (``palette.proof``).
"""

from palette.press.builtin import builtin_press
from palette.press.chart_file import ChartRecord, Scanner, to_toml
from palette.press.chart_fit import ChartFit, fit_chart
from palette.press.chart_press import black_of
from palette.press.chart_profile import printer_profile
from palette.press.cube import CACHED_PRESSES, SHIFT_SCALE, ColourCube, print_cube, shift_cube
from palette.press.gamut import HUES, LEVELS, Gamut, gamut_of
from palette.press.icc import lab_of_bytes
from palette.press.icc_header import check_profile
from palette.press.neugebauer import with_black
from palette.press.protocol import AS_SEEN, InkPress, Intent, Press, SendingPress, on_paper
from palette.press.register import open_press

__all__ = [
    "AS_SEEN",
    "CACHED_PRESSES",
    "HUES",
    "LEVELS",
    "SHIFT_SCALE",
    "ChartFit",
    "ChartRecord",
    "ColourCube",
    "Gamut",
    "InkPress",
    "Intent",
    "Press",
    "Scanner",
    "SendingPress",
    "black_of",
    "builtin_press",
    "check_profile",
    "fit_chart",
    "gamut_of",
    "lab_of_bytes",
    "on_paper",
    "open_press",
    "print_cube",
    "printer_profile",
    "shift_cube",
    "to_toml",
    "with_black",
]
