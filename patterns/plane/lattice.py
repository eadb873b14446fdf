"""How tiles sit beside each other: straight, half-drop or half-brick, as a table of shifts.

The names are the textile trade's. A lattice is given by the step to the next tile along each
direction, in tiles: to the right the next tile may drop by a share of the height, below it may
slide by a share of the width.
"""

from __future__ import annotations

from dataclasses import dataclass

from patterns.artwork_error import ArtworkError


@dataclass(frozen=True, slots=True)
class Lattice:
    """How a tile repeats.

    Attributes:
        name: the trade's name.
        drop: by what share of its height the next tile to the right sits lower, 0 or 0.5.
        slide: by what share of its width the next tile below sits further right, 0 or 0.5.
    """

    name: str
    drop: float
    slide: float


STRAIGHT = Lattice("straight", 0.0, 0.0)
HALF_DROP = Lattice("half-drop", 0.5, 0.0)
HALF_BRICK = Lattice("half-brick", 0.0, 0.5)
LATTICES = {lattice.name: lattice for lattice in (STRAIGHT, HALF_DROP, HALF_BRICK)}


def parse_lattice(name: str) -> Lattice:
    """Return the lattice of that name.

    Raises:
        ArtworkError: there is no such lattice.
    """
    try:
        return LATTICES[name]
    except KeyError:
        raise ArtworkError(
            f'"{name}" is not a lattice',
            where="lattice",
            remedy=f"Choose from {', '.join(LATTICES)}.",
        ) from None
