"""A whole library of tiles, thousands of them, checked with all cores and little memory.

One tile is one row (``audit``), rows come from processes (``pool``) or a cluster (``cluster``), go
into a journal at once (``journal``), from which a killed run goes on, and are read from there for
everything that is told in the end (``run``, ``exports``, ``page``).
"""

LIBRARY_FROM = 48  # files; from here on tiles are not held in memory, and go to processes
