"""Which colours of a palette can be told apart, on screen and on paper, and what can be read?

Inputs: a ``Palette``, hex colours, and a press where there is one. Outputs: ``Pair``s with their
difference in CIEDE2000, and contrast ratios from 1 to 21.

Source: WCAG 2.2, definitions of relative luminance and contrast ratio. Its text has the threshold
0.04045 since 2021 and 0.03928 before; with 8 bits a channel no value lies between the two. The
pens' colours are from memory of common inks, no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.difference import de2000_table
from palette.lab import hex_to_lab, linear_srgb, parse_hex
from palette.swatch import Palette

if TYPE_CHECKING:
    from palette.press import Press

Floats = NDArray[np.float64]

TEXT_RATIO = 4.5
PENS = MappingProxyType(
    {"black pen": "#1a1a1a", "blue-black pen": "#1f2a44", "grey pencil": "#5a5a5a"}
)


@dataclass(frozen=True)
class Pair:
    """Two colours and how far apart they look, on screen and, with a press, once printed."""

    a: str
    b: str
    de2000: float
    de2000_printed: float | None


def pairs(palette: Palette, press: Press | None = None) -> tuple[Pair, ...]:
    """Return every pair of the palette's colours, in the palette's order.

    Args:
        palette: any number of colours.
        press: what prints; without one ``de2000_printed`` is None.
    """
    return _pairs([swatch.hex for swatch in palette.swatches], palette.labs, press)


def colour_pairs(colours: Sequence[str], press: Press) -> tuple[Pair, ...]:
    """Return every pair of "#rrggbb" colours, each colour once, in their order.

    Raises:
        PaletteError: a text is no colour.
    """
    hexes = list(dict.fromkeys(colours))
    if len(hexes) < 2:
        return ()
    return _pairs(hexes, np.stack([hex_to_lab(colour) for colour in hexes]), press)


def _pairs(hexes: Sequence[str], lab: Floats, press: Press | None) -> tuple[Pair, ...]:
    screen = de2000_table(lab)
    printed = None if press is None else de2000_table(press.to_print(lab))
    return tuple(
        Pair(
            hexes[i],
            hexes[j],
            float(screen[i, j]),
            None if printed is None else float(printed[i, j]),
        )
        for i in range(len(hexes))
        for j in range(i + 1, len(hexes))
    )


def luminance(colour: str) -> float:
    """Return the relative luminance, 0 to 1, of "#rrggbb".

    Raises:
        PaletteError: the text is no colour.
    """
    return float(linear_srgb(parse_hex(colour)) @ np.array([0.2126, 0.7152, 0.0722]))


def ratio(a: str, b: str) -> float:
    """Return the contrast ratio, 1 to 21, of two colours "#rrggbb", in either order.

    Raises:
        PaletteError: a text is no colour.
    """
    darker, lighter = sorted((luminance(a), luminance(b)))
    return (lighter + 0.05) / (darker + 0.05)


def contrast_with_pens(fill: str) -> dict[str, float]:
    """Return for each common pen its contrast ratio on a fill "#rrggbb"."""
    return {pen: ratio(ink, fill) for pen, ink in PENS.items()}
