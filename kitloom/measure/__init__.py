"""Everything measured on a kit's tiles, one at a time or many.

In: files. Out: a ``TileStudy`` each, and for a kit a ``UsedPattern``. Not done here: sentences
about them (``kitloom.findings``).
"""

from kitloom.measure.accepted import looked_at, mark_of
from kitloom.measure.studies import (
    STRENGTH_STEPS,
    Request,
    TileStudy,
    bins_by_name,
    lean_study,
    rounded,
    strength_codes,
    study,
    study_all,
    unique_names,
)
from kitloom.measure.used import UsedPattern, Wanted, measure

__all__ = [
    "STRENGTH_STEPS",
    "Request",
    "TileStudy",
    "UsedPattern",
    "Wanted",
    "bins_by_name",
    "lean_study",
    "looked_at",
    "mark_of",
    "measure",
    "rounded",
    "strength_codes",
    "study",
    "study_all",
    "unique_names",
]
