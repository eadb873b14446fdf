"""What would paper like this make of my colours? A press from published primaries.

In and out: CIELAB (D50), (n, 3), relative to the paper's white and with black point compensation on
both sides. Printable colours print as asked; the others go where ``palette.press.mapping`` sends
them, which is close to what a printer profile of the same condition does.

Sources: ``palette.press.conditions`` (data), ``neugebauer`` (model), ``gamut`` (bound), ``mapping``
(where colours go), ``table`` (how a driver rounds it). Not done
here: what a printer's own driver adds; paper that glows under ultraviolet; an inkjet's extra inks.
"""

from __future__ import annotations

from functools import cache, cached_property

import numpy as np

from palette.arrays import Floats
from palette.press.conditions import GLOSSY, MATT
from palette.press.gamut import Gamut, gamut_of
from palette.press.lookup_table import LabTable
from palette.press.mapping import clip
from palette.press.nearest import nearest_printable
from palette.press.neugebauer import (
    PrintCondition,
    black_lightness,
    paper_relative,
    print_lab,
    with_black,
    without_black,
)
from palette.space import de2000, from_polar, lab_to_oklab, oklab_to_lab, to_polar

# the share of the outermost chroma that is promised: the model's own error, mean CIEDE2000 0.2 to
# 0.3, is some half per cent of it, and a warning too many costs less than one too few
REACH = 0.995


class BuiltinPress:
    """A ``Press`` from one print condition; its gamut and table are made on first use and kept."""

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

        return Gamut(REACH * gamut_of(oklab_of_inks).chroma)

    @cached_property
    def _table(self) -> LabTable:
        def answer(nodes: Floats) -> Floats:
            request = to_polar(lab_to_oklab(without_black(nodes, self.black_l)))
            moved = oklab_to_lab(from_polar(clip(self.gamut, request)))
            return with_black(moved, self.black_l)

        return LabTable(self.black_l, answer)

    def to_print(self, lab: Floats) -> Floats:
        """Return the colours that would stand on paper for the colours asked for."""
        relative = with_black(np.asarray(lab, dtype=np.float64).reshape(-1, 3), self.black_l)
        return without_black(self._table.look_up(relative), self.black_l)

    def shift(self, lab: Floats) -> Floats:
        """Return, shape (n,), how far in CIEDE2000 each colour moves by printing."""
        values = np.asarray(lab, dtype=np.float64).reshape(-1, 3)
        return de2000(values, self.to_print(values))

    def nearest(self, lab: Floats) -> Floats:
        """Return the nearest colours that print as they are seen and keep their hue."""
        return nearest_printable(self.gamut, self.to_print, lab)


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
        "more vivid blues and greens, so a warning errs to the safe side.",
    ),
    "matt": (
        MATT,
        "matt (like uncoated offset, FOGRA47)",
        "A published offset press on uncoated paper stands in for yours: trust the order of "
        "the colours more than the figures, and print a chart to know.",
    ),
}
