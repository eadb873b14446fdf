"""Which colours of a palette can be told apart, on screen and on paper, and what can be read?

In: a ``Palette``, hex colours, and a press where there is one. Out: ``Pair``s with their difference
in CIEDE2000: on screen, and as both lie on the paper, where black is no deeper than it prints.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats
from palette.choose import Palette
from palette.press import Press, on_paper
from palette.space import de2000_table, hex_to_lab


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
        PaletteError: a text is not a colour.
    """
    hexes = list(dict.fromkeys(colours))
    if len(hexes) < 2:
        return ()
    return _pairs(hexes, np.stack([hex_to_lab(colour) for colour in hexes]), press)


def _pairs(hexes: Sequence[str], lab: Floats, press: Press | None) -> tuple[Pair, ...]:
    screen = de2000_table(lab)
    printed = None if press is None else de2000_table(on_paper(press, lab))
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
