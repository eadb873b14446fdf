"""What differs between Linux, macOS and Windows about processes: the only module that asks.

Where a system cannot do a thing it is left undone, and the same code goes on without it.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from contextlib import suppress


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


def end_with_parent() -> None:
    """End this process once its parent has ended, in whatever way: a call that never returns.

    It waits for the pipe that the parent holds open, so that even a killed parent is noticed.
    """
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
