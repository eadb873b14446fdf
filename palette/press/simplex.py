"""What stands between the nodes of a cube of colours, as colour management programs read it.

A cube cell is cut into six tetrahedra about its diagonal, and between a tetrahedron's corners
everything is linear: so LittleCMS and most others read a profile's tables. Places are (m, 3), 0 to
1 along each axis, a table is (n, n, n, channels).

Source: tetrahedral interpolation, Sakamoto and Itooka, US patent 4,275,413 (1981, lapsed); Kang,
"Color Technology for Electronic Imaging Devices", 1997, chapter 4.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices


@dataclass(frozen=True, slots=True, eq=False)
class Corners:
    """The tetrahedra that places lie in.

    Attributes:
        nodes: (m, 4) of the flat table, from the cell's lowest corner to its highest.
        shares: (m, 4) of each, summing to 1.
        axes: (m, 3) the axis along which each corner leads to the next.
    """

    nodes: Indices
    shares: Floats
    axes: Indices

    def read(self, table: Floats) -> Floats:
        """Return the (m, channels) values of a table."""
        flat = table.reshape(-1, table.shape[-1])
        values: Floats = np.einsum("mk,mkc->mc", self.shares, flat[self.nodes])
        return values

    def slopes(self, table: Floats) -> Floats:
        """Return how the values rise along each axis, (m, channels, 3), over its whole length."""
        flat = table.reshape(-1, table.shape[-1])
        rises = np.diff(flat[self.nodes], axis=1) * (len(table) - 1)
        slopes = np.empty_like(rises)
        np.put_along_axis(slopes, self.axes[:, :, None], rises, axis=1)
        return slopes.transpose(0, 2, 1)


def corners(places: Floats, side: int) -> Corners:
    """Return the tetrahedra of a cube of ``side`` nodes an axis that (m, 3) places lie in."""
    at = np.clip(places, 0.0, 1.0) * (side - 1)
    cell = np.minimum(at.astype(np.intp), side - 2)
    share = at - cell
    axes = np.argsort(-share, axis=1, kind="stable")
    falling = np.take_along_axis(share, axes, axis=1)
    strides = np.array([side * side, side, 1])
    nodes = np.empty((len(at), 4), dtype=np.intp)
    nodes[:, 0] = cell @ strides
    nodes[:, 1:] = nodes[:, :1] + np.cumsum(strides[axes], axis=1)
    ends = np.ones((len(at), 1)), np.zeros((len(at), 1))
    shares = -np.diff(np.concatenate([ends[0], falling, ends[1]], axis=1), axis=1)
    return Corners(nodes, shares, axes)
