"""Read and measure what was dropped where it can do no harm: in a worker, with limits.

In: a file. Out: what was measured, or an ``ArtworkError``. A file that makes its reader crash, hang
or eat memory ends that worker and nothing else: the file is refused, and the server goes on. A
worker that was ended by something else than the file is why each is tried twice.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TypeVar

from kitloom.jobs import BrokenError, LateError, Runner
from kitloom.measure import Request, TileStudy, joins_of, study
from patterns.artwork_error import ArtworkError
from patterns.plane import Lattice
from patterns.seams import SeamCheck

T = TypeVar("T")
MAX_SECONDS = 60.0
ATTEMPTS = 2


class Reader:
    """Reads and measures in a runner's workers."""

    def __init__(self, runner: Runner, max_seconds: float = MAX_SECONDS) -> None:
        """Read there; a file that takes longer is refused."""
        self._runner = runner
        self._max_seconds = max_seconds

    def study(self, request: Request) -> TileStudy:
        """Measure one tile.

        Raises:
            ArtworkError: the file cannot be used, or broke or stalled its worker.
        """
        return self._done(partial(study, request), request.subject or request.path.name)

    def joins(self, request: Request) -> tuple[Lattice, SeamCheck]:
        """Check the joins of one tile, in the lattice that the request names.

        Raises:
            ArtworkError: the file cannot be used, or broke or stalled its worker.
        """
        return self._done(partial(joins_of, request), request.subject or request.path.name)

    def check_profile(self, path: Path) -> None:
        """Open a printer's profile and print some colours with it.

        Raises:
            KitloomError: it cannot be used, or broke or stalled its worker.
        """
        self._done(partial(print_once, path), path.name)

    def check_chart(self, path: Path) -> None:
        """Open a printer as its chart was read, and print some colours with it.

        Raises:
            KitloomError: it cannot be used, or broke or stalled its worker.
        """
        self._done(partial(chart_once, path), path.name)

    def check_palette(self, path: Path) -> None:
        """Read the colours of a palette file.

        Raises:
            KitloomError: it cannot be read, or broke or stalled its worker.
        """
        self._done(partial(read_once, path), path.name)

    def _done(self, work: Callable[[], T], where: str) -> T:
        job = self._runner.submit(work, where, seconds=self._max_seconds, attempts=ATTEMPTS)
        try:
            return job.result()
        except LateError as error:
            raise _refusal(where, f"it took over {self._max_seconds:.0f} s") from error
        except (BrokenError, RuntimeError) as error:
            why = "reading it needs too much memory or crashes the program"
            raise _refusal(where, why) from error


def print_once(path: Path) -> None:
    """Use a printer's profile once.

    Raises:
        KitloomError: it cannot be used.
    """
    import numpy as np

    from palette.press import open_press

    open_press("glossy", path).to_print(np.array([[50.0, 20.0, -30.0]]))


def chart_once(path: Path) -> None:
    """Use a printer's chart once.

    Raises:
        KitloomError: it cannot be used.
    """
    import numpy as np

    from palette.press import open_press

    open_press("glossy", chart=path).to_print(np.array([[50.0, 20.0, -30.0]]))


def read_once(path: Path) -> None:
    """Read a palette file once.

    Raises:
        KitloomError: it cannot be read.
    """
    from kitloom.colours import merge_colours, read_palette_file

    merge_colours(read_palette_file(path), where=path.name)


def _refusal(where: str, why: str) -> ArtworkError:
    return ArtworkError(
        "cannot be measured",
        where=where,
        why=why,
        remedy="Open it in your drawing program and save it again as PNG, smaller if it is large.",
    )
