"""Long work that can be stopped: each in a process of its own, which is ended when it is told to.

In: a module's function with what it needs, and a number by which it can be stopped. Out: what the
function returns. Stopping ends the process there and then, however deep in its work it is; so does
a tile that eats all memory, and nothing else is harmed. A process that has done its work waits for
the next; all end with the server, even where that is killed.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable
from concurrent.futures import CancelledError, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from itertools import count
from threading import BoundedSemaphore, Lock
from typing import TypeVar

from kitloom.page.page_error import PageError
from kitloom.page.state.shelter import limit_process
from palette.errors import KitloomError

T = TypeVar("T")
AT_ONCE = 2


class StoppedError(Exception):
    """The maker asked to stop."""


class Aside:
    """Up to two processes for work that the maker waits for."""

    def __init__(self) -> None:
        """Start nothing yet."""
        self._lock = Lock()
        self._turn = BoundedSemaphore(AT_ONCE)
        self._numbers = count(1)
        self._idle: list[ProcessPoolExecutor] = []
        self._busy: dict[int, ProcessPoolExecutor] = {}
        self._stopped: set[int] = set()
        self._open = True

    def number(self) -> int:
        """Return a number for the next piece of work."""
        return next(self._numbers)

    def run(self, number: int, work: Callable[[], T]) -> T:
        """Do a piece of work and return what came of it.

        Args:
            number: one from ``number``, not used before.
            work: can be sent to another process, and so can what it returns.

        Raises:
            StoppedError: it was told to stop.
            KitloomError: raised by the work, or the work broke its process.
        """
        with self._turn:
            pool = self._begun(number)
            try:
                found, fault = pool.submit(_told, work).result()
            except (BrokenProcessPool, CancelledError, RuntimeError) as error:
                if self._end(number):
                    raise StoppedError from error
                raise _broken() from error
            self._rest(number)
        if fault is not None:
            what, where, why, remedy = fault
            raise PageError(what, where=where, why=why, remedy=remedy)
        assert found is not None
        return found

    def stop(self, number: int) -> None:
        """End a piece of work, begun or not; one that is done stays done."""
        with self._lock:
            self._stopped.add(number)
            pool = self._busy.get(number)
        if pool is not None:
            _kill(pool)

    def close(self) -> None:
        """End all processes."""
        with self._lock:
            pools = [*self._idle, *self._busy.values()]
            self._stopped.update(self._busy)
            self._idle, self._open = [], False
        for pool in pools:
            _kill(pool)

    def _begun(self, number: int) -> ProcessPoolExecutor:
        with self._lock:
            if number in self._stopped or not self._open:
                self._stopped.discard(number)
                raise StoppedError
            # spawn: a fork of a server with threads may hang
            context = multiprocessing.get_context("spawn")
            pool = (
                self._idle.pop() if self._idle else ProcessPoolExecutor(1, context, limit_process)
            )
            self._busy[number] = pool
            return pool

    def _rest(self, number: int) -> None:
        """Let a process that has done its work wait for more; a stop may have come meanwhile."""
        with self._lock:
            pool = self._busy.pop(number)
            if number in self._stopped:
                self._stopped.discard(number)
            else:
                self._idle.append(pool)

    def _end(self, number: int) -> bool:
        """Forget a process that has ended; tell whether it was told to."""
        with self._lock:
            pool = self._busy.pop(number)
            told = number in self._stopped
            self._stopped.discard(number)
        _kill(pool)
        return told


def _kill(pool: ProcessPoolExecutor) -> None:
    processes = list((pool._processes or {}).values())  # noqa: SLF001 - only way to end them
    pool.shutdown(wait=False, cancel_futures=True)
    for process in processes:
        with suppress(OSError, ValueError):
            process.kill()


def _told(work: Callable[[], T]) -> tuple[T | None, tuple[str, str, str, str] | None]:
    """Do the work; an error comes back as its parts, since it must cross to another process."""
    try:
        return work(), None
    except KitloomError as error:
        return None, (error.what, error.where, error.why, error.remedy)
    except MemoryError:
        broken = _broken()
        return None, (broken.what, broken.where, broken.why, broken.remedy)


def _broken() -> PageError:
    return PageError(
        "could not be made",
        where="the new tile",
        why="it needs too much memory, or broke its process",
        remedy="Try it with a smaller copy of the artwork.",
    )
