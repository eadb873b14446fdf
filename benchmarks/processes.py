"""Whole processes measured: wall seconds, processor seconds of all their threads, peak memory.

Packages are compiled first, as they are once installed; without that, a system that writes no
bytecode would compile kitloom at every start. Peak memory is the process's own ``VmHWM``, read all
along: ``ru_maxrss`` of a child begins with what its parent held.
"""

from __future__ import annotations

import compileall
import os
import statistics
import subprocess
import sys
import threading
import time
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
_PACKAGES = ("kit", "kitloom", "palette", "patterns")


class Figures(NamedTuple):
    """What a process took."""

    wall_s: float
    cpu_s: float
    peak_mb: float


@cache
def compiled() -> None:
    """Compile kitloom's packages, as an installation does."""
    for package in _PACKAGES:
        compileall.compile_dir(ROOT / package, quiet=1)


def measured(words: list[str]) -> tuple[Figures, str]:
    """Run a process; return its figures and what it printed.

    Raises:
        SystemExit: it ended with another status than 0 or 1.
    """
    compiled()
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    start = time.perf_counter()
    process = subprocess.Popen(words, stdout=subprocess.PIPE, env=environment)
    assert process.stdout is not None
    peaks: list[float] = [0.0]
    over = threading.Event()
    watcher = threading.Thread(target=_watch, args=(process.pid, peaks, over))
    watcher.start()
    told = process.stdout.read().decode()
    _, status, usage = os.wait4(process.pid, 0)
    wall = time.perf_counter() - start
    over.set()
    watcher.join()
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in {0, 1}:
        raise SystemExit(f"{words} ended with {process.returncode}")
    return Figures(wall, usage.ru_utime + usage.ru_stime, max(peaks)), told


def _watch(pid: int, peaks: list[float], over: threading.Event) -> None:
    status = Path(f"/proc/{pid}/status")
    while not over.wait(0.02):
        try:
            words = status.read_text().split("VmHWM:")[1:]
        except OSError:
            return
        peaks += [int(word.split()[0]) / 1024 for word in words]


def median(rows: list[Figures]) -> Figures:
    """Return the median of each figure."""
    return Figures(*(statistics.median(column) for column in zip(*rows, strict=True)))


def option(name: str, default: str) -> str:
    """Return what follows an option in the call."""
    return sys.argv[sys.argv.index(name) + 1] if name in sys.argv else default
