"""Patterns drawn from colours, to go with bought ones: stripes, checks, dots, and their like.

In: a kind, a size in millimetres, colours. Out: a ``Coordinate``, which is sampled as a tile's
plane is, exactly at any resolution. Not done here: which colours and sizes suit some artwork
(``kitloom.coordinates``), motifs taken from it, or what print makes of the colours.
"""

from patterns.coordinates.cells import Cells
from patterns.coordinates.coordinate import AnyPlane, Coordinate, Figure
from patterns.coordinates.kinds import COORDINATE_KINDS, TARTAN, CoordinateKind, draw_figure
from patterns.coordinates.sett import Sett, parse_sett

__all__ = [
    "COORDINATE_KINDS",
    "TARTAN",
    "AnyPlane",
    "Cells",
    "Coordinate",
    "CoordinateKind",
    "Figure",
    "Sett",
    "draw_figure",
    "parse_sett",
]
