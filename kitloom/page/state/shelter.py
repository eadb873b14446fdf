"""Measure a tile where it can do no harm: in a process of its own, with limits.

In: a ``Request`` for one file. Out: its ``TileStudy``, or an ``ArtworkError``. A file that makes a
decoder crash, hang or eat memory ends that process and nothing else: the file is refused, whatever
else was being measured there is measured again, and the server goes on.

Limits: ``MAX_SECONDS`` a tile, ``MAX_MEMORY`` a process where the system has such limits. The
processes end with the server, even where that is killed.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable
from concurrent.futures import CancelledError, Future, ProcessPoolExecutor
from concurrent.futures import TimeoutError as LateError
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from pathlib import Path
from threading import Lock, Thread

from kitloom.measure import Request, TileStudy, study
from palette.errors import KitloomError
from patterns.artwork_error import ArtworkError

Found = TileStudy | tuple[str, ...] | None
MAX_SECONDS = 60.0
MAX_MEMORY = 6 * 2**30


class Shelter:
    """One or two processes that measure tiles."""

    def __init__(self, workers: int | None = None, max_seconds: float = MAX_SECONDS) -> None:
        """Make a shelter; its processes start with the first tile, or with ``warm``."""
        self._workers = workers or min(2, os.cpu_count() or 1)
        self._max_seconds = max_seconds
        self._lock = Lock()
        self._pool: ProcessPoolExecutor | None = None

    def warm(self) -> None:
        """Start the processes and load what they need, so that the first tile need not wait."""
        for _ in range(self._workers):
            self._started().submit(_load)

    def study(self, request: Request) -> TileStudy:
        """Measure one tile.

        Raises:
            ArtworkError: the file cannot be used, or broke or stalled its process.
        """
        found = self._found(_studied, request)
        assert isinstance(found, TileStudy)
        return found

    def check_profile(self, path: Path) -> None:
        """Open a printer's profile and print some colours with it.

        Raises:
            ArtworkError: it cannot be used, or broke or stalled its process.
        """
        self._found(_profiled, Request(path))

    def check_palette(self, path: Path) -> None:
        """Read the colours of a palette file.

        Raises:
            ArtworkError: it cannot be read, or broke or stalled its process.
        """
        self._found(_coloured, Request(path))

    def _found(self, task: Callable[[Request], Found], request: Request) -> TileStudy | None:
        for _ in range(2):  # the pool may have been broken by another file
            pool = self._started()
            try:
                waiting: Future[Found] = pool.submit(task, request)
                found = waiting.result(self._max_seconds)
            except LateError as error:
                self._end(pool)
                raise _refused(request, f"it took over {self._max_seconds:.0f} s") from error
            except (BrokenProcessPool, CancelledError, RuntimeError, MemoryError):
                self._end(pool)
                continue
            if not isinstance(found, tuple):
                return found
            what, where, why, remedy = found
            raise ArtworkError(what, where=where, why=why, remedy=remedy)
        raise _refused(request, "reading it needs too much memory or breaks its reader")

    def close(self) -> None:
        """End the processes."""
        if self._pool is not None:
            self._end(self._pool)

    def _started(self) -> ProcessPoolExecutor:
        with self._lock:
            if self._pool is None:
                # spawn: a fork of a server with threads may hang
                context = multiprocessing.get_context("spawn")
                self._pool = ProcessPoolExecutor(self._workers, context, limit_process)
            return self._pool

    def _end(self, pool: ProcessPoolExecutor) -> None:
        with self._lock:
            if self._pool is pool:
                self._pool = None
        processes = list((pool._processes or {}).values())  # noqa: SLF001 - only way to end them
        pool.shutdown(wait=False, cancel_futures=True)
        for process in processes:
            with suppress(OSError, ValueError):
                process.kill()


def _studied(request: Request) -> Found:
    """Study a tile; an error comes back as its parts, since it must cross to another process."""
    try:
        return study(request)
    except ArtworkError as error:
        return error.what, error.where, error.why, error.remedy


def _profiled(request: Request) -> Found:
    """Use a profile once; an error comes back as its parts."""
    import numpy as np

    from palette.press import open_press

    try:
        open_press("glossy", request.path).to_print(np.array([[50.0, 20.0, -30.0]]))
    except KitloomError as error:
        return error.what, request.path.name, error.why, error.remedy
    return None


def _coloured(request: Request) -> Found:
    """Read a palette once; an error comes back as its parts."""
    from kitloom.colours import read_palette_file, worn_colours

    try:
        worn_colours(read_palette_file(request.path), where=request.path.name)
    except KitloomError as error:
        return error.what, request.path.name, error.why, error.remedy
    return None


def _refused(request: Request, why: str) -> ArtworkError:
    return ArtworkError(
        "cannot be measured",
        where=request.subject or request.path.name,
        why=why,
        remedy="Open it in your drawing program and save it again as PNG, smaller if it is large.",
    )


def limit_process() -> None:
    """Bound what this process may take, and have it end with the server's."""
    import signal

    Thread(target=_end_with_parent, name="parent", daemon=True).start()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is the server's to answer
    try:
        import resource
    except ImportError:  # Windows has no such limits; the limits on pixels and time remain
        return
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_AS, (MAX_MEMORY, MAX_MEMORY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _end_with_parent() -> None:
    """End this process once the server's has ended, in whatever way: even one that was killed.

    Waits on the pipe that the parent holds open. (Linux's parent-death signal would come when the
    *thread* that started this process ends, which a server's threads do all the time.)
    """
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _load() -> None:
    """Load the readers and measurers by measuring a plain tile."""
    import numpy as np

    from palette.choose import bins_of
    from patterns.motifs import auto_repeat
    from patterns.repeats import find_repeat
    from patterns.seams import check_seams

    rng = np.arange(128 * 128 * 3, dtype=np.uint32) * 2654435761 >> 13
    tile = (rng % 256).astype(np.uint8).reshape(128, 128, 3)
    check_seams(tile)
    find_repeat(tile)
    bins_of(tile)
    auto_repeat(tile, 40.0, 26.0, 300.0)
