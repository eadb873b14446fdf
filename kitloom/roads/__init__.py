"""Four roads from a kit's files to cut stickers: which files, which steps, which check.

In: nothing. Out: ``ROADS``, the one list that the docs and the page's last step show, and what
belongs to all of them: ``CAUTIONS``, and ``PRINTING``, how to print a sheet. Not done here: the
files themselves (``kit.writers``), or what they are for one by one (their tables).
"""

from kitloom.roads.cautions import CAUTIONS
from kitloom.roads.printing import PRINTING
from kitloom.roads.table import ROADS, Road, spans

__all__ = ["CAUTIONS", "PRINTING", "ROADS", "Road", "spans"]
