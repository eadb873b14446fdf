"""Before the good paper: a sheet that shows whether sizes fit, and a strip to print and cut.

In: a recipe's sheet and planes. Out: sheets, and what the fit sheet's readings mean. Not done here:
the files (``kit.writers``).
"""

from kit.trial.fitting import corrected_box, fit_sheet
from kit.trial.strip import FOOT_MM, HEIGHT_MM, TOP_COMBS, Strip, trial_strip

__all__ = [
    "FOOT_MM",
    "HEIGHT_MM",
    "TOP_COMBS",
    "Strip",
    "corrected_box",
    "fit_sheet",
    "trial_strip",
]
