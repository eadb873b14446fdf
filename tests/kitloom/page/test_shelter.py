"""A file that breaks, stalls or floods its reader ends one process and nothing else."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path
from threading import Thread

import pytest

from kitloom.page.shelter import Shelter
from kitloom.studies import Request
from patterns.errors import ArtworkError

from .conftest import tile_file

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
