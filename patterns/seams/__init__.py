"""When this tile repeats, will anybody see where it meets itself?

In: a tile's pixels and its lattice. Out: a ``SeamCheck``: for each axis a verdict, its score, and
faults with kind and place; and a picture of them. Not done here: mending (``patterns.mend``).
"""

from patterns.seams.check import check_seams
from patterns.seams.illustration import seam_picture
from patterns.seams.values import AxisCheck, Fault, SeamCheck

__all__ = [
    "AxisCheck",
    "Fault",
    "SeamCheck",
    "check_seams",
    "seam_picture",
]
