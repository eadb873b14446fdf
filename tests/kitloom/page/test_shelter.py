"""A file that breaks, stalls or floods its reader ends one process and nothing else."""

from __future__ import annotations

import os
import signal
import time
from contextlib import suppress
from pathlib import Path
from threading import Thread

import pytest

from kitloom.page.shelter import Shelter
from kitloom.studies import Request
from patterns.errors import ArtworkError

from .conftest import Served, tile_file

pytestmark = pytest.mark.skipif(
    not hasattr(signal, "SIGKILL"), reason="processes are killed by signals only on POSIX systems"
)


def test_a_tile_is_measured_as_without_shelter(tmp_path: Path) -> None:
    path = tile_file(tmp_path / "pods.png")
    shelter = Shelter(1)
    try:
        made = shelter.study(Request(path))
        assert made.check.seamless is True
        with pytest.raises(ArtworkError, match="no such file"):
            shelter.study(Request(tmp_path / "none.png"))
    finally:
        shelter.close()


def test_a_killed_process_is_replaced_and_the_tile_measured_again(tmp_path: Path) -> None:
    path = tile_file(tmp_path / "pods.png")
    shelter = Shelter(1)
    try:
        shelter.study(Request(path))
        assert shelter._pool is not None
        for process in list(shelter._pool._processes):
            os.kill(process, signal.SIGKILL)
        assert shelter.study(Request(path)).check.seamless is True
    finally:
        shelter.close()


def test_a_file_that_stalls_is_refused_in_time(tmp_path: Path) -> None:
    big = tile_file(tmp_path / "big.png", size=1500)
    shelter = Shelter(1, max_seconds=0.01)
    try:
        start = time.monotonic()
        with pytest.raises(ArtworkError, match="cannot be measured"):
            shelter.study(Request(big))
        assert time.monotonic() - start < 10
    finally:
        shelter.close()


def test_what_was_being_measured_when_its_process_died_is_measured_again(tmp_path: Path) -> None:
    path = tile_file(tmp_path / "large.png", size=1400)
    shelter = Shelter(1)
    found: list[object] = []
    other = Thread(target=lambda: found.append(shelter.study(Request(path)).check.seamless))
    try:
        other.start()
        while shelter._pool is None or not shelter._pool._processes:
            time.sleep(0.01)
        time.sleep(0.1)
        for process in list(shelter._pool._processes):
            os.kill(process, signal.SIGKILL)
        other.join(60)
        assert found == [True]
    finally:
        shelter.close()


def children(process: int) -> set[int]:
    """Every process below one, as /proc tells (proc(5))."""
    parents: dict[int, int] = {}
    for status in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            fields = status.read_text().rsplit(")", 1)[1].split()
            parents[int(status.parent.name)] = int(fields[1])
    below, more = set(), {process}
    while more:
        more = {child for child, parent in parents.items() if parent in more} - below
        below |= more
    return below


def alive(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks for orphans in /proc")
@pytest.mark.parametrize("ending", ["SIGTERM", "SIGINT", "SIGHUP", "SIGKILL"])
def test_no_process_outlives_the_server_however_it_ends(tmp_path: Path, ending: str) -> None:
    served = Served(tmp_path / "kit")
    wanted = 1 + min(2, os.cpu_count() or 1)  # Python's own tracker, and those that measure
    end = time.monotonic() + 60
    while len(below := children(served.process.pid)) < wanted:
        assert time.monotonic() < end, below
        time.sleep(0.05)
    served.process.send_signal(getattr(signal, ending))
    served.process.wait(30)
    end = time.monotonic() + 60
    while left := {one for one in below if alive(one)}:
        assert time.monotonic() < end, left
        time.sleep(0.05)
    served.stop()
