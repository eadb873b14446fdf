"""A file that breaks, stalls or floods its reader ends one process and nothing else."""

from __future__ import annotations

import os
import signal
from pathlib import Path
from threading import Thread

import pytest

from kitloom.measure import Request
from kitloom.page.state.shelter import Shelter
from patterns.artwork_error import ArtworkError

from .conftest import Served, tile_file
from .processes import alive, halted, ticks
from .waiting import HANGS_SECONDS, until

IN_PROC = pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="looks for processes in /proc"
)
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


def process_of(shelter: Shelter) -> int:
    until(lambda: shelter._pool is not None and bool(shelter._pool._processes))
    (process,) = shelter._pool._processes  # type: ignore[union-attr]
    return process


@IN_PROC
def test_a_file_that_stalls_is_refused_in_time(tmp_path: Path) -> None:
    shelter = Shelter(1, max_seconds=0.01)
    try:
        shelter.warm()
        process = process_of(shelter)
        with halted([process]):  # it would never answer
            with pytest.raises(ArtworkError, match=r"cannot be measured .*it took over"):
                shelter.study(Request(tile_file(tmp_path / "slow.png")))
            until(lambda: not alive(process))
    finally:
        shelter.close()


@IN_PROC
def test_what_was_being_measured_when_its_process_died_is_measured_again(tmp_path: Path) -> None:
    path = tile_file(tmp_path / "large.png", size=1400)
    shelter = Shelter(1)
    found: list[object] = []
    other = Thread(target=lambda: found.append(shelter.study(Request(path)).check.seamless))
    try:
        shelter.study(Request(tile_file(tmp_path / "small.png")))  # all is loaded
        process = process_of(shelter)
        before = ticks(process)
        other.start()
        until(lambda: ticks(process) > before or not other.is_alive())
        os.kill(process, signal.SIGKILL)
        other.join(HANGS_SECONDS)
        assert found == [True]
    finally:
        shelter.close()


@IN_PROC
@pytest.mark.parametrize("ending", ["SIGTERM", "SIGINT", "SIGHUP", "SIGKILL"])
def test_no_process_outlives_the_server_however_it_ends(tmp_path: Path, ending: str) -> None:
    served = Served(tmp_path / "kit")
    until(lambda: len(served.below()) >= 2)  # Python's own tracker, and who measures
    served.process.send_signal(getattr(signal, ending))
    served.process.wait(HANGS_SECONDS)
    until(lambda: not served.below())
    served.stop()
