"""Begin long imports at once, in a thread, so that they hide behind reading recipe and artwork.

scikit-learn and ezdxf take about a third of a second each; both are needed late in the work.
"""

from __future__ import annotations

from functools import cache
from threading import Thread


@cache
def begin_imports() -> None:
    """Start loading what the end of the work needs; returns at once. A second call does nothing."""
    Thread(target=_load, daemon=True).start()


def _load() -> None:
    from palette.kmeans import preload

    preload()
    import ezdxf  # noqa: F401
    import pikepdf  # noqa: F401
