"""How far does a pixel lie from the nearest one outside a mask, as long as that is near?

In: a mask, and how far anybody looks. Out: Euclidean distances in pixels, exact up to there. A
motif's edge is a few pixels wide, so a transform of the whole area would find out far more than is
asked. First the nearest in each column, then the least over the columns about it (Saito and
Toriwaki, "New algorithms for Euclidean distance transformation", Pattern Recognition 27, 1994).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Mask

SMALL = 150  # pixels: up to here two squares fit into 16 bits


def distance_up_to(inside: Mask, most: int) -> Floats:
    """Return how far each pixel of a mask lies from the nearest one outside it; 0 outside.

    Args:
        inside: (rows, columns) bool; nothing beyond its edges counts as outside.
        most: pixels, at least 1; what is farther off has some number above it.
    """
    number = np.uint16 if most <= SMALL else np.uint32
    column = np.where(inside, number((most + 1) ** 2), number(0))
    nearest = column.copy()
    for step in range(1, most + 1):
        square = number(step * step)
        np.minimum(nearest[step:], column[:-step] + square, out=nearest[step:])
        np.minimum(nearest[:-step], column[step:] + square, out=nearest[:-step])
    squares = nearest.copy()
    for step in range(1, most + 1):
        square = number(step * step)
        np.minimum(squares[:, step:], nearest[:, :-step] + square, out=squares[:, step:])
        np.minimum(squares[:, :-step], nearest[:, step:] + square, out=squares[:, :-step])
    distances: Floats = np.sqrt(squares.astype(np.float64))
    return distances
