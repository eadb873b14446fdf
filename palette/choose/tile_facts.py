"""What does a palette make of each tile: is its ground in it, and is the tile unlike all others?

In: bins and bodies of tiles, and the colours of a palette. Out: for each tile its ``Ground``, and
the few tiles whose colours lie far from those of all others (``ApartTile``).

Source: none. A ground is the densest colour of a tile; held means within CIEDE2000 5, which is
plain to see side by side and no more; far means 20, which nobody takes for one another.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.arrays import Floats, Mask
from palette.choose.belong import NEAR_DE2000
from palette.choose.bodies import RELATIVE_DE2000
from palette.choose.histogram import ColourBins
from palette.choose.joining import Bodies
from palette.choose.kmeans import squared_distances
from palette.choose.swatch import ApartTile, Ground
from palette.space import de2000, hex_of, lab_to_srgb8

CORE_DE76 = 6.0
FAR_DE2000 = 20.0
APART_SHARE = 0.5  # of a tile's area
LEAST_TILES = 4  # of fewer, each may be the odd one
MOST_APART = 1 / 6  # of the tiles: where more are unlike the rest, the set is a mixed one
_OWN_SHARE = 0.05  # of the tile: of such colours it has two or more, or it is just another hue
_OTHERS_SHARE = 0.005  # of some other tile: less is a stray tone


def dense_core(lab: Floats, body: Floats) -> Mask:
    """Say which colours, (n, 3) CIELAB, lie around the densest place that is as heavy as any."""
    heavy = np.argsort(-body, kind="stable")[:48]
    near = squared_distances(lab, lab[heavy]) < CORE_DE76**2
    peak = heavy[int((body @ near).argmax())]
    core: Mask = ((lab - lab[peak]) ** 2).sum(axis=1) < CORE_DE76**2
    return core


def ground_lab(tile: ColourBins) -> Floats:
    """Return the colour that covers most of a tile, (3,) CIELAB (D50)."""
    body = tile.body
    core = dense_core(tile.lab, body)
    mean: Floats = body[core] @ tile.lab[core] / body[core].sum()
    return mean


def grounds_of(
    tiles: Sequence[ColourBins], names: Sequence[str], labs: Floats, left_out: Floats
) -> tuple[Ground, ...]:
    """Return each tile's ground, by name, and how far the palette's nearest colour is from it.

    Args:
        tiles: bins of each.
        names: what each is called.
        labs: (k, 3) CIELAB (D50) of the palette.
        left_out: (m, 3) colours that somebody left out: a ground like these is not missed.
    """
    own = np.array([ground_lab(tile) for tile in tiles])
    table = de2000(own[:, None], labs[None])
    wanted = np.ones(len(own), dtype=np.bool_)
    if len(left_out):
        wanted = de2000(own[:, None], left_out[None]).min(axis=1) >= RELATIVE_DE2000
    found = []
    for name, tile, lab, far, asked in zip(names, tiles, own, table, wanted, strict=True):
        if asked:
            like = de2000(tile.lab, lab) < NEAR_DE2000
            share = float(tile.body[like].sum())
            nearest = int(far.argmin())
            colour = hex_of(lab_to_srgb8(lab))
            found.append(Ground(name, colour, share, nearest, float(far[nearest])))
    return tuple(sorted(found, key=lambda one: one.tile))


def tiles_apart(every: Bodies, names: Sequence[str]) -> tuple[ApartTile, ...]:
    """Return the tiles whose colours lie far from those of all others; none in a mixed set.

    Args:
        every: the colours of all tiles.
        names: what each tile is called, in the order of the bodies' shares.
    """
    if len(names) < LEAST_TILES:
        return ()
    found = []
    for column, name in enumerate(names):
        own = every.shares[:, column]
        others = np.delete(every.shares, column, axis=1).max(axis=1) >= _OTHERS_SHARE
        far = de2000(every.lab[:, None], every.lab[others][None]).min(axis=1, initial=np.inf)
        foreign = np.where(far >= FAR_DE2000, own, 0.0)
        several = np.count_nonzero(foreign >= _OWN_SHARE) > 1
        if several and foreign.sum() >= APART_SHARE * own.sum():
            order = np.argsort(-foreign, kind="stable")[: np.count_nonzero(foreign)]
            colours = tuple(hex_of(rgb8) for rgb8 in lab_to_srgb8(every.lab[order]))
            found.append(ApartTile(name, float(foreign.sum() / own.sum()), colours))
    return tuple(found) if len(found) <= max(1.0, MOST_APART * len(names)) else ()
