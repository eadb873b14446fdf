"""Four roads from a kit's files to cut stickers: which files, which steps, which check.

In: nothing. Out: ``ROADS``, the one list that the docs and the page's last step show. Not done
here: the files themselves (``kit.writers``), or what they are for one by one (their tables).
"""

from kitloom.roads.table import ROADS, Road, spans

__all__ = ["ROADS", "Road", "spans"]
