"""The border of an area on a grid, followed between the grid's points (marching squares).

In: a field, positive inside, that is negative all along the grid's edge. Out: closed rings of
(x, y) in cells, where linear interpolation along the grid's lines passes zero. Saddles are cut so
that areas touching only at a corner stay apart.
"""

from __future__ import annotations

import numpy as np

from kit.shapes.rings import signed_area
from palette.arrays import Floats, Mask

Edge = tuple[int, int, int]  # row and column of a grid point, and 0 for the edge right, 1 for down

# corners of a cell: 1 top left, 2 top right, 4 bottom right, 8 bottom left; its edges: top, right,
# bottom, left. Each line leads from one edge to another with the inside on its left as seen.
_TOP, _RIGHT, _BOTTOM, _LEFT = (0, 0, 0), (0, 1, 1), (1, 0, 0), (0, 0, 1)
_LINES = {
    1: ((_LEFT, _TOP),),
    2: ((_TOP, _RIGHT),),
    3: ((_LEFT, _RIGHT),),
    4: ((_RIGHT, _BOTTOM),),
    5: ((_LEFT, _TOP), (_RIGHT, _BOTTOM)),
    6: ((_TOP, _BOTTOM),),
    7: ((_LEFT, _BOTTOM),),
    8: ((_BOTTOM, _LEFT),),
    9: ((_BOTTOM, _TOP),),
    10: ((_TOP, _RIGHT), (_BOTTOM, _LEFT)),
    11: ((_BOTTOM, _RIGHT),),
    12: ((_RIGHT, _LEFT),),
    13: ((_RIGHT, _TOP),),
    14: ((_TOP, _LEFT),),
}


def outer_ring(field: Floats) -> Floats:
    """Return the ring that encloses most, shape (n, 2), x and y in cells.

    Of one piece that is its outside, however long the rings of its holes are.

    Raises:
        ValueError: nothing is inside.
    """
    loops = rings(field)
    if not loops:
        raise ValueError("nothing is inside")
    return max(loops, key=lambda ring: abs(signed_area(ring)))


def rings(field: Floats) -> list[Floats]:
    """Return every ring, outer ones anticlockwise as seen (y down), holes clockwise."""
    onward = _onward(field > 0.0)
    loops: list[Floats] = []
    while onward:
        edge = first = next(iter(onward))
        chain: list[Edge] = []
        while edge in onward:
            chain.append(edge)
            edge = onward.pop(edge)
        if edge == first:
            loops.append(_points(field, chain))
    return loops


def _onward(inside: Mask) -> dict[Edge, Edge]:
    """Return for each crossed edge the one that the border goes on to."""
    cases = inside[:-1, :-1] * 1 + inside[:-1, 1:] * 2 + inside[1:, 1:] * 4 + inside[1:, :-1] * 8
    mixed = np.argwhere((cases > 0) & (cases < 15))
    onward: dict[Edge, Edge] = {}
    for row, col in mixed.tolist():
        for start, end in _LINES[int(cases[row, col])]:
            begin = (row + start[0], col + start[1], start[2])
            onward[begin] = (row + end[0], col + end[1], end[2])
    return onward


def _points(field: Floats, chain: list[Edge]) -> Floats:
    """Return where a chain of edges is crossed."""
    rows, cols, down = np.array(chain).T
    here = field[rows, cols]
    there = field[rows + down, cols + 1 - down]
    share = here / (here - there)
    return np.column_stack([cols + share * (1 - down), rows + share * down])
