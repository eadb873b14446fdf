"""The files of a kit, and of its trial.

In: a kit that was composed (``kitloom.kits``). Out: the bytes of each file. Not done here: putting
them in place (``kitloom.disk``).
"""

from kitloom.make.outputs import kit_files
from kitloom.make.shared_work import SharedWork
from kitloom.make.summary import summary_of
from kitloom.make.trial import (
    box_line,
    cut_lines,
    habit_from,
    left_out,
    registration_line,
    strip_of,
    trial_files,
)

__all__ = [
    "SharedWork",
    "box_line",
    "cut_lines",
    "habit_from",
    "kit_files",
    "left_out",
    "registration_line",
    "strip_of",
    "summary_of",
    "trial_files",
]
