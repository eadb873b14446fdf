"""Waiting for what will come about, with a limit that only a hang meets."""

from __future__ import annotations

import time
from collections.abc import Callable

HANGS_SECONDS = 120.0


def until(true: Callable[[], bool]) -> None:
    end = time.monotonic() + HANGS_SECONDS
    while not true():
        assert time.monotonic() < end, "it never came about"
        time.sleep(0.02)
