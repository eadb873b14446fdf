"""A whole library of tiles, thousands of them, checked with all cores and little memory.

In: files, and how many workers or which cluster. Out: one row a tile (``audit``), from worker
processes (``kitloom.jobs``) or a cluster (``cluster``), put into a journal at once (``journal``),
from which a killed run goes on, and read from there for the summary (``run``), the tables
(``exports``) and the page (``overview``). Not done here: judging a tile (``kitloom.measure``).
"""

LIBRARY_FROM = 48  # files; from here on tiles are not held in memory, and go to processes
