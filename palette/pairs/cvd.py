"""Which colours look the same for people who see colours differently?

Inputs: sRGB uint8 colours (n, 3) or a ``Palette``. Outputs: simulated sRGB, and ``LostPair``s that
most people tell apart and these people do not.

Source: Machado, Oliveira, Fernandes, "A physiologically-based model for simulation of color vision
deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009: the
matrices for severity 1; they apply to linear sRGB, and what leaves sRGB is clipped. Milder forms
are not simulated, and for tritan the authors themselves call the model an approximation.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from palette.arrays import Floats, Pixels
from palette.choose import Palette
from palette.space import compand, de2000_table, linear_srgb, parse_hex, srgb_to_lab

TOLD_APART_DE2000 = 10.0  # side by side and small; common practice, no published source
LOST_DE2000 = 5.0


class Sight(StrEnum):
    """Three kinds of colour vision deficiency, by the cones that are missing or shifted."""

    PROTAN = "protan"
    DEUTAN = "deutan"
    TRITAN = "tritan"


MATRICES = {
    Sight.PROTAN: (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    Sight.DEUTAN: (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    Sight.TRITAN: (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


@dataclass(frozen=True)
class LostPair:
    """Two colours that look the same for one kind of sight."""

    a: str
    b: str
    sight: Sight
    de2000: float
    de2000_seen: float


def simulate(rgb8: Pixels, sight: Sight) -> Pixels:
    """Return what colours (..., 3), sRGB uint8, look like without one kind of cone."""
    light = linear_srgb(rgb8) @ np.array(MATRICES[sight], dtype=np.float64).T
    seen: Pixels = np.rint(compand(light) * 255.0).astype(np.uint8)
    return seen


def lost_pairs(palette: Palette) -> tuple[LostPair, ...]:
    """Return the pairs that stand well apart, but not for everybody."""
    hexes = [swatch.hex for swatch in palette.swatches]
    if len(hexes) < 2:
        return ()
    rgb8 = np.stack([parse_hex(text) for text in hexes])
    plain = _table(rgb8)
    result = []
    for sight in Sight:
        seen = _table(simulate(rgb8, sight))
        lost = np.triu((plain >= TOLD_APART_DE2000) & (seen < LOST_DE2000), 1)
        for i, j in np.argwhere(lost):
            pair = (hexes[i], hexes[j], sight, float(plain[i, j]), float(seen[i, j]))
            result.append(LostPair(*pair))
    return tuple(result)


def _table(rgb8: Pixels) -> Floats:
    return de2000_table(srgb_to_lab(rgb8))
