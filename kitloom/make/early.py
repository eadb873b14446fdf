"""Begin long imports at once, in a thread, so that they hide behind reading recipe and artwork.

scikit-learn and ezdxf take about a third of a second each; both are needed late in the work.
"""

from __future__ import annotations

import sys
from functools import cache
from threading import Lock, Thread

TURN_S = 0.0005


_begun = Lock()


def begin_imports(*, beside: bool = False) -> None:
    """Start loading what the end of making a kit needs; returns at once, and works once.

    Args:
        beside: whether another process clusters and writes DXF, so that the two need not be loaded.
    """
    if _begun.acquire(blocking=False):  # never given back
        Thread(target=_load_rest if beside else _load, daemon=True).start()


@cache
def begin_clustering() -> None:
    """Start loading what a palette needs; returns at once, and works once."""
    Thread(target=_load_clustering, daemon=True).start()


def take_short_turns() -> None:
    """Let threads of this process take turns ten times as often as Python does by itself.

    A thread that works on arrays gives the interpreter away at every step of it and then waits for
    whoever imports or counts in plain Python to end its turn: with many short steps that wait, 5 ms
    each, was a fifth of the time that a kit takes. For commands only, since the whole process is
    changed.
    """
    sys.setswitchinterval(TURN_S)


def _load_clustering() -> None:
    from palette.choose import preload
    from palette.lean_import import load_ndimage

    preload()
    load_ndimage()


def _load() -> None:
    _load_clustering()
    import ezdxf  # noqa: F401

    _load_rest()


def _load_rest() -> None:
    import jinja2  # noqa: F401
    import pikepdf  # noqa: F401

    from palette.lean_import import load_ndimage

    load_ndimage()
    import scipy.sparse  # noqa: F401
