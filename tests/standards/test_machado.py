"""Simulated colour vision deficiency against two general-purpose libraries.

Source of the matrices: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based
Model for Simulation of Color Vision Deficiency", IEEE Transactions on Visualization and Computer
Graphics 15(6), 2009, 1291-1298, the authors' table for severity 1.0. Both libraries carry them
independently; results are clipped to sRGB before comparing, to one code of 255.
"""

from __future__ import annotations

import numpy as np
import pytest

from palette.pairs.cvd import MATRICES, Sight, simulate
from palette.space import hex_of, parse_hex

_NAMES = {
    Sight.PROTAN: "Protanomaly",
    Sight.DEUTAN: "Deuteranomaly",
    Sight.TRITAN: "Tritanomaly",
}


@pytest.mark.slow
@pytest.mark.parametrize("sight", list(Sight))
def test_matrix_of_colour_science(sight: Sight) -> None:
    from colour.blindness import CVD_MATRICES_MACHADO2010

    theirs = np.array(CVD_MATRICES_MACHADO2010[_NAMES[sight]][1.0])
    assert np.abs(theirs - np.array(MATRICES[sight])).max() < 1e-6


@pytest.mark.parametrize("sight", list(Sight))
def test_colours_of_coloraide(sight: Sight) -> None:
    from coloraide import Color

    rgb8 = np.random.default_rng(2).integers(0, 256, (150, 3)).astype(np.uint8)
    filtered = [
        Color("srgb", list(c / 255.0)).filter(sight.value, 1, method="machado") for c in rgb8
    ]
    theirs = [np.clip(colour.convert("srgb").coords(), 0, 1) * 255.0 for colour in filtered]
    assert np.abs(simulate(rgb8, sight) - np.array(theirs)).max() <= 1.0


@pytest.mark.parametrize(
    ("sight", "seen"),
    [(Sight.PROTAN, "#615728"), (Sight.DEUTAN, "#827525"), (Sight.TRITAN, "#d30137")],
)
def test_worked_colour(sight: Sight, seen: str) -> None:
    """A brick red, worked with both libraries above."""
    assert hex_of(simulate(parse_hex("#c0392b"), sight)) == seen
