"""The one place where work is queued and done: workers for each core, and threads to coordinate.

A worker process does one job at a time, so whatever a job does to it, by crashing, stalling or
eating memory, is that job's alone: the worker is replaced, and the queue goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import count, islice
from queue import SimpleQueue
from threading import Lock, Thread
from time import monotonic
from typing import Any, TypeVar

from kitloom.jobs.job import Job
from kitloom.jobs.job_errors import BrokenError
from kitloom.jobs.worker import Worker
from kitloom.system import cores

T = TypeVar("T")
A = TypeVar("A")
MOST_WORKERS = 8
MOST_BYTES = 6 * 2**30


class Runner:
    """A queue, and the workers that serve it; a context whose end ends them all."""

    def __init__(
        self,
        workers: int | None = None,
        *,
        most_bytes: int = MOST_BYTES,
        loads: Sequence[str] = (),
    ) -> None:
        """Start nothing yet; workers start with the first job, or with ``start``.

        Args:
            workers: how many processes; one for each core, eight at most, where None.
            most_bytes: memory of each, where the system has such limits.
            loads: modules that a worker imports as soon as it starts.
        """
        self.workers = workers or min(MOST_WORKERS, cores())
        self._new_worker = partial(Worker, tuple(loads), most_bytes)
        self._numbers = count(1)
        self._waiting: SimpleQueue[tuple[Job[Any], Callable[[_Slot], Any]] | None] = SimpleQueue()
        self._lock = Lock()
        self._slots: list[_Slot] = []
        self._idle: list[_Slot] = []
        self._threads: list[Thread] = []
        self._jobs: dict[int, Job[Any]] = {}
        self._open = True

    def __enter__(self) -> Runner:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def start(self) -> None:
        """Start all workers now, so that the first job need not wait."""
        for slot in self._served():
            slot.start()

    def submit(
        self,
        work: Callable[[], T],
        label: str = "",
        *,
        seconds: float | None = None,
        attempts: int = 1,
        changed: Callable[[Job[T]], None] | None = None,
    ) -> Job[T]:
        """Queue a function for a worker process.

        Args:
            work: it and what it returns can be pickled.
            label: what is done, in the maker's words.
            seconds: the longest it may take in a worker; None for as long as it takes.
            attempts: how often it is tried where its worker ends under it.
            changed: called from the runner's threads whenever the job's progress changes.
        """
        job = self._new(label, 1, changed)
        self._served()
        with self._lock:
            if self._open:
                self._waiting.put((job, partial(_in_worker, job, work, seconds, attempts)))
                return job
        job.begin()  # which ends it: nobody serves the queue any more
        return job

    def coordinate(
        self,
        work: Callable[[Job[T]], T],
        label: str = "",
        of: int = 1,
        *,
        changed: Callable[[Job[T]], None] | None = None,
    ) -> Job[T]:
        """Begin a function in a thread of this process.

        It is given its own job: it counts its steps there and so learns that it is to end.

        Args:
            work: what to do.
            label: what is done, in the maker's words.
            of: how many steps it will count.
            changed: as for ``submit``.
        """
        job = self._new(label, of, changed)

        def run() -> None:
            if job.begin():
                _end(job, partial(work, job))

        thread = Thread(target=run, name=label or "job", daemon=True)
        with self._lock:
            self._threads = [one for one in self._threads if one.is_alive()]
            self._threads.append(thread)
        thread.start()
        return job

    def each(
        self, work: Callable[[A], T], given: Iterable[A], *, attempts: int = 1
    ) -> Iterator[tuple[A, Job[T]]]:
        """Yield each item with its job once that has ended, in whatever order.

        Args:
            work: what is done with an item, in a worker.
            given: the items; read only as fast as they are done, two a worker ahead.
            attempts: as for ``submit``.
        """
        items, ended = iter(given), SimpleQueue[tuple[A, Job[T]]]()
        under_way = 0
        while True:
            for item in islice(items, 2 * self.workers - under_way):
                job = self.submit(partial(work, item), attempts=attempts)
                job.when_ended(partial(_put, ended, item))
                under_way += 1
            if not under_way:
                return
            yield ended.get()
            under_way -= 1

    def stop(self, number: int) -> None:
        """Stop the job of that number, if it has not ended."""
        with self._lock:
            job = self._jobs.get(number)
        if job is not None:
            job.stop()

    def close(self, seconds: float | None = None) -> bool:
        """Stop all jobs and end all workers; wait until nothing of them is left.

        Args:
            seconds: the longest wait; None for as long as it takes. A job in a worker ends at once,
                one that coordinates when it counts its next step.

        Returns:
            Whether nothing is left.
        """
        with self._lock:
            self._open = False
            jobs, slots, threads = list(self._jobs.values()), self._slots, self._threads
        for job in jobs:
            job.stop()
        for _ in slots:
            self._waiting.put(None)
        end = None if seconds is None else monotonic() + seconds
        for thread in threads:
            thread.join(None if end is None else max(0.0, end - monotonic()))
        return not any(thread.is_alive() for thread in threads)

    def _new(self, label: str, of: int, changed: Callable[[Job[T]], None] | None) -> Job[T]:
        job: Job[T] = Job(next(self._numbers), label, of, changed)
        with self._lock:
            self._jobs[job.number] = job
            if not self._open:
                job.stop()
        job.when_ended(lambda ended: self._forget(ended.number))
        return job

    def _forget(self, number: int) -> None:
        with self._lock:
            self._jobs.pop(number, None)

    def _served(self) -> list[_Slot]:
        """Return the slots, and as many threads serve the queue; they start with the first job."""
        with self._lock:
            if not self._slots and self._open:
                self._slots = [_Slot(self._new_worker) for _ in range(self.workers)]
                self._idle = list(self._slots)
                for _ in self._slots:
                    thread = Thread(target=self._serve, name="worker", daemon=True)
                    self._threads.append(thread)
                    thread.start()
            return self._slots

    def _serve(self) -> None:
        while (taken := self._waiting.get()) is not None:
            job, work = taken
            if job.begin():
                _end(job, partial(self._in_slot, work))
        with self._lock:
            slot = self._idle.pop()
        slot.close()

    def _in_slot(self, work: Callable[[_Slot], T]) -> T:
        """Work in the slot that was used last: a worker that has begun to be of use stays so."""
        with self._lock:
            slot = self._idle.pop()
        try:
            return work(slot)
        finally:
            with self._lock:
                self._idle.append(slot)


class _Slot:
    """A place for one worker, which is replaced when it has ended."""

    def __init__(self, new_worker: Callable[[], Worker]) -> None:
        self._new_worker = new_worker
        self._lock = Lock()
        self._worker: Worker | None = None

    def start(self) -> Worker:
        """Return the worker; a new one where there is none that lives."""
        with self._lock:
            if self._worker is None or not self._worker.alive:
                self._worker = self._new_worker()
            return self._worker

    def close(self) -> None:
        """End the worker."""
        with self._lock:
            if self._worker is not None:
                self._worker.close()


def _in_worker(
    job: Job[T], work: Callable[[], T], seconds: float | None, attempts: int, slot: _Slot
) -> T:
    """Have a slot's worker do a job; told to stop, the worker is ended."""
    while True:
        worker = slot.start()
        attempts -= 1
        try:
            with job.stopped_by(worker.kill):
                found: T = worker.ask(work, job.progress.label, seconds)
        except BrokenError:
            job.check()
            if attempts <= 0:
                raise
        else:
            return found


def _end(job: Job[T], work: Callable[[], T]) -> None:
    """Do the work, and end its job with what came of it."""
    try:
        result = work()
    except BaseException as error:  # whatever breaks must be reported, not end in a dead thread
        job.fail(error)
    else:
        job.finish(result)


def _put(ended: SimpleQueue[tuple[A, Job[T]]], item: A, job: Job[T]) -> None:
    ended.put((item, job))
