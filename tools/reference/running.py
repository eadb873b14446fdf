"""Run kitloom as a maker would, in a folder of its own that has the samples in it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COLUMNS = 100


@contextmanager
def desk() -> Iterator[Path]:
    """Give a new folder with ``samples`` in it, and take it away afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "samples").symlink_to(ROOT / "samples")
        yield Path(folder)


def _environment() -> dict[str, str]:
    return {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "COLUMNS": str(COLUMNS),
        "NO_COLOR": "1",
        "PYTHONUNBUFFERED": "1",
    }


def run(words: Sequence[str], folder: Path) -> str:
    """Return what ``kitloom WORDS`` says on standard output, without spaces at the lines' ends."""
    done = subprocess.run(  # our own command
        [sys.executable, "-m", "kitloom", *words],
        cwd=folder,
        env=_environment(),
        capture_output=True,
        text=True,
        check=False,
        timeout=600,
    )
    if done.returncode > 1:
        raise RuntimeError(f"kitloom {' '.join(words)} failed: {done.stderr}")
    return "\n".join(line.rstrip() for line in done.stdout.splitlines())


def first_lines(words: Sequence[str], folder: Path, count: int) -> str:
    """Return the first lines of a command that goes on until it is stopped, and stop it."""
    with subprocess.Popen(  # our own command
        [sys.executable, "-m", "kitloom", *words],
        cwd=folder,
        env=_environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as going:
        assert going.stdout is not None
        lines = [going.stdout.readline().rstrip() for _ in range(count)]
        going.send_signal(signal.SIGINT)
    return "\n".join(lines)
