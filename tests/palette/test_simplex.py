"""Between the nodes of a profile's table everything is read as colour programs read it."""

from __future__ import annotations

import numpy as np
from scipy.interpolate import LinearNDInterpolator

from palette.press.simplex import corners

RANDOM = np.random.default_rng(7)
SIDE = 4
STEPS = np.linspace(0.0, 1.0, SIDE)
NODES = np.stack(np.meshgrid(STEPS, STEPS, STEPS, indexing="ij"), axis=-1)


def test_it_is_linear_between_the_corners_of_a_tetrahedron() -> None:
    """Against scipy's own barycentric interpolation in the six tetrahedra about the diagonal.

    Otherwise a profile would be made for numbers that no program reads out of it.
    """
    table = RANDOM.random((SIDE, SIDE, SIDE, 2))
    cell = np.array([1, 2, 0])
    for order in ([0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]):
        steps = np.vstack([np.zeros(3, int), np.cumsum(np.eye(3, dtype=int)[order], axis=0)])
        at = tuple((cell + steps).T)
        inside = RANDOM.dirichlet(np.ones(4), 20) @ NODES[at]
        theirs = LinearNDInterpolator(NODES[at], table[at])(inside)
        assert np.allclose(corners(inside, SIDE).read(table), theirs)


def test_slopes_are_those_of_what_is_read_and_beyond_the_ends_nothing_changes() -> None:
    rises = np.array([[2.0, -1.0, 0.5], [0.0, 3.0, 1.0]])
    table = NODES @ rises.T
    places = RANDOM.random((50, 3))
    assert np.allclose(corners(places, SIDE).read(table), places @ rises.T)
    assert np.allclose(corners(places, SIDE).slopes(table), rises)
    ends = np.array([[-0.2, 0.5, 1.3], [0.0, 0.5, 1.0]])
    assert np.allclose(*corners(ends, SIDE).read(table))
