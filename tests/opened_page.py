"""Start a page as a maker does, and see that it answers."""

from __future__ import annotations

import os
import signal
import subprocess
from collections.abc import Callable
from pathlib import Path
from threading import Timer
from urllib.request import urlopen

HANGS_SECONDS = 540


def said_until_open(
    command: list[str | Path],
    home: Path,
    folder: Path,
    *,
    while_open: Callable[[], None] = lambda: None,
    **more: str,
) -> tuple[str, int]:
    """Start a page as a double-click does; return what it said, and its answer's status.

    No real browser is opened: ``true`` stands for one. ``while_open`` is called while it runs.
    """
    plain = {
        name: value
        for name, value in os.environ.items()
        if name not in {"PYTHONPATH", "DISPLAY", "WAYLAND_DISPLAY", "VIRTUAL_ENV"}
    }
    process = subprocess.Popen(
        command, cwd=folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT, text=True, start_new_session=True,
        env=plain | {"HOME": str(home), "BROWSER": "true", "PYTHONUNBUFFERED": "1"} | more,
    )  # fmt: skip
    hangs = Timer(HANGS_SECONDS, process.kill)
    hangs.start()
    said, status = "", 0
    assert process.stdout is not None
    try:
        for line in process.stdout:
            said += line
            if line.startswith("Open: "):
                with urlopen(line.split()[1], timeout=120) as answer:  # noqa: S310  our own page
                    status = answer.status
                while_open()
                break
    finally:
        hangs.cancel()
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGTERM)
        process.wait(HANGS_SECONDS)
        process.stdout.close()
    return said, status
