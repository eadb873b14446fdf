"""A worker process, seen from both of its sides.

``Worker`` is the side of the process that asks: it starts the other one, hands it one function at a
time and waits for the answer. ``_live`` is the whole life of the other: it ends when the line is
closed, when it is killed, or with its parent.
"""

from __future__ import annotations

import pickle
import traceback
from collections.abc import Callable, Sequence
from importlib import import_module
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.reduction import ForkingPickler
from threading import Thread
from typing import Any

from kitloom.jobs.job_errors import BrokenError, LateError
from kitloom.system import end_with_parent, leave_interrupts_to_parent, limit_memory

_REMEDY = "Try it with a smaller copy of the artwork."


class Worker:
    """One spawned process that does one thing at a time."""

    def __init__(self, loads: Sequence[str], most_bytes: int) -> None:
        """Start it.

        Args:
            loads: modules that it imports at once, while nothing is asked yet.
            most_bytes: how much memory it may take, where the system has such limits.
        """
        context = get_context("spawn")  # a fork of a process with threads may hang
        self._line, there = context.Pipe()
        self._process = context.Process(
            target=_live, args=(there, tuple(loads), most_bytes), daemon=True
        )
        self._process.start()
        there.close()

    def ask(self, work: Callable[[], Any], label: str, seconds: float | None) -> Any:
        """Have a function called over there and return what it returned.

        Raises:
            LateError: it took longer than that; the process has been ended.
            BrokenError: the process ended, or had too little memory.
            Exception: whatever the function raised; as a RuntimeError where that cannot cross.
        """
        try:
            self._line.send_bytes(ForkingPickler.dumps(work))
            ready = wait([self._line, self._process.sentinel], seconds)
            if not ready:
                self.close()
                raise LateError(
                    "takes too long", where=label, why=f"over {seconds:.0f} s", remedy=_REMEDY
                )
            done, found = pickle.loads(self._line.recv_bytes())  # noqa: S301  our own process
        except (EOFError, ConnectionError) as error:
            self.close()
            raise _broken(label) from error
        if done:
            return found
        raise _broken(label) if isinstance(found, MemoryError) else found

    @property
    def alive(self) -> bool:
        """Whether it can be asked."""
        return self._process.is_alive()

    @property
    def pid(self) -> int | None:
        """Its number with the system."""
        return self._process.pid

    def kill(self) -> None:
        """End it there and then, however deep in its work it is."""
        self._process.kill()
        self._process.join()

    def close(self) -> None:
        """End it, and the line to it."""
        self.kill()
        self._line.close()


def _broken(label: str) -> BrokenError:
    """Return what is said of a job that ended its process or took all memory."""
    return BrokenError(
        "could not be done",
        where=label,
        why="it needs too much memory, or crashed the program",
        remedy=_REMEDY,
    )


def _live(line: Connection, loads: tuple[str, ...], most_bytes: int) -> None:
    Thread(target=end_with_parent, name="parent", daemon=True).start()
    leave_interrupts_to_parent()
    limit_memory(most_bytes)
    from threadpoolctl import threadpool_limits

    for name in loads:
        import_module(name)
    with threadpool_limits(1):  # a process a core is enough
        while True:
            try:
                asked = line.recv_bytes()
            except EOFError:
                return
            line.send_bytes(_answer(asked))


def _answer(asked: bytes) -> bytes | memoryview:
    try:
        return ForkingPickler.dumps((True, pickle.loads(asked)()))  # noqa: S301  our own process
    except Exception as error:
        try:
            whole = ForkingPickler.dumps((False, error))
            pickle.loads(whole)  # noqa: S301  one that cannot be rebuilt must not reach the parent
        except Exception:
            whole = ForkingPickler.dumps((False, RuntimeError(traceback.format_exc())))
        return whole
