"""A tile as a plane without end, in millimetres, and its pixels in linear light.

In: pixels, a repeat in millimetres and a lattice. Out: exact samples of any window at any
resolution, enlarged and rescaled tiles. Not done here: finding the repeat (``patterns.repeats``).
"""

from patterns.plane.enlargement import cubic_weights, enlarge
from patterns.plane.lattice import HALF_BRICK, HALF_DROP, LATTICES, STRAIGHT, Lattice, parse_lattice
from patterns.plane.linear_light import to_srgb8
from patterns.plane.periodic import Plane
from patterns.plane.reduction import reduce_blocks, reduce_by, reduce_in_bands, reduce_to
from patterns.plane.resample import Axis
from patterns.plane.rescaling import rescale
from patterns.plane.spill import release_memory, spill_to_disk

__all__ = [
    "HALF_BRICK",
    "HALF_DROP",
    "LATTICES",
    "STRAIGHT",
    "Axis",
    "Lattice",
    "Plane",
    "cubic_weights",
    "enlarge",
    "parse_lattice",
    "reduce_blocks",
    "reduce_by",
    "reduce_in_bands",
    "reduce_to",
    "release_memory",
    "rescale",
    "spill_to_disk",
    "to_srgb8",
]
