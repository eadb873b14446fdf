"""Work that ends its process, for tests/kitloom/test_library.py: workers load this and no more."""

from __future__ import annotations

import os
import signal

from kitloom.measure import Request


def killing_work(request: Request) -> dict[str, str]:
    """Die at one file always, at another only the first time."""
    if request.subject == "deadly":
        os.kill(os.getpid(), signal.SIGKILL)
    if request.subject == "once" and not request.path.exists():
        request.path.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return row_of(request.subject)


def broken_row(request: Request) -> dict[str, str]:
    """Return the row of a file that ended its worker twice."""
    return row_of(f"broken {request.subject}")


def row_of(file: str) -> dict[str, str]:
    return {"file": file, "sha256": "", "asked": ""}
