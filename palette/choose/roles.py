"""What does each colour do in the artwork, and where may it be used on a sticker?

Inputs: CIELAB (D50) colours (n, 3) and their shares of each tile (n, tiles), 0 to 1. Outputs: a
``Role`` each, and a ``Fitness`` each: measured contrasts, and the uses that they allow.

Sources: contrast limits are WCAG 2.2 success criteria 1.4.3 (text 4.5:1, large text 3:1) and 1.4.11
(graphics 3:1), made for screens and used here for paper too. The limits of lightness and chroma
that name the roles are common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from palette.arrays import Floats
from palette.choose.joining import MAIN_SHARE
from palette.choose.swatch import Role
from palette.space import TEXT_RATIO, contrast_with_pens, de2000, hex_of, lab_to_srgb8, ratio

NEUTRAL_CHROMA = 9.0
ACCENT_SHARE = 0.05  # of all the artwork
ACCENT_CHROMA = 30.0
ACCENT_DE2000 = 12.0
DEEP_LIGHTNESS = 42.0
LIGHT_LIGHTNESS = 74.0
PANEL_RATIO = 1.25  # a white panel on it shows its edge; common practice, no published source


class Use(StrEnum):
    """Where a colour may be on a sticker."""

    FULL_FILL = "full fill"  # written on directly: some pen reads on it
    PANEL_FILL = "behind a white panel"  # the panel's edge shows
    CHECKLIST = "checklist"  # its outlines read as graphics on white
    TEXT = "text"  # small lettering in it reads on white


@dataclass(frozen=True)
class Fitness:
    """What one colour is fit for: contrasts (1 to 21) and the uses that they allow."""

    hex: str
    white_ratio: float
    best_pen: str
    best_pen_ratio: float
    uses: tuple[Use, ...]


def roles_for(labs: Floats, shares: Floats) -> tuple[Role, ...]:
    """Return the role of each colour.

    The largest is the ground. Of the rest, a strong colour that has little of all the area, is no
    main colour of any tile and stands out from all others is an accent; no visible hue is neutral;
    else lightness decides.
    """
    if not len(labs):
        return ()
    distance = de2000(labs[:, None], labs[None])
    np.fill_diagonal(distance, np.inf)
    ground = int(np.argmax(shares.mean(axis=1)))
    return tuple(
        Role.GROUND if i == ground else _role(labs[i], shares[i], float(distance[i].min()))
        for i in range(len(labs))
    )


def _role(lab: Floats, shares: Floats, distance_de2000: float) -> Role:
    chroma = float(np.hypot(lab[1], lab[2]))
    small = shares.mean() < ACCENT_SHARE and shares.max() < MAIN_SHARE
    if small and chroma >= ACCENT_CHROMA and distance_de2000 >= ACCENT_DE2000:
        return Role.ACCENT
    if chroma < NEUTRAL_CHROMA:
        return Role.NEUTRAL
    if lab[0] < DEEP_LIGHTNESS:
        return Role.DEEP
    return Role.LIGHT if lab[0] >= LIGHT_LIGHTNESS else Role.MID


def fitness(labs: Floats) -> tuple[Fitness, ...]:
    """Return for each colour, (n, 3) CIELAB (D50), what it may be used for."""
    return tuple(_fitness(hex_of(rgb8)) for rgb8 in lab_to_srgb8(labs))


def _fitness(colour: str) -> Fitness:
    white = ratio(colour, "#ffffff")
    pen, pen_ratio = max(contrast_with_pens(colour).items(), key=lambda item: item[1])
    return Fitness(colour, white, pen, pen_ratio, tuple(_uses(white, pen_ratio)))


def _uses(white_ratio: float, pen_ratio: float) -> Sequence[Use]:
    allowed = {
        Use.FULL_FILL: pen_ratio >= TEXT_RATIO,
        Use.PANEL_FILL: white_ratio >= PANEL_RATIO,
        Use.CHECKLIST: white_ratio >= 3.0,
        Use.TEXT: white_ratio >= TEXT_RATIO,
    }
    return [use for use, fits in allowed.items() if fits]
