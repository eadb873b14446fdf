"""Do nothing twice: what an edit leaves as it was is not worked out again.

In: functions with what they are given. Out: what they return; results that the last ``DRAWINGS``
drawings asked for are handed out again. Values are alike where they are equal; what was handed out
from here, and what cannot be hashed because of the arrays in it, is alike where it is the same. Not
done here: which work is asked for (``kit.compose``, ``kit.render``, ``kitloom.kits``).
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, is_dataclass
from threading import Lock
from typing import Any, ParamSpec, TypeVar, cast

P = ParamSpec("P")
T = TypeVar("T")
DRAWINGS = 8


@dataclass(slots=True)
class _Kept:
    result: object
    used: int


class _Same:
    """A value that is equal to itself alone."""

    __slots__ = ("value",)

    def __init__(self, value: object) -> None:
        self.value = value

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.value is self.value

    def __hash__(self) -> int:
        return id(self.value)


class KeptResults:
    """The results that recent drawings needed."""

    def __init__(self) -> None:
        """Have none yet."""
        self._lock = Lock()
        self._kept: dict[Hashable, _Kept] = {}
        self._own: set[int] = set()  # the ids of kept results
        self._drawing = 0

    def begin(self) -> None:
        """Begin another drawing, and let go what the last ones had no use for."""
        with self._lock:
            self._drawing += 1
            oldest = self._drawing - DRAWINGS
            self._kept = {key: one for key, one in self._kept.items() if one.used >= oldest}
            self._own = {id(one.result) for one in self._kept.values() if is_dataclass(one.result)}

    def __call__(self, work: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T:
        """Return what ``work`` returns of these arguments, on which alone it must rest."""
        try:
            given = (*args, *sorted(kwargs.items()))
            key = (work, *map(self._known_by, given))
            hash(key)
        except TypeError:
            return work(*args, **kwargs)
        with self._lock:
            kept = self._kept.get(key)
            if kept is not None:
                kept.used = self._drawing
                return cast("T", kept.result)
        result = work(*args, **kwargs)
        with self._lock:
            kept = self._kept.setdefault(key, _Kept(result, self._drawing))
            if is_dataclass(kept.result):
                self._own.add(id(kept.result))
        return cast("T", kept.result)

    def _known_by(self, value: Any) -> Hashable:
        if not is_dataclass(value):
            return cast("Hashable", value)
        if id(value) in self._own:
            return _Same(value)
        try:
            hash(value)
        except TypeError:
            return _Same(value)
        return cast("Hashable", value)
