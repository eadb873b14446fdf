"""The files of a kit, and of its trial.

In: a kit that was composed (``kitloom.kits``). Out: the bytes of each file. Not done here: putting
them in place (``kitloom.disk``).
"""

from kitloom.make.beside import Beside, Company
from kitloom.make.early import begin_clustering, begin_imports, take_short_turns
from kitloom.make.memory import keep_for_next_tile, share_one_pool
from kitloom.make.outputs import kit_files
from kitloom.make.sharing import Sharing
from kitloom.make.summary import told_of
from kitloom.make.trial import box_line, left_out, registration_line, registration_of, trial_files

__all__ = [
    "Beside",
    "Company",
    "Sharing",
    "begin_clustering",
    "begin_imports",
    "box_line",
    "keep_for_next_tile",
    "kit_files",
    "left_out",
    "registration_line",
    "registration_of",
    "share_one_pool",
    "take_short_turns",
    "told_of",
    "trial_files",
]
