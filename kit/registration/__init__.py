"""Will the cut stay inside the colour, however print and cut are out of register?

In: boxes, outlines and a ``Registration``. Out: bleed, gaps, measured tolerances, how even borders
look, combs that show the shift, and what several of their strips say of the next sheet. Not done
here: moving stickers (``kit.layout``).
"""

from kit.registration.bleed import bleed_boxes
from kit.registration.bleed_outline import bleed_shape
from kit.registration.combs import (
    BODY_MM,
    LENGTH_MM,
    LINE_PITCH_MM,
    TOOTH_MM,
    Comb,
    Misfit,
    misfit_of,
)
from kit.registration.evenness import (
    EVEN_RATIO,
    border_ratio,
    narrowest_border_mm,
    needed_border_mm,
)
from kit.registration.habit import Habit, habit_of
from kit.registration.tolerance import (
    Registration,
    Tolerance,
    largest_shift_mm,
    measure_tolerance,
)

__all__ = [
    "BODY_MM",
    "EVEN_RATIO",
    "LENGTH_MM",
    "LINE_PITCH_MM",
    "TOOTH_MM",
    "Comb",
    "Habit",
    "Misfit",
    "Registration",
    "Tolerance",
    "bleed_boxes",
    "bleed_shape",
    "border_ratio",
    "habit_of",
    "largest_shift_mm",
    "measure_tolerance",
    "misfit_of",
    "narrowest_border_mm",
    "needed_border_mm",
]
