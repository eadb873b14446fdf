"""What would paper like this make of my colours? A press from published primaries.

In and out: CIELAB (D50), (n, 3), relative to the paper's white and with black point compensation on
both sides. Printable colours print as asked; the others go where ``palette.press.mapping`` sends
them, which is close to what a printer profile of the same condition does.

Sources: ``palette.press.conditions`` (data), ``neugebauer`` (model), ``mapping`` (method). Not done
here: what a printer's own driver adds; paper that glows under ultraviolet; an inkjet's extra inks.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from palette.difference import de2000
from palette.oklab import from_polar, lab_to_oklab, oklab_to_lab, to_polar
from palette.press.conditions import GLOSSY, MATT
from palette.press.gamut import Gamut, gamut_of
from palette.press.mapping import HUE_KEEPING, PROFILE, Weights, clip
from palette.press.neugebauer import PrintCondition, black_lightness, paper_relative, print_lab

Floats = NDArray[np.float64]


class BuiltinPress:
    """A ``Press`` from one print condition."""

    def __init__(self, condition: PrintCondition, name: str, limits: str) -> None:
        self.condition = condition
        self.name = name
        self.limits = limits
        self._gamut: Gamut | None = None

    @property
    def gamut(self) -> Gamut:
        """The outer bound, made on first use and then kept."""
        if self._gamut is None:
            black_l = black_lightness(self.condition)

            def relative(inks: Floats) -> Floats:
                measured = print_lab(self.condition, inks)
                return lab_to_oklab(paper_relative(self.condition, measured, black_l))

            self._gamut = gamut_of(relative)
        return self._gamut

    def to_print(self, lab: Floats) -> Floats:
        """Return the colours that would stand on paper for the colours asked for."""
        return self._moved(lab, PROFILE)

    def shift(self, lab: Floats) -> Floats:
        """Return, shape (n,), how far in CIEDE2000 each colour moves by printing."""
        return de2000(lab, self.to_print(lab))

    def nearest(self, lab: Floats) -> Floats:
        """Return the nearest colours that print as they are seen and keep their hue."""
        return self._moved(lab, HUE_KEEPING)

    def _moved(self, lab: Floats, weights: Weights) -> Floats:
        values = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
        polar = to_polar(lab_to_oklab(values))
        outside = ~self.gamut.holds(polar)
        printed = values.copy()
        if outside.any():
            moved = clip(self.gamut, polar[outside], weights)
            printed[outside] = oklab_to_lab(from_polar(moved))
        return printed


@cache
def builtin_press(surface: str) -> BuiltinPress:
    """Return the press of a surface, "glossy" or "matt"; one object each, so its bound is kept.

    Raises:
        KeyError: another surface.
    """
    condition, name, limits = _SURFACES[surface]
    return BuiltinPress(condition, name, limits)


_SURFACES = {
    "glossy": (
        GLOSSY,
        "glossy, like coated offset (FOGRA39)",
        "A published offset press stands in for yours: inkjets on glossy paper often print "
        "more vivid blues and greens, so a warning errs to the safe side.",
    ),
    "matt": (
        MATT,
        "matt, like uncoated offset (FOGRA47)",
        "A published offset press on uncoated paper stands in for yours: trust the order of "
        "the colours more than the figures, and print a chart to know.",
    ),
}
