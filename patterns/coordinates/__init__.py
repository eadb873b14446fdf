"""Patterns drawn from colours, to go with bought ones: stripes, checks, dots, and their like.

In: a kind, a size in millimetres, colours; for an all-over a motif's pixels. Out: a
``Coordinate``, which is sampled as a tile's plane is, exactly at any resolution. Not done here:
which colours and sizes suit some artwork (``kitloom.coordinates``), lifting motifs from it, or what
print makes of the colours.
"""

from patterns.coordinates.all_over import AllOver, all_over
from patterns.coordinates.cells import Cells
from patterns.coordinates.coordinate import AnyPlane, Coordinate, Figure
from patterns.coordinates.kinds import (
    ALL_OVER,
    COORDINATE_KINDS,
    TARTAN,
    TOSSED,
    CoordinateKind,
    check_kind,
    draw_figure,
)
from patterns.coordinates.sett import Sett, parse_sett

__all__ = [
    "ALL_OVER",
    "COORDINATE_KINDS",
    "TARTAN",
    "TOSSED",
    "AllOver",
    "AnyPlane",
    "Cells",
    "Coordinate",
    "CoordinateKind",
    "Figure",
    "Sett",
    "all_over",
    "check_kind",
    "draw_figure",
    "parse_sett",
]
