"""A set of coordinates for some artwork: which kinds, in which colours, at which size.

In: a palette, the press, how large the artwork's motifs stand, and those that can be lifted. Out:
``Proposal``s, and their files: seamless pictures and the lines that a recipe draws them by. Not
done here: drawing (``patterns.coordinates``).
"""

from kitloom.coordinates.artwork_scale import (
    artwork_spacing_mm,
    middle_spacing_mm,
    motif_spacing_mm,
)
from kitloom.coordinates.files import LINES_NAME, coordinate_files, table_lines
from kitloom.coordinates.proposals import Proposal, propose
from kitloom.coordinates.tile_motifs import TileMotif, tile_motifs

__all__ = [
    "LINES_NAME",
    "Proposal",
    "TileMotif",
    "artwork_spacing_mm",
    "coordinate_files",
    "middle_spacing_mm",
    "motif_spacing_mm",
    "propose",
    "table_lines",
    "tile_motifs",
]
