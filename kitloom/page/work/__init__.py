"""What takes long: previews of mended, repaired and recoloured tiles, and making the files.

In: the bench, and which tile becomes what. Out: jobs with their progress, which can be stopped; a
stopped one has changed nothing.

Not done here: how tiles are mended or recoloured (``patterns``, ``palette``), how a kit is made
(``kitloom.make``), and how workers are run (``kitloom.jobs``).
"""

from kitloom.page.work.chores import Chores
from kitloom.page.work.maker import Maker, earlier_files
from kitloom.page.work.remakes import (
    REMAKES,
    plan_mend,
    plan_recolour,
    plan_redress,
    plan_repair,
    press_of,
    wearing,
)
from kitloom.page.work.tries import Tries

__all__ = [
    "REMAKES",
    "Chores",
    "Maker",
    "Tries",
    "earlier_files",
    "plan_mend",
    "plan_recolour",
    "plan_redress",
    "plan_repair",
    "press_of",
    "wearing",
]
