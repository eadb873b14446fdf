"""What a file can do to the worker that reads it, for tests of the page: workers load this."""

from __future__ import annotations

import os
import signal

from kitloom.measure import Request


def breaking_work(request: Request) -> str:
    """End the process at any file."""
    os.kill(os.getpid(), signal.SIGKILL)
    return request.subject


def flooding_work(request: Request) -> int:
    """Ask for more memory than there is at any file."""
    return len(bytearray(2**40)) + len(request.subject)
