"""How heavy with ink are fills and stickers, beside a fill of plain black?

In: colour bins of fills, sheets of stickers and a press. Out: total area coverages
(``palette.proof.ink``) by name. A sticker's coverage is its fill's, less where a panel lies over
it. Drawings, marks and words on it are left out: they take little area.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from kit.shapes import Contour
from kit.sheet import ColourFill, Fill, Placement, Sheet
from palette.choose import ColourBins
from palette.press import Press
from palette.proof import coverage, mean_coverage, share_of_black
from palette.space import hex_to_lab


def shares_of_black(totals: Mapping[str, float], press: Press) -> dict[str, float]:
    """Return each coverage by its name as a share of what solid black takes."""
    return {name: share_of_black(total, press) for name, total in totals.items()}


def fill_coverages(bins: Mapping[str, ColourBins], press: Press) -> dict[str, float]:
    """Return the mean total area coverage of each fill by its name."""
    return {name: mean_coverage(own, press) for name, own in bins.items()}


def sticker_coverages(
    sheets: Sequence[Sheet], fills: Mapping[str, float], press: Press
) -> dict[str, float]:
    """Return the mean total area coverage of each sticker there is, such as "full box, pods"."""
    colours: dict[str, float] = {}

    def of_fill(fill: Fill) -> float:
        if not isinstance(fill, ColourFill):
            return fills[fill.pattern]
        if fill.colour not in colours:
            colours[fill.colour] = float(coverage(hex_to_lab(fill.colour)[None], press)[0])
        return colours[fill.colour]

    found = {}
    for placed in (placed for sheet in sheets for placed in sheet.placements):
        total = of_fill(placed.fill)
        for panel in placed.panels:
            share = min(1.0, _area_mm2(panel.contour) / _area_mm2(placed.outline))
            total += share * (of_fill(panel.fill) - total)
        found[_name(placed)] = total
    return found


def _name(placed: Placement) -> str:
    fill = placed.fill
    return f"{placed.kind}, {fill.colour if isinstance(fill, ColourFill) else fill.pattern}"


def _area_mm2(contour: Contour) -> float:
    """The area inside an outline: its polygon, and between each arc and its chord."""
    area = 0.0
    for a, b in contour.sides():
        area += (a.x_mm * b.y_mm - b.x_mm * a.y_mm) / 2.0
        if a.bulge != 0.0:
            turn = 4.0 * math.atan(a.bulge)
            chord = math.hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm)
            area += chord**2 / 8.0 * (turn - math.sin(turn)) / math.sin(turn / 2.0) ** 2
    return abs(area)
