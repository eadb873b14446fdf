"""Where do the two sides of a tile meet, and how plainly is that seen?

In: a tile, (height, width, 3) sRGB uint8, and a path from its top to its bottom: its own edges, or
the cut along which it was let into itself. Out: by how much each step over the path exceeds the
steps beside it, CIE76. Not done here: finding the path (``patterns.mend.remedies.boundary_cut``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices, Pixels
from patterns.lab32 import lab32
from patterns.mend.score import excess_de


@dataclass(frozen=True, slots=True)
class Path:
    """Where the two sides of a tile meet.

    Attributes:
        column: (height,) the first column of the side that comes after it, for each row; up to
            ``band_px`` left of the tile's right edge, or that edge.
        band_px: how far from the tile's edges it goes.
    """

    column: Indices
    band_px: int


def step_excess_de(tile: Pixels, path: Path) -> Floats:
    """Return (height,): by how much the step over the path exceeds those beside it, over a run."""
    place = (path.column[:, None] + np.arange(-2, 2)) % tile.shape[1]
    return excess_de(lab32(tile[np.arange(len(tile))[:, None], place]))[:, 0]


def measure_cut_de(tile: Pixels, path: Path) -> float:
    """Return the worst break over a short run of the path, CIE76."""
    return float(step_excess_de(tile, path).max())
