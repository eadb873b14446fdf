"""Work that ends its process, for tests of what runs workers: they load this and no more."""

from __future__ import annotations

import os
import signal

from kitloom.measure import Request


def killing_work(request: Request) -> str:
    """Die at one file always, at another only the first time."""
    if request.subject == "deadly":
        os.kill(os.getpid(), signal.SIGKILL)
    if request.subject == "once" and not request.path.exists():
        request.path.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return request.subject


def breaking_work(request: Request) -> str:
    """End the process at any file."""
    os.kill(os.getpid(), signal.SIGKILL)
    return request.subject


def flooding_work(request: Request) -> int:
    """Ask for more memory than there is at any file."""
    return len(bytearray(2**40)) + len(request.subject)
