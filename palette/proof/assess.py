"""Will it look on paper as it looks on screen? Colours, fills and pictures before printing.

In: colours (CIELAB, D50), the colour bins of a fill, or sRGB pixels; and a ``Press``. Out: shifts
in CIEDE2000, shares 0 to 1 of a fill's area, and pictures of the print.

Grades follow how sure any model can be: under 1.5 nobody sees the change, over 3.5 it is plain, and
between the two a prediction is right only four times in five. ``in_gamut`` is the bare yes or no,
at 3. Both limits are kitloom's choice, common practice, no published source.

Not done here: the sentences about it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

import numpy as np

from palette.arrays import Floats, Floats32, Pixels
from palette.press import AS_SEEN, SHIFT_SCALE, Press, print_cube, shift_cube
from palette.space import de2000, hex_of, hex_to_lab, lab_to_oklab, lab_to_srgb8, to_polar

Grade = Literal["as seen", "borderline", "will shift"]

OUT_OF_GAMUT = 3.0
WILL_SHIFT = 3.5
HUE_DEGREES = 4.0  # in OKLab; of a vivid colour about CIEDE2000 1.5, which is when it is seen


class Bins(Protocol):
    """What a proof needs of a fill's colours: where they are and how much area each takes."""

    @property
    def lab(self) -> Floats:
        """CIELAB (D50), (n, 3)."""

    @property
    def weight(self) -> Floats:
        """Shares of the area, (n,), sum 1."""


@dataclass(frozen=True, slots=True)
class ColourAssessment:
    """What becomes of one colour in print.

    Attributes:
        hex: the colour asked for, sRGB.
        printed_hex: how it will look on paper, sRGB.
        shift_de2000: how far it moves.
        in_gamut: whether it moves by less than 3.
        grade: "as seen" under 1.5, "borderline" up to 3.5, then "will shift".
        nearest_hex: the nearest colour of all that prints as seen.
        nearest_de2000: how far that one lies from the colour asked for.
        same_hue_hex: the nearest that prints as seen and keeps its hue.
        same_hue_de2000: how far that one lies from the colour asked for, which is often farther
            than ``shift_de2000``: the press's own way in may give up hue and keep more chroma.
        print_keeps_hue: whether its own print has its hue, as nearly as anyone sees.
    """

    hex: str
    printed_hex: str
    shift_de2000: float
    in_gamut: bool
    grade: Grade
    nearest_hex: str
    nearest_de2000: float
    same_hue_hex: str
    same_hue_de2000: float
    print_keeps_hue: bool


@dataclass(frozen=True, slots=True)
class FillAssessment:
    """What becomes of a fill in print, over its area.

    Attributes:
        share_out_of_gamut: share of the area, 0 to 1, that moves by 3 or more.
        share_over_6: share of the area that moves by more than 6.
        mean_shift_de2000: the mean shift over the area.
        p95_shift_de2000: the shift that 95 % of the area stays within.
    """

    share_out_of_gamut: float
    share_over_6: float
    mean_shift_de2000: float
    p95_shift_de2000: float


def grade_of(shift_de2000: float) -> Grade:
    """Return the grade of one shift in CIEDE2000."""
    if shift_de2000 < AS_SEEN:
        return "as seen"
    return "will shift" if shift_de2000 > WILL_SHIFT else "borderline"


def assess_colours(colours: Sequence[str] | Floats, press: Press) -> tuple[ColourAssessment, ...]:
    """Assess colours given as "#rrggbb" or as CIELAB (D50), (n, 3).

    Raises:
        PaletteError: a text that is not a colour.
    """
    if len(colours) == 0:
        return ()
    lab = np.array([hex_to_lab(c) if isinstance(c, str) else c for c in colours], dtype=np.float64)
    shown = [hex_of(c) for c in lab_to_srgb8(lab)]
    there = press.to_print(lab)
    printed = [hex_of(c) for c in lab_to_srgb8(there)]
    shifts = [float(s) for s in press.shift(lab)]
    nearest = _with_distance(lab, press.nearest(lab))
    of_hue = _with_distance(lab, press.nearest_of_hue(lab))
    kept = _keeps_hue(lab, there)
    return tuple(
        ColourAssessment(
            hex=colour,
            printed_hex=printed[i],
            shift_de2000=shifts[i],
            in_gamut=shifts[i] < OUT_OF_GAMUT,
            grade=grade_of(shifts[i]),
            nearest_hex=nearest[i][0],
            nearest_de2000=nearest[i][1],
            same_hue_hex=of_hue[i][0],
            same_hue_de2000=of_hue[i][1],
            print_keeps_hue=kept[i],
        )
        for i, colour in enumerate(shown)
    )


def _with_distance(lab: Floats, near: Floats) -> list[tuple[str, float]]:
    """Return each near colour as "#rrggbb", and how far that lies from the one asked for."""
    shown = [hex_of(c) for c in lab_to_srgb8(near)]
    off = de2000(lab, np.array([hex_to_lab(c) for c in shown]))
    return list(zip(shown, off.tolist(), strict=True))


def _keeps_hue(lab: Floats, printed: Floats) -> list[bool]:
    """Return of each print whether its hue is the one asked for, within ``HUE_DEGREES``."""
    was, now = (to_polar(lab_to_oklab(values)) for values in (lab, printed))
    turn = np.degrees(np.abs((now[:, 2] - was[:, 2] + np.pi) % (2.0 * np.pi) - np.pi))
    kept: list[bool] = (turn < HUE_DEGREES).tolist()
    return kept


def assess_fill(bins: Bins, press: Press, printed: Floats | None = None) -> FillAssessment:
    """Assess a fill from its colour bins.

    Args:
        bins: its colours.
        press: what prints.
        printed: the press's ``to_print`` of the colours, (n, 3), where it was asked before.
    """
    shift = press.shift(bins.lab) if printed is None else de2000(bins.lab, printed)
    order = np.argsort(shift, kind="stable")
    reached = np.cumsum(bins.weight[order])
    at = min(int(np.searchsorted(reached, 0.95 * reached[-1])), len(shift) - 1)
    return FillAssessment(
        share_out_of_gamut=float(bins.weight[shift >= OUT_OF_GAMUT].sum()),
        share_over_6=float(bins.weight[shift > 6.0].sum()),
        mean_shift_de2000=float((shift * bins.weight).sum()),
        p95_shift_de2000=float(shift[order][at]),
    )


def proof_pixels(pixels: Pixels, press: Press) -> Pixels:
    """Return the picture as it will look on paper, sRGB uint8, (height, width, 3).

    Paper white is shown as white. Differs from colour-by-colour ``to_print`` by about 0.3 in
    CIEDE2000, since it interpolates in a cube of 33 steps a side.
    """
    return print_cube(press).apply(pixels)


def shift_map(pixels: Pixels, press: Press) -> Floats32:
    """Return how far each pixel moves in CIEDE2000, (height, width), to a tenth, 25 at most."""
    return shift_cube(press).apply(pixels)[..., 0].astype(np.float32) / np.float32(SHIFT_SCALE)
