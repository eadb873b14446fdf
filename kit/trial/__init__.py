"""Before the good paper: a sheet that shows whether sizes fit, and a strip to print and cut.

In: a recipe's sheet and planes. Out: sheets, and what readings of the strip mean. Not done here:
the files (``kit.writers``).
"""

from kit.trial.fitting import corrected_box, fit_sheet
from kit.trial.strip import HEIGHT_MM, Strip, trial_strip

__all__ = [
    "HEIGHT_MM",
    "Strip",
    "corrected_box",
    "fit_sheet",
    "trial_strip",
]
