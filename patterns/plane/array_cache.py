"""Arrays that take long to make and little to make again: kept while there is room.

In: a key, and how to make its array. Out: the array, read-only, made once. The bound is in bytes:
what a plane keeps is 0.6 MB for a preview and 400 MB for a large tile in print, so that a number of
entries would be slow for the one or no bound for the other. Not done here: what the keys mean.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import TypeVar, cast

from palette.arrays import Floats32, Pixels

Array = TypeVar("Array", Pixels, Floats32)


class ArrayCache:
    """Arrays by key; the longest unused goes where they are too much, but for the last one."""

    def __init__(self, most_bytes: int) -> None:
        self._most_bytes = most_bytes
        self._arrays: OrderedDict[Hashable, Pixels | Floats32] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Hashable, make: Callable[[], Array]) -> Array:
        """Return the array of a key; two threads that ask at once may both make it."""
        with self._lock:
            if key in self._arrays:
                self._arrays.move_to_end(key)
                return cast("Array", self._arrays[key])
        array = make()
        array.setflags(write=False)
        with self._lock:
            self._arrays[key] = array
            while len(self._arrays) > 1 and self._size_bytes() > self._most_bytes:
                self._arrays.popitem(last=False)
        return array

    def _size_bytes(self) -> int:
        return sum(array.nbytes for array in self._arrays.values())
