"""Can this be read on that? Contrast ratios from 1 to 21, and what common pens reach.

In: colours "#rrggbb". Source: WCAG 2.2, definitions of relative luminance and contrast ratio. Its
text has the threshold 0.04045 since 2021 and 0.03928 before; with 8 bits a channel no value lies
between the two. The pens' colours are from memory of common inks, no published source.
"""

from __future__ import annotations

from types import MappingProxyType

import numpy as np

from palette.space.lab import linear_srgb, parse_hex

TEXT_RATIO = 4.5
PENS = MappingProxyType(
    {"black pen": "#1a1a1a", "blue-black pen": "#1f2a44", "grey pencil": "#5a5a5a"}
)


def luminance(colour: str) -> float:
    """Return the relative luminance, 0 to 1, of "#rrggbb".

    Raises:
        PaletteError: the text is not a colour.
    """
    return float(linear_srgb(parse_hex(colour)) @ np.array([0.2126, 0.7152, 0.0722]))


def ratio(a: str, b: str) -> float:
    """Return the contrast ratio, 1 to 21, of two colours "#rrggbb", in either order.

    Raises:
        PaletteError: a text is not a colour.
    """
    darker, lighter = sorted((luminance(a), luminance(b)))
    return (lighter + 0.05) / (darker + 0.05)


def contrast_with_pens(fill: str) -> dict[str, float]:
    """Return for each common pen its contrast ratio on a fill "#rrggbb"."""
    return {pen: ratio(ink, fill) for pen, ink in PENS.items()}
