"""One piece of work, from the queue to its end.

A ``Job`` is what whoever asked for work holds on to: it can be waited for, looked at and stopped,
from any thread. Its states follow each other in one direction::

    waiting -> running -> done | failed | stopped
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Lock
from typing import Any, Generic, Literal, TypeVar

from kitloom.jobs.job_errors import StoppedError

T = TypeVar("T")
State = Literal["waiting", "running", "done", "failed", "stopped"]


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a job is.

    Attributes:
        state: where it stands.
        label: what is done, in the maker's words.
        done: steps done.
        of: steps in all, at least 1.
        error: why it failed; None unless it did.
    """

    state: State = "waiting"
    label: str = ""
    done: int = 0
    of: int = 1
    error: BaseException | None = None

    @property
    def ended(self) -> bool:
        """Whether nothing more will happen."""
        return self.state in {"done", "failed", "stopped"}


class Job(Generic[T]):
    """A handle on one piece of work; made by a ``Runner``.

    Attributes:
        number: by which a runner finds it again; no two of a runner are the same.
    """

    def __init__(
        self, number: int, label: str, of: int, changed: Callable[[Job[T]], None] | None
    ) -> None:
        """Be waiting."""
        self.number = number
        self._label = label
        self._done, self._of = 0, of
        self._changed = changed
        self._lock = Lock()
        self._running = False
        self._stopping = False
        self._stops: list[Callable[[], None]] = []
        self._result: Future[T] = Future()

    @property
    def progress(self) -> Progress:
        """How far it is now."""
        with self._lock:
            state: State = "running" if self._running else "waiting"
            error: BaseException | None = None
            if self._result.done():
                error = self._result.exception()
                state = "done" if error is None else "failed"
                if isinstance(error, StoppedError):
                    state, error = "stopped", None
            return Progress(state, self._label, self._done, self._of, error)

    def result(self, seconds: float | None = None) -> T:
        """Wait for the end and return what the work returned.

        Args:
            seconds: the longest wait; None for as long as it takes.

        Raises:
            TimeoutError: it has not ended in that time; it goes on.
            StoppedError: it was stopped.
            JobError: it could not be done.
            Exception: whatever the work raised.
        """
        return self._result.result(seconds)

    def when_ended(self, act: Callable[[Job[T]], None]) -> None:
        """Call ``act`` once the job has ended, at once if it has."""
        self._result.add_done_callback(lambda _: act(self))

    def stop(self) -> None:
        """Have it end as soon as it can; one that has ended stays as it is."""
        with self._lock:
            self._stopping = True
            stops = list(self._stops)
        for stop in stops:
            stop()

    def step(self, steps: int = 1) -> None:
        """Count steps that are done; called by the work itself.

        Raises:
            StoppedError: it is to end.
        """
        self.check()
        with self._lock:
            self._done = min(self._of, self._done + steps)
        self._tell()

    def check(self) -> None:
        """Raise ``StoppedError`` if it is to end; called by the work itself."""
        if self._stopping:
            raise StoppedError

    def wait_for(self, other: Job[Any]) -> Any:
        """Return another job's result; whoever stops this one stops the other too."""
        with self.stopped_by(other.stop):
            return other.result()

    @contextmanager
    def stopped_by(self, stop: Callable[[], None]) -> Iterator[None]:
        """While this lasts, call ``stop`` when the job is told to end, or at once if it was."""
        with self._lock:
            self._stops.append(stop)
            late = self._stopping
        try:
            if late:
                stop()
            yield
        finally:
            with self._lock:
                self._stops.remove(stop)

    # ---- what only a runner calls

    def begin(self) -> bool:
        """Go from waiting to running; False, and the end, where it was told to stop before."""
        with self._lock:
            self._running = not self._stopping
        if not self._running:
            self.fail(StoppedError())
            return False
        self._tell()
        return True

    def finish(self, result: T) -> None:
        """End with a result."""
        self._result.set_result(result)
        self._tell()

    def fail(self, error: BaseException) -> None:
        """End with an error; ``StoppedError`` where it was stopped."""
        self._result.set_exception(error)
        self._tell()

    def _tell(self) -> None:
        if self._changed is not None:
            self._changed(self)
