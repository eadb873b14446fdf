"""What is cut on a sheet, in which order, and from where.

In: a ``Sheet``. Out: a ``CutPlan`` that every cut file draws. Not done here: the formats
(``kit.writers``).
"""

from kit.cut.paths import CUT_CLASSES, CutClass, CutPath, CutPlan, cut_plan

__all__ = [
    "CUT_CLASSES",
    "CutClass",
    "CutPath",
    "CutPlan",
    "cut_plan",
]
