"""What a press does to the plain colours and the drawings on a kit's sheets.

In: ``SheetInks`` and the press. Out: an ``InkVerdict``. Each colour and each drawing is judged
once, wherever it is printed, by the same measures as the palette's colours and the tiles.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from kitloom.inks.drawn_ink import DrawnInk
from kitloom.inks.sheet_inks import Drawing, InkPlace, SheetInks
from palette.choose import Palette
from palette.memory import Remember, afresh
from palette.press import Press
from palette.proof import (
    OUT_OF_GAMUT,
    ColourAssessment,
    FillAssessment,
    assess_colours,
    assess_fill,
)
from palette.space import hex_of

MAIN_COLOURS = 500  # of a drawing's, by area: one with less is not worth naming


@dataclass(frozen=True)
class JudgedColour:
    """One plain colour: what becomes of it in print, and where it is printed."""

    colour: ColourAssessment
    places: tuple[InkPlace, ...]


@dataclass(frozen=True)
class JudgedDrawing:
    """One drawing in print.

    Attributes:
        drawing: its file, colours and places.
        printed: what becomes of its visible area.
        worst: of its main colours that shift, the one with most area; None where none does.
        worst_share: that colour's share of the visible area.
    """

    drawing: Drawing
    printed: FillAssessment
    worst: ColourAssessment | None = None
    worst_share: float = 0.0


@dataclass(frozen=True)
class InkVerdict:
    """All ink of a kit but its patterns, judged for a press.

    Attributes:
        inks: all of it, by colour and place.
        colours: each plain colour on the sheets.
        drawings: each drawing on the sheets.
    """

    inks: SheetInks
    colours: tuple[JudgedColour, ...]
    drawings: tuple[JudgedDrawing, ...]

    def beside(self, palette: Palette) -> tuple[JudgedColour, ...]:
        """Return the colours that the palette lacks and the recipe names, or that shift."""
        known = {swatch.hex for swatch in palette.swatches}
        return tuple(
            one
            for one in self.colours
            if one.colour.hex not in known
            and (one.colour.grade == "will shift" or any(place.key for place in one.places))
        )


def judge_inks(inks: SheetInks, press: Press, remember: Remember = afresh) -> InkVerdict:
    """Judge the plain colours and the drawings of a kit.

    Args:
        inks: all ink of its sheets.
        press: what prints.
        remember: gives the verdict on a drawing.
    """
    assessed = assess_colours(list(inks.colours), press)
    return InkVerdict(
        inks,
        tuple(map(JudgedColour, assessed, inks.colours.values())),
        tuple(JudgedDrawing(one, *remember(_in_print, one.ink, press)) for one in inks.drawings),
    )


def _in_print(ink: DrawnInk, press: Press) -> tuple[FillAssessment, ColourAssessment | None, float]:
    """Return what becomes of a drawing's ink, and of its main colours that shift the largest."""
    bins = ink.bins
    printed = assess_fill(bins, press)
    if printed.share_out_of_gamut == 0.0:
        return printed, None, 0.0
    main = np.argsort(-bins.weight, kind="stable")[:MAIN_COLOURS]
    shifting = main[press.shift(bins.lab[main]) >= OUT_OF_GAMUT]
    if not len(shifting):
        return printed, None, 0.0
    at = int(shifting[0])
    (worst,) = assess_colours([hex_of(bins.rgb8[at])], press)
    return printed, worst, float(bins.weight[at])
