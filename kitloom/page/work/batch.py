"""Use previews: in one tile or in all of them, with progress, and stopped when asked.

In: for each tile how it is made, and what is done with them once all are there. Tiles of which a
preview was made are there already; the others are made one after another. A stopped batch changes
nothing. What is soon done is answered at once; for the rest the page shows how far it is, on every
step.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from threading import Lock

from kit.recipe import PatternPart
from kitloom.jobs import Job, Progress, StoppedError
from kitloom.page.page_error import PageError, unforeseen_as
from kitloom.page.state import Bench
from kitloom.page.work.previews import Plan, Previews, in_page_words
from kitloom.page.work.remaking import Preview
from palette.errors import KitloomError

GRACE_SECONDS = 1.5
Plans = Sequence[tuple[PatternPart, Plan]]
NewTiles = Sequence[tuple[PatternPart, Preview]]


class Batch:
    """One batch at a time."""

    def __init__(self, bench: Bench, previews: Previews) -> None:
        """Have nothing to do."""
        self.bench = bench
        self.previews = previews
        self._lock = Lock()
        self._job: Job[None] | None = None

    @property
    def progress(self) -> Progress | None:
        """How far it is; None where there is nothing to tell."""
        with self._lock:
            progress = self._job.progress if self._job is not None else None
        return None if progress is None or progress.state == "done" else progress

    def begin(self, label: str, plans: Plans, finish: Callable[[NewTiles], None]) -> None:
        """Begin a batch, and wait a moment whether it is done soon.

        Raises:
            KitloomError: it failed in that moment, or another one is under way.
        """
        with self._lock:
            if self._job is not None and not self._job.progress.ended:
                raise PageError(
                    "something else is being made",
                    where=label,
                    remedy="Wait until it is done, or stop it.",
                )
            work = partial(self._run, plans, finish)
            job = self.bench.runner.coordinate(work, label, len(plans), changed=self._tell)
            self._job = job
        try:
            with suppress(TimeoutError, StoppedError):
                job.result(GRACE_SECONDS)
        except KitloomError:
            with self._lock:
                self._job = None
            raise

    def stop(self) -> None:
        """Stop the batch, in the middle of a tile too."""
        with self._lock:
            if self._job is not None:
                self._job.stop()

    def _run(self, plans: Plans, finish: Callable[[NewTiles], None], job: Job[None]) -> None:
        remedy = "Nothing was changed; the terminal shows more."
        with unforeseen_as("could not be done", where=job.progress.label, remedy=remedy):
            tiles = []
            for part, plan in plans:
                job.check()
                with in_page_words():
                    tiles.append((part, job.wait_for(self.previews.begin(*plan))))
                job.step()
            job.check()
            finish(tiles)

    def _tell(self, job: Job[None]) -> None:
        del job
        self.bench.tell("batch")
