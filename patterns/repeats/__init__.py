"""How large is the smallest repeat in a picture, and how do its tiles lie?

In: pixels. Out: a ``Repeat`` or nothing, and a lattice, with the check of its joins if asked for.
Not done here: cutting the tile out (``patterns.mend``).
"""

from patterns.repeats.search import Repeat, check_as, find_lattice, find_repeat, lattice_of

__all__ = [
    "Repeat",
    "check_as",
    "find_lattice",
    "find_repeat",
    "lattice_of",
]
