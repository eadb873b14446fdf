"""How large is the smallest repeat in a picture, and how do its tiles lie?

In: pixels. Out: a ``Repeat`` or nothing, and a lattice.
Not done here: cutting the tile out (``patterns.mend``).
"""

from patterns.repeats.search import Repeat, find_lattice, find_repeat

__all__ = [
    "Repeat",
    "find_lattice",
    "find_repeat",
]
