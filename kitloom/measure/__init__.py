"""Everything measured on a kit's tiles, one at a time or many.

In: files. Out: a ``TileStudy`` each, and for a kit a ``UsedPattern``. Not done here: sentences
about them (``kitloom.findings``).
"""

from kitloom.measure.accepted import Look, look_at, mark_of
from kitloom.measure.sizing import suiting_repeat
from kitloom.measure.studies import (
    STRENGTH_STEPS,
    Request,
    TileStudy,
    bins_by_name,
    joins_of,
    kit_study,
    lean_study,
    on_disk,
    round_check,
    strength_codes,
    study,
    study_all,
    unique_names,
)
from kitloom.measure.used import (
    PatternRequest,
    UsedPattern,
    measure_all,
    thin_lines,
    thin_lines_in,
    use_all,
)

__all__ = [
    "STRENGTH_STEPS",
    "Look",
    "PatternRequest",
    "Request",
    "TileStudy",
    "UsedPattern",
    "bins_by_name",
    "joins_of",
    "kit_study",
    "lean_study",
    "look_at",
    "mark_of",
    "measure_all",
    "on_disk",
    "round_check",
    "strength_codes",
    "study",
    "study_all",
    "suiting_repeat",
    "thin_lines",
    "thin_lines_in",
    "unique_names",
    "use_all",
]
