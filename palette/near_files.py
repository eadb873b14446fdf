"""Which file does a maker mean who names one that is not there?

In: a path. Out: the end of a message: the nearest name in that folder, or nothing.
"""

from __future__ import annotations

from difflib import get_close_matches
from itertools import islice
from pathlib import Path

_MOST_NAMES = 2_000  # of a folder that are looked at: comparing takes long


def file_meant(path: Path) -> str:
    """Return 'Did you mean "stripe.png"?' for a name that is nearly one in its folder, or "".

    A blank at either end of a name is hard to see, so it is said.
    """
    if path.name != path.name.strip():
        return f'Its name begins or ends with a blank: write "{path.name.strip()}".'
    try:
        names = sorted(one.name for one in islice(path.parent.iterdir(), _MOST_NAMES))
    except (OSError, ValueError):  # a folder that is not there either, or no path at all
        return ""
    by_letters = {name.lower(): name for name in names if not name.startswith(".")}
    close = get_close_matches(path.name.lower(), by_letters, n=1, cutoff=0.75)
    return f'Did you mean "{by_letters[close[0]]}"?' if close else ""
