"""Tiles in another palette: each re-dressed, and its joins checked again.

In: tiles as files, the palette to wear, and the maker's own pairs. Out: a ``Colourway`` a tile.
Equal colours stay equal, so a tile's joins should stay as good as they were; that is measured, not
taken for granted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

import numpy as np

from palette.arrays import Pixels
from palette.choose import (
    ColourBins,
    Pair,
    Palette,
    bins_of,
    choose,
    match_palettes,
    recolour,
)
from palette.space import hex_of, parse_hex
from patterns.artwork import open_artwork
from patterns.repeats import check_as
from patterns.seams import SeamCheck, check_seams


@dataclass(frozen=True)
class Colourway:
    """One tile in other colours.

    Attributes:
        path: the original.
        pixels: the tile re-dressed.
        before: the original's joins.
        after: the new tile's joins.
    """

    path: Path
    pixels: Pixels
    before: SeamCheck
    after: SeamCheck

    @property
    def joins_kept(self) -> bool:
        """Whether its joins are as good as they were."""
        return joins_kept(self.before, self.after)


def joins_kept(before: SeamCheck, after: SeamCheck) -> bool:
    """Say whether joins are as good as before: seamless ones still are, and none became a seam.

    A join that cannot be decided lies between the two.
    """
    return _SOUND[after.seamless] >= _SOUND[before.seamless]


_SOUND = MappingProxyType({False: 0, None: 1, True: 2})


def plan_colourway(
    tile: ColourBins, wear: Palette, own: Sequence[tuple[str, str]] = ()
) -> tuple[Pair, ...]:
    """Return what each of a tile's colours becomes: the one mapping, for pictures and for words.

    Args:
        tile: its bins.
        wear: the palette to wear.
        own: the maker's own pairs of hex colours, old and new.
    """
    source = choose({"tile": tile}, "auto", [old for old, _ in own])
    return match_palettes(source, wear, own)


def becomes(colour: str, pairs: Sequence[Pair]) -> str:
    """Return what a colour "#rrggbb" becomes where a tile is recoloured by these pairs."""
    pixel = np.array([[parse_hex(colour)]], dtype=np.uint8)
    return hex_of(recolour(pixel, pairs)[0, 0])


def recolour_tile(path: Path, wear: Palette, own: Sequence[tuple[str, str]]) -> Colourway:
    """Return a tile in the colours of a palette.

    Args:
        path: the tile's file.
        wear: the palette to wear.
        own: the maker's own pairs of hex colours, old and new; they win over what is matched.

    Raises:
        ArtworkError: the file cannot be used.
    """
    artwork = open_artwork(path)
    pixels = recolour(artwork.pixels, plan_colourway(bins_of(artwork.pixels), wear, own))
    lattice, before = check_as(artwork.pixels, "auto", lossy=artwork.lossy)
    return Colourway(path, pixels, before, check_seams(pixels, lattice, lossy=artwork.lossy))
