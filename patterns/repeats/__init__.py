"""How large is the smallest repeat in a picture, and how do its tiles lie?

In: pixels. Out: a ``Repeat`` or nothing, a lattice, and how like itself a picture is at each shift.
Not done here: cutting the tile out (``patterns.mend``).
"""

from patterns.repeats.search import Repeat, find_lattice, find_repeat

__all__ = [
    "Repeat",
    "find_lattice",
    "find_repeat",
]
