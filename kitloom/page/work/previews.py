"""See it first: a tile mended, repaired for print, or in other colours, before it is used.

In: which preview (``plans``) and the function that makes it (``remaking``). Out: the preview, made
by a job that can be stopped, and cached, so that looking again costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from threading import Lock

from kitloom.jobs import BrokenError, Job
from kitloom.page.page_error import PageError
from kitloom.page.state import Bench
from kitloom.page.work.remaking import Preview
from palette.errors import KitloomError

MOST_CACHED = 24
Plan = tuple[Hashable, Callable[[], Preview]]


class Previews:
    """The previews of one bench, each known by its key."""

    def __init__(self, bench: Bench) -> None:
        """Have made none yet."""
        self._bench = bench
        self._lock = Lock()
        self._jobs: dict[Hashable, Job[Preview]] = {}

    def result(self, key: Hashable, make: Callable[[], Preview]) -> Preview:
        """Return a preview, waited for, or as it was made before.

        Raises:
            KitloomError: it cannot be made.
            StoppedError: it was stopped.
        """
        with in_page_words():
            return self._job(key, make).result()

    def now(self, key: Hashable, make: Callable[[], Preview]) -> Preview:
        """Return a preview as it is now; begun, if it was not; the tabs are told when it is done.

        One that was stopped stays so until ``again``: another tab may show it too.
        """
        job = self._job(key, make)
        state = job.progress.state
        if state in {"waiting", "running", "stopped"}:
            return Preview(state, number=job.number)
        try:
            with in_page_words():
                return replace(job.result(), number=job.number)
        except KitloomError as error:
            return Preview("failed", error.line())
        except Exception as error:  # a worker's fault must be said on the page
            return Preview("failed", str(error))

    def stop(self, number: int) -> None:
        """Stop a preview that is being made."""
        self._bench.preview_runner.stop(number)

    def again(self, number: int) -> None:
        """Let a stopped preview be made again when it is asked for next."""
        with self._lock:
            for key, job in list(self._jobs.items()):
                if job.number == number and job.progress.ended:
                    del self._jobs[key]

    def begin(self, key: Hashable, make: Callable[[], Preview]) -> Job[Preview]:
        """Return the job of a preview; a new one if the last one failed or was stopped."""
        with self._lock:
            job = self._jobs.get(key)
            if job is not None and job.progress.state in {"failed", "stopped"}:
                del self._jobs[key]
        return self._job(key, make)

    def _job(self, key: Hashable, make: Callable[[], Preview]) -> Job[Preview]:
        with self._lock:
            job = self._jobs.get(key)
            if job is None:
                label = "the new tile"
                job = self._bench.preview_runner.submit(make, label, changed=self._tell)
                self._jobs[key] = job
                ended = [key for key, one in self._jobs.items() if one.progress.ended]
                for old in ended[: max(0, len(self._jobs) - MOST_CACHED)]:
                    del self._jobs[old]
            return job

    def _tell(self, job: Job[Preview]) -> None:
        if job.progress.ended:
            self._bench.tell("preview")


@contextmanager
def in_page_words() -> Iterator[None]:
    """Say of a preview that broke its worker what the page says of it."""
    try:
        yield
    except BrokenError as error:
        raise PageError(
            "could not be made", where=error.where, why=error.why, remedy=error.remedy
        ) from error
