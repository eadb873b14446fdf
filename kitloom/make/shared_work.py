"""The slow work of a large kit, shared between this process and workers.

Two threads of one Python mostly wait for each other, two processes do not. In: a runner whose
workers have begun to load. Out: ``study``, ``thin`` and ``choose``, which ``make_kit`` is given.
Each tile goes to a worker that is free or is done here; the palette, whose library takes longest to
load, is a worker's alone. What a worker breaks on is done here; the results are the same. Motifs
are lifted here from the start, in a thread, while this process waits for the worker's studies.

Not done here: deciding whether a kit is large enough (``kitloom.commands.make``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from threading import Semaphore, Thread
from typing import Literal, TypeVar

from kitloom.jobs import BrokenError, Job, Runner
from kitloom.measure import Request, TileStudy, kit_study, on_disk, thin_lines, thin_lines_in
from kitloom.report import template
from palette.choose import ColourBins, Palette, choose
from palette.proof import ThinStroke
from patterns.plane import Lattice
from patterns.seams import SeamCheck

T = TypeVar("T")
Verdict = tuple[Lattice, SeamCheck]


class SharedWork:
    """One kit's studies and choices."""

    def __init__(
        self,
        runner: Runner,
        verdict: Callable[[Request], Verdict | None],
        ahead: Callable[[], None],
    ) -> None:
        """Share with a runner's workers.

        Args:
            runner: of the workers.
            verdict: what is known of a tile's joins already.
            ahead: is done in a thread from now on, and done when there is a palette.
        """
        self._runner = runner
        self._verdict = verdict
        self._free = Semaphore(runner.workers)
        self._ahead = Thread(target=ahead, daemon=True)
        self._ahead.start()

    def study(self, request: Request) -> TileStudy:
        """Study a tile for a kit; may be called from several threads at a time.

        Raises:
            ArtworkError: the file cannot be used.
        """
        work = partial(kit_study, request, self._verdict(request))
        return on_disk(self._by_who_is_free(work, work))

    def thin(self, tile: TileStudy, dpi: float) -> tuple[ThinStroke, ...]:
        """Return a tile's thin lines (``thin_lines``); may be called from several threads."""
        there = partial(thin_lines_in, tile.artwork.path, dpi)
        return self._by_who_is_free(there, partial(thin_lines, tile, dpi))

    def _by_who_is_free(self, there: Callable[[], T], here: Callable[[], T]) -> T:
        """Have a free worker do something there, or do it here, which comes to the same."""
        if not self._free.acquire(blocking=False):
            return here()
        try:
            return _result(self._runner.submit(there), here)
        finally:
            self._free.release()

    def choose(
        self,
        bins: Mapping[str, ColourBins],
        colours: int | Literal["auto"],
        pinned: Sequence[str],
        *,
        names: Mapping[str, str],
        without: Sequence[str],
    ) -> Palette:
        """Choose a palette, as ``palette.choose.choose`` does."""
        work = partial(choose, bins, colours, pinned, names=names, without=without)
        job = self._runner.submit(work, "palette")
        # while the worker chooses: what the writers need, and takes a moment to load
        import ezdxf.filemanagement  # noqa: F401
        import pikepdf  # noqa: F401

        template()
        self._ahead.join()
        return _result(job, work)


def _result(job: Job[T], work: Callable[[], T]) -> T:
    """Return a job's result; where its process ended under it, do the work here."""
    try:
        return job.result()
    except BrokenError:
        return work()
