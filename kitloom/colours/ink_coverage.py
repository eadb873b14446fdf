"""How heavy with ink are fills and stickers, beside a fill of plain black?

In: colour bins of fills, stickers and a press. Out: total area coverages (``palette.proof.ink``) by
name. A sticker's coverage is its fill's; panels, lines, words and drawings take its place by their
share of the sticker's area.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from kit.shapes import Contour, flatten_path, side_length, signed_area
from kit.sheet import ColourFill, Fill, Mark, Placement
from palette.choose import ColourBins
from palette.memory import Remember, afresh
from palette.press import Press
from palette.proof import coverage, mean_coverage, share_of_black
from palette.space import hex_to_lab

if TYPE_CHECKING:
    from kit.letters import Lettering
    from kitloom.inks import Sticker


def shares_of_black(totals: Mapping[str, float], press: Press) -> dict[str, float]:
    """Return each coverage by its name as a share of what solid black takes."""
    whole = share_of_black(1.0, press)
    return {name: total * whole for name, total in totals.items()}


def fill_coverages(bins: Mapping[str, ColourBins], press: Press) -> dict[str, float]:
    """Return the mean total area coverage of each fill by its name."""
    return {name: mean_coverage(own, press) for name, own in bins.items()}


def plain_coverages(colours: Sequence[str], press: Press) -> dict[str, float]:
    """Return the total area coverage of each colour "#rrggbb" by itself."""
    if not colours:
        return {}
    totals = coverage(np.stack([hex_to_lab(one) for one in colours]), press)
    return dict(zip(colours, totals.tolist(), strict=True))


def sticker_coverages(
    stickers: Sequence[Sticker],
    fills: Mapping[str, float],
    press: Press,
    remember: Remember = afresh,
) -> dict[str, float]:
    """Return the mean total area coverage of each sticker there is, such as "full box, pods".

    Of stickers of one name, the heaviest counts.

    Args:
        stickers: all of a kit's.
        fills: the coverage of each pattern by its name.
        press: what prints.
        remember: gives the area of each thing laid on a sticker, and a drawing's coverage.
    """
    of = _Coverages(stickers, fills, press, remember)
    found: dict[str, float] = {}
    for one in stickers:
        found[one.name] = max(found.get(one.name, 0.0), _of_sticker(one, of))
    return found


class _Coverages:
    """The coverage of each fill, colour and drawing, each found out once."""

    def __init__(
        self,
        stickers: Sequence[Sticker],
        fills: Mapping[str, float],
        press: Press,
        remember: Remember,
    ) -> None:
        plain = {colour: None for one in stickers for colour in _colours_on(one.placed)}
        self.colours = plain_coverages(list(plain), press)
        self._fills = fills
        self.drawing = cache(lambda drawn: remember(mean_coverage, drawn.bins, press))
        self._remember = remember

    def fill(self, fill: Fill) -> float:
        if isinstance(fill, ColourFill):
            return self.colours[fill.colour]
        return self._fills[fill.pattern]

    def areas(self, placed: Placement) -> _Areas:
        return self._remember(_areas, placed)


def _colours_on(placed: Placement) -> Iterator[str]:
    laid = (*placed.grounds, *placed.panels)
    for fill in (placed.fill, *(one.fill for one in laid)):
        if isinstance(fill, ColourFill):
            yield fill.colour
    for mark in _lines(placed):
        yield mark.colour
        if mark.inside is not None:
            yield mark.inside
    for words in placed.lettering:
        yield words.colour


def _lines(placed: Placement) -> tuple[Mark, ...]:
    return (*((placed.edge,) if placed.edge else ()), *placed.marks)


@dataclass(frozen=True)
class _Areas:
    """A sticker's area, and those of its panels, of its lines' insides and lines, of its words."""

    whole_mm2: float
    panels_mm2: tuple[float, ...]
    lines_mm2: tuple[tuple[float, float], ...]
    words_mm2: tuple[float, ...]


def _areas(placed: Placement) -> _Areas:
    return _Areas(
        _area_mm2(placed.outline),
        tuple(_area_mm2(one.contour) for one in (*placed.grounds, *placed.panels)),
        tuple(
            (
                0.0 if mark.inside is None else _area_mm2(mark.contour),
                mark.stroke_mm * _line_mm(mark.contour),
            )
            for mark in _lines(placed)
        ),
        tuple(map(_letters_mm2, placed.lettering)),
    )


def _of_sticker(sticker: Sticker, of: _Coverages) -> float:
    """Return one sticker's mean coverage: what is laid over its fill takes the fill's place."""
    placed = sticker.placed
    areas = of.areas(placed)
    total = of.fill(placed.fill)

    def lay(area_mm2: float, own: float) -> None:
        nonlocal total
        total += min(1.0, area_mm2 / areas.whole_mm2) * (own - total)

    panels = (*placed.grounds, *placed.panels)
    for panel, area_mm2 in zip(panels, areas.panels_mm2, strict=True):
        lay(area_mm2, of.fill(panel.fill))
    for mark, (inside_mm2, line_mm2) in zip(_lines(placed), areas.lines_mm2, strict=True):
        if mark.inside is not None:
            lay(inside_mm2, of.colours[mark.inside])
        lay(line_mm2, of.colours[mark.colour])
    for words, area_mm2 in zip(placed.lettering, areas.words_mm2, strict=True):
        lay(area_mm2, of.colours[words.colour])
    if placed.picture is not None and sticker.drawn is not None:
        share = placed.picture.box.area_mm2 / areas.whole_mm2
        drawn = sticker.drawn
        total += share * (drawn.visible * of.drawing(drawn) - drawn.cover * total)
    return total


def _letters_mm2(words: Lettering) -> float:
    """The area of letters: holes run the other way round, so they count against it."""
    fine_mm = words.box.height_mm / 50.0
    return abs(sum(signed_area(flatten_path(path, fine_mm)) for path in words.paths))


def _line_mm(contour: Contour) -> float:
    """How long a line is: round an area the whole way; there and back on one way, once."""
    length = sum(side_length(a, b) for a, b in contour.sides())
    return length if _area_mm2(contour) > 0.0 else length / 2.0


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
