"""Work that ends its process, for tests/kitloom/test_library.py: workers load this and no more."""

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
