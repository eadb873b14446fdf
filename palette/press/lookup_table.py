"""How does a printer's driver get from a colour to print? By a coarse table, not a formula.

Every printer profile holds its answers at the nodes of a grid in CIELAB and interpolates between
them. That rounds the edge of the gamut: near it a colour lies between a node that was moved and one
that was not, and so moves a little too. A press that ignores this promises its most vivid colours
too much; and a rounded edge keeps gradients smooth.

``LabTable`` is such a grid with 17 nodes an axis, the usual number in small profiles (33 in large
ones): L* from the press's black to 100, a* and b* -128 to 128, so that white, black and the greys
fall on nodes or on the straight lines between them and stay where they are.

Source: lut16Type, ICC.1:2022, 10.10; the number of nodes is common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from palette.arrays import Floats

NODES = 17


class LabTable:
    """Answers at the nodes of a CIELAB (D50) grid, with trilinear interpolation between them."""

    def __init__(self, black_l: float, answer: Callable[[Floats], Floats]) -> None:
        """Ask for the answers, (n, 3) Lab to (n, 3), at all nodes from L* ``black_l`` up."""
        self._origin = np.array([black_l, -128.0, -128.0])
        self._spacing = np.array([100.0 - black_l, 256.0, 256.0]) / (NODES - 1)
        light = np.linspace(black_l, 100.0, NODES)
        opponent = np.linspace(-128.0, 128.0, NODES)
        nodes = np.stack(np.meshgrid(light, opponent, opponent, indexing="ij"), axis=-1)
        self._answers = answer(nodes.reshape(-1, 3)).reshape(NODES, NODES, NODES, 3)
        self._answers.setflags(write=False)

    def look_up(self, lab: Floats) -> Floats:
        """Return the answers for (n, 3) Lab; colours beyond the grid take its edge's."""
        from scipy.ndimage import map_coordinates

        at = ((lab - self._origin) / self._spacing).T
        columns = [
            map_coordinates(self._answers[..., i], at, order=1, mode="nearest") for i in range(3)
        ]
        return np.stack(columns, axis=-1)
