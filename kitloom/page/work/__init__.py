"""What takes long: previews of mended, repaired and recoloured tiles, and making the files.

In: the bench, and which tile becomes what. Out: jobs with their progress, which can be stopped; a
stopped one has changed nothing.

Not done here: how tiles are mended or recoloured (``patterns``, ``palette``), how a kit is made
(``kitloom.make``), and how workers are run (``kitloom.jobs``).
"""

from kitloom.page.work.batch import Batch
from kitloom.page.work.file_making import FileMaking, earlier_files
from kitloom.page.work.plans import (
    plan_mend,
    plan_recolour,
    plan_redress,
    plan_repair,
    tiles_showing,
)
from kitloom.page.work.previews import Previews
from kitloom.page.work.remaking import Preview
from kitloom.page.work.uses import REMAKES

__all__ = [
    "REMAKES",
    "Batch",
    "FileMaking",
    "Preview",
    "Previews",
    "earlier_files",
    "plan_mend",
    "plan_recolour",
    "plan_redress",
    "plan_repair",
    "tiles_showing",
]
