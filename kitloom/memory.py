"""Ask the C library to give large arrays back to the system as soon as they are freed.

By default glibc raises the size from which it does so to 32 MiB, once such an array was freed, and
keeps smaller ones in one pool a thread; a run that is through with a dozen tiles then still holds
their memory. A fixed size of 8 MiB, about a tile of 1,700 px a side, costs 3 % of processor time
here and saves 80 MB. Elsewhere than on glibc nothing is changed.
"""

from __future__ import annotations

import sys

LARGE_BYTES = 8 * 1024 * 1024
TRIM_BYTES = 128 * 1024 * 1024
_M_TRIM_THRESHOLD, _M_MMAP_THRESHOLD = -1, -3  # malloc.h


def give_back_large_arrays() -> None:
    """Fix the size from which freed memory goes back to the system at once."""
    _mallopt(_M_MMAP_THRESHOLD, LARGE_BYTES)


def keep_for_next_tile() -> None:
    """Keep freed memory in the process, for one that goes through many tiles, one at a time.

    Each tile needs the same memory again, and fetching it anew from the system costs up to a third
    of the time, above all where a cluster has set the limits low. It does not grow with the number
    of tiles.
    """
    _mallopt(_M_TRIM_THRESHOLD, TRIM_BYTES)
    _mallopt(_M_MMAP_THRESHOLD, 2 * LARGE_BYTES)


def _mallopt(option: int, value: int) -> None:
    if not sys.platform.startswith("linux"):
        return
    import ctypes

    try:
        ctypes.CDLL("libc.so.6").mallopt(option, value)
    except (OSError, AttributeError):  # another C library
        return
