"""What would paper like this make of my colours? A press from published primaries.

In and out: CIELAB (D50), (n, 3), relative to the paper's white and with black point compensation on
both sides. Printable colours print as asked; the others go where ``palette.press.mapping`` sends
them, which is close to what a printer profile of the same condition does.

Sources: ``palette.press.conditions`` (data), ``neugebauer`` (model), ``gamut`` (bound), ``mapping``
(where colours go). A printer profile rounds its answers in a table, each in its own way, and a
coarse one moves pastels that its press prints; so a colour is asked about by itself here. Not done
here: what a printer's own driver adds; paper that glows under ultraviolet; an inkjet's extra inks.
"""

from __future__ import annotations

from functools import cache, cached_property

import numpy as np

from palette.arrays import Floats
from palette.press.conditions import GLOSSY, MATT
from palette.press.gamut import LEVELS, Gamut, gamut_of
from palette.press.mapping import clip
from palette.press.nearest import nearest_of_all, nearest_of_hue
from palette.press.neugebauer import (
    PrintCondition,
    black_lightness,
    paper_relative,
    print_lab,
    without_black,
)
from palette.space import de2000, from_polar, lab_to_oklab, oklab_to_lab, to_polar

# the share of the outermost chroma that is promised: the model's own error, mean CIEDE2000 0.2 to
# 0.3, is some half per cent of it, profiles keep a little more back, and near black, where they
# trade inks against their limit, a good deal more; a warning too many costs less than one too few
REACH, DARK_REACH = 0.975, 0.93
_DARK, _LIGHT = 25.0, 45.0  # OKLab lightness, CIELAB L* 13 and 36: from one share to the other


class BuiltinPress:
    """A ``Press`` from one print condition; its gamut is made on first use and kept."""

    def __init__(self, condition: PrintCondition, name: str, limits: str) -> None:
        self.condition = condition
        self.name = name
        self.limits = limits

    @cached_property
    def black_l(self) -> float:
        """L*, relative to the paper, of the deepest neutral."""
        return black_lightness(self.condition)

    @cached_property
    def gamut(self) -> Gamut:
        """The outer bound, paper-relative and black point compensated."""

        def oklab_of_inks(inks: Floats) -> Floats:
            relative = paper_relative(self.condition, print_lab(self.condition, inks))
            return lab_to_oklab(without_black(relative, self.black_l))

        level = np.linspace(0.0, 100.0, LEVELS)[:, None]
        promised = np.interp(level, [_DARK, _LIGHT], [DARK_REACH, REACH])
        return Gamut(promised * gamut_of(oklab_of_inks).chroma)

    def to_print(self, lab: Floats) -> Floats:
        """Return the colours that would be on paper for the colours asked for."""
        values = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
        request = to_polar(lab_to_oklab(values))
        moves = ~self.gamut.holds(request)
        printed = values.copy()
        printed[moves] = oklab_to_lab(from_polar(clip(self.gamut, request[moves])))
        return printed

    def shift(self, lab: Floats) -> Floats:
        """Return, shape (n,), how far in CIEDE2000 each colour moves by printing."""
        values = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
        return de2000(values, self.to_print(values))

    def nearest(self, lab: Floats) -> Floats:
        """Return the nearest colours of all that print as they are seen."""
        return nearest_of_all(self.gamut, self.to_print, lab)

    def nearest_of_hue(self, lab: Floats) -> Floats:
        """Return the nearest colours that print as they are seen and keep their hue."""
        return nearest_of_hue(self.gamut, self.to_print, lab)


@cache
def builtin_press(surface: str) -> BuiltinPress:
    """Return the press of a key of ``CONDITIONS``; one object each, so its bound is kept.

    Raises:
        KeyError: another surface.
    """
    condition, name, limits = CONDITIONS[surface]
    return BuiltinPress(condition, name, limits)


CONDITIONS = {
    "glossy": (
        GLOSSY,
        "glossy (like coated offset, FOGRA39)",
        "A published offset press stands in for yours: inkjets on glossy paper often print "
        "more vivid blues and greens, so warnings err on the safe side.",
    ),
    "matt": (
        MATT,
        "matt (like uncoated offset, FOGRA47)",
        "A published offset press on uncoated paper stands in for yours: trust the order of "
        "the colours more than the figures, and print a chart to know.",
    ),
}
