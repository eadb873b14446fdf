"""Work that may have been done before.

A stage that is handed a ``Remember`` asks it for each result that rests on its arguments alone;
whoever hands it in keeps results, or not. Nothing is kept here.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec, Protocol, TypeVar

P = ParamSpec("P")
T = TypeVar("T")


class Remember(Protocol):
    """Gives what a function returns; one that remembers may have it already."""

    def __call__(self, work: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T:
        """Return what ``work`` returns of these arguments, on which alone it must rest."""
        ...


def afresh(work: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T:
    """Do the work, whether or not it was done before."""
    return work(*args, **kwargs)
