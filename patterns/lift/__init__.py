"""Whole motifs taken out of a tile, free of its ground.

In: one tile's pixels and how it repeats. Out: a ``Lift``: each motif once, with the colours and the
transparency of its own, the largest and most unlike first; or why there is none. Not done here:
what size they get on paper, the cut round them (``kit.drawings``).
"""

from patterns.lift.ground import Ground, find_ground
from patterns.lift.lifting import Lift, Motif, lift_motifs

__all__ = [
    "Ground",
    "Lift",
    "Motif",
    "find_ground",
    "lift_motifs",
]
