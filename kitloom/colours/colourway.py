"""Tiles in another palette: each re-dressed, and its joins checked again.

In: tiles as files, the palette to wear, and the maker's own pairs. Out: a ``Colourway`` a tile.
Equal colours stay equal, so a tile's joins should stay as good as they were; that is measured, not
taken for granted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from palette.arrays import Pixels
from palette.choose import Pair, Palette, bins_of, choose, match_palettes, recolour
from palette.space import hex_to_lab
from patterns.artwork import open_artwork
from patterns.repeats import find_lattice
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
    source = choose({path.stem: bins_of(artwork.pixels)}, "auto", [old for old, _ in own])
    chosen = dict(own)
    pairs: list[Pair] = []
    for swatch, (old, new) in zip(source.swatches, match_palettes(source, wear), strict=True):
        pairs.append((old, hex_to_lab(chosen[swatch.hex]) if swatch.hex in chosen else new))
    pixels = recolour(artwork.pixels, pairs)
    lattice = find_lattice(artwork.pixels)
    return Colourway(
        path,
        pixels,
        check_seams(artwork.pixels, lattice, lossy=artwork.lossy),
        check_seams(pixels, lattice, lossy=artwork.lossy),
    )
