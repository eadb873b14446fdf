"""Change a tile so that nobody sees where it meets itself.

In: a tile and its check. Out: the mended tile, each step that was taken, and whether it passes. Not
done here: the verdict itself (``patterns.seams``), or inventing artwork that is in no file.
"""

from patterns.mend.axis import AxisName, MendStep, orient, stagger_px
from patterns.mend.before_after import before_after_picture
from patterns.mend.tile import MendResult, mend

__all__ = [
    "AxisName",
    "MendResult",
    "MendStep",
    "before_after_picture",
    "mend",
    "orient",
    "stagger_px",
]
