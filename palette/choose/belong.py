"""Does this new artwork go with the palette I already have?

Inputs: the ``ColourBins`` of a tile, and the colours of a palette, CIELAB (D50), (k, 3). Output: a
``Belonging``: how much of the area is near some colour of the palette, and the largest colours that
are not. Blur along outlines is left out: every mixture would count as a stranger.

Source: none; near means within CIEDE2000 5, which is plain to see side by side and no more.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices
from palette.choose.bodies import bodies_of
from palette.choose.histogram import ColourBins, pool_bins
from palette.errors import PaletteError
from palette.space import de2000, hex_of, lab_to_srgb8

NEAR_DE2000 = 5.0
_BINS = 6_000
_CHUNK = 64


@dataclass(frozen=True)
class Stranger:
    """A colour of the artwork that the palette lacks.

    Attributes:
        hex: sRGB.
        share: of the tile's area, fringe left out, 0 to 1.
        nearest: place in the palette of the nearest colour.
        de2000: how far away that is.
    """

    hex: str
    share: float
    nearest: int
    de2000: float


@dataclass(frozen=True)
class Belonging:
    """How well one tile goes with a palette.

    Attributes:
        share_near: share of the area, 0 to 1, within CIEDE2000 5 of some colour of the palette.
        mean_de2000: mean distance of the area to the nearest colour.
        used: for each colour of the palette the share of the area that is near it.
        strangers: colours that are not near, largest first.
    """

    share_near: float
    mean_de2000: float
    used: tuple[float, ...]
    strangers: tuple[Stranger, ...]


def belonging(tile: ColourBins, palette_labs: Floats) -> Belonging:
    """Measure how well a tile goes with a palette.

    Args:
        tile: its bins.
        palette_labs: (k, 3) CIELAB (D50), at least one.

    Raises:
        PaletteError: the palette is empty.
    """
    if not len(palette_labs):
        raise PaletteError(
            "there are no colours to compare with", where="palette", remedy="Give at least one."
        )
    bins = pool_bins([tile], _BINS)
    nearest, distance = _nearest(bins.lab, palette_labs)
    near = distance < NEAR_DE2000
    used = np.bincount(nearest[near], weights=bins.body[near], minlength=len(palette_labs))
    return Belonging(
        share_near=float(bins.body[near].sum()),
        mean_de2000=float(bins.body @ distance),
        used=tuple(used.tolist()),
        strangers=_strangers(tile, palette_labs),
    )


def _nearest(labs: Floats, palette_labs: Floats) -> tuple[Indices, Floats]:
    """Return each colour's nearest place in the palette and how far off it is."""
    parts = [
        de2000(labs[:, None], palette_labs[None, at : at + _CHUNK])
        for at in range(0, len(palette_labs), _CHUNK)
    ]
    table = np.concatenate(parts, axis=1)
    return table.argmin(axis=1), table.min(axis=1)


def _strangers(tile: ColourBins, palette_labs: Floats) -> tuple[Stranger, ...]:
    bodies = bodies_of([tile], np.zeros((0, 3)))
    nearest, distance = _nearest(bodies.lab, palette_labs)
    result = [
        Stranger(
            hex_of(lab_to_srgb8(bodies.lab[i])),
            float(bodies.shares[i, 0]),
            int(nearest[i]),
            float(distance[i]),
        )
        for i in np.flatnonzero(distance >= NEAR_DE2000)
    ]
    return tuple(sorted(result, key=lambda one: (-one.share, one.hex)))
