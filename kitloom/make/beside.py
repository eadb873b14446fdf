"""A second process that works beside this one, and shares neither interpreter nor turns with it.

Two threads of one Python wait for each other at every small step; two processes do not. ``Company``
forks the other off early, when what both need is loaded and no thread runs yet; ``ask`` has it call
a function of ours and returns what that returned. It ends when this process does, however that
ends: its line is closed then.

On Linux only; elsewhere, and in a process that has threads, there is none. Whatever goes wrong over
there is ``LostError`` here, and who asked does the work itself: the answer is the same, and so is
the error about what cannot be done.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection, Pipe
from threading import Lock
from typing import IO, TYPE_CHECKING, Any, NoReturn, TypeVar

if TYPE_CHECKING:
    from palette.arrays import Pixels

R = TypeVar("R")


class LostError(Exception):
    """The other process has no answer."""


@dataclass(frozen=True)
class WithPixels:
    """An answer with a tile's pixels, and the file that they lie in where both can see it."""

    rest: Any
    pixels: Pixels
    file: IO[bytes] | None = None


class Beside:
    """The other process, seen from this one; one question at a time."""

    def __init__(self, process: int, line: Connection) -> None:
        self._process = process
        self._line = line
        self._asking = Lock()

    def ask(self, function: Callable[..., R], *words: object, wait: bool = True) -> R:
        """Return what a function returns over there.

        Args:
            function: one that a module of ours holds under its own name.
            words: its arguments, values that can be pickled.
            wait: where another question is open, whether to wait or to be refused at once.

        Raises:
            LostError: it failed there, the process is gone, or it is busy.
        """
        if not self._asking.acquire(blocking=wait):
            raise LostError
        try:
            self._line.send((function, words))
            done, answer = _received(self._line)
        except (OSError, EOFError) as error:
            raise LostError from error
        finally:
            self._asking.release()
        if not done:
            raise LostError
        return answer  # type: ignore[no-any-return]

    def close(self) -> None:
        """End the other process, if it has not ended; it has nothing to save."""
        if self._line.closed:
            return
        self._line.close()
        os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)


class Company:
    """Whether there is another process: none until ``begin``, and none after the context's end."""

    def __init__(self) -> None:
        self.other: Beside | None = None

    def begin(self) -> Beside | None:
        """Begin the other process, once; return it, or None where there is none to be had."""
        self.other = self.other or start()
        return self.other

    def __enter__(self) -> Company:
        return self

    def __exit__(self, *_: object) -> None:
        if self.other is not None:
            self.other.close()
            self.other = None


def start() -> Beside | None:
    """Fork the other process off; None where none can be had, or no core is free for it.

    None too in a process that has run for longer, such as a test's or a page's: there the libraries
    that it would load are loaded, and threads may run that a fork must not cut through.
    """
    fresh = "scipy" not in sys.modules and threading.active_count() == 1
    if not fresh or not sys.platform.startswith("linux") or (os.cpu_count() or 1) < 2:
        return None
    from kitloom.make.beside_work import LOADED_BY_BOTH

    LOADED_BY_BOTH()
    gc.freeze()  # or looking for rubbish would give each process its own copy of all there is
    here, there = Pipe()
    try:
        process = os.fork()
    except OSError:
        here.close()
        there.close()
        return None
    if process == 0:
        here.close()
        _live(there)
    there.close()
    return Beside(process, here)


def _live(line: Connection) -> NoReturn:
    """Answer questions until the line is closed: the whole life of the other process."""
    try:
        nowhere = os.open(os.devnull, os.O_RDWR)
        for handle in (0, 1, 2):
            os.dup2(nowhere, handle)
        _answer(line)
    finally:
        os._exit(0)


def _answer(line: Connection) -> None:
    from kitloom.make.beside_work import LOADED_FIRST, LOADED_LATER

    LOADED_FIRST()
    later = [LOADED_LATER]
    while True:
        while later and not line.poll():
            later.pop()()
        try:
            function, words = line.recv()
        except (EOFError, OSError):
            return
        try:
            found = True, function(*words)
        except Exception:
            found = False, None
        _send(line, *found)


def _send(line: Connection, done: bool, found: Any) -> None:
    line.send((done, found))


def _received(line: Connection) -> tuple[bool, Any]:
    done, found = line.recv()
    return done, found
