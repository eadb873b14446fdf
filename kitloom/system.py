"""What differs between Linux, macOS and Windows about processes, sockets, locks and shells.

The only module that asks which system it is. Where a system cannot do a thing it is left undone,
and the same code goes on without it.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import socket
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import FrameType


def cores() -> int:
    """Return how many cores this process may use, at least 1."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def limit_memory(most_bytes: int) -> None:
    """Let this process have no more memory than that; Windows has no such limit."""
    try:
        import resource
    except ImportError:
        return
    with suppress(ValueError, OSError):  # macOS refuses some limits
        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def leave_interrupts_to_parent() -> None:
    """Ignore Ctrl-C, which reaches every process of a terminal: the parent answers it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def when_asked_to_end(act: Callable[[int], None]) -> None:
    """Call ``act`` with the signal's number on Ctrl-C or a request to end, instead of breaking in.

    Signals reach the main thread alone; in any other nothing is changed.
    """

    def ask(number: int, frame: FrameType | None) -> None:
        del frame
        act(number)

    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, ask)
        signal.signal(signal.SIGTERM, ask)


def exit_code_of(number: int) -> int:
    """Return the exit code of a process that a signal has ended in order; 0 for Ctrl-C."""
    return 0 if number == signal.SIGINT else 128 + number


def end_at_once(code: int) -> None:
    """End this process without waiting for threads that compute: a call that never returns.

    Python takes its libraries down at the end while such a thread is still inside them, which can
    break it.
    """
    for stream in (sys.stdout, sys.stderr):
        stream.flush()
    os._exit(code)


def reuse_address(listener: socket.socket) -> None:
    """Let a socket listen on a port that was in use a moment ago.

    Windows does so by itself; there, this would let two servers share a port.
    """
    if os.name != "nt":
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)


def shell_knows_home() -> bool:
    """Tell whether "~" stands for the home folder in a terminal; Windows' own shell knows none."""
    return os.name != "nt"


def end_with_parent() -> None:
    """End this process once its parent has ended, in whatever way: a call that never returns.

    It waits for the pipe that the parent holds open, so that even a killed parent is noticed.
    """
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


@contextmanager
def one_at_a_time(folder: Path) -> Iterator[None]:
    """Hold a folder for the moment of writing in it; whoever else writes there waits.

    On Windows, which has no such locks, two runs at once fail loudly in their renames.
    """
    try:
        import fcntl
    except ImportError:
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def lock(handle: int) -> bool:
    """Lock an open file for this process until it is closed; False where another has it.

    True on Windows, which has no such locks.
    """
    try:
        import fcntl
    except ImportError:
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def open_at_once(path: Path) -> int:
    """Open a file to read and return its handle; a pipe without a writer is not waited for."""
    return os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))


def to_disk(folder: Path) -> None:
    """See to it that renames in a folder outlive a power cut, where the system can."""
    with suppress(OSError):  # Windows opens no folders
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
