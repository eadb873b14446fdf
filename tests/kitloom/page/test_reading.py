"""A file that breaks, stalls or floods its reader ends one worker and nothing else."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Thread

import pytest

from kitloom.jobs import Runner
from kitloom.measure import Request, study
from kitloom.page.state import reading
from kitloom.page.state.reading import Reader
from patterns.artwork_error import ArtworkError
from tests.kitloom.deadly_files import breaking_work, flooding_work

from .conftest import tile_file
from .processes import alive, halted, ticks
from .waiting import HANGS_SECONDS, until

IN_PROC = pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="looks for processes in /proc"
)
pytestmark = pytest.mark.skipif(
    not hasattr(signal, "SIGKILL"), reason="processes are killed by signals only on POSIX systems"
)


@pytest.fixture
def runner() -> Iterator[Runner]:
    with Runner(1, loads=("kitloom.measure",)) as made:
        yield made


def worker_of(runner: Runner) -> int:
    return runner.submit(os.getpid).result(HANGS_SECONDS)


def test_a_tile_is_measured_as_in_this_process(runner: Runner, tmp_path: Path) -> None:
    path = tile_file(tmp_path / "pods.png")
    reader = Reader(runner)
    there, here = reader.study(Request(path)), study(Request(path))
    assert there.check.seamless is here.check.seamless is True
    assert there.check.x.score == here.check.x.score
    with pytest.raises(ArtworkError, match="no such file"):
        reader.study(Request(tmp_path / "none.png"))


def test_a_killed_worker_is_replaced_and_the_tile_measured_again(
    runner: Runner, tmp_path: Path
) -> None:
    path = tile_file(tmp_path / "pods.png")
    os.kill(worker_of(runner), signal.SIGKILL)
    assert Reader(runner).study(Request(path)).check.seamless is True


@IN_PROC
def test_a_file_that_stalls_is_refused_in_time(runner: Runner, tmp_path: Path) -> None:
    process = worker_of(runner)
    with halted([process]):  # it would never answer
        with pytest.raises(ArtworkError, match=r"cannot be measured .*it took over"):
            Reader(runner, max_seconds=0.01).study(Request(tile_file(tmp_path / "slow.png")))
        until(lambda: not alive(process))


@pytest.mark.parametrize("deadly", [breaking_work, flooding_work])
def test_a_file_that_breaks_or_floods_its_reader_is_refused_and_the_next_one_read(
    runner: Runner, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, deadly: Callable[..., object]
) -> None:
    path = tile_file(tmp_path / "pods.png")
    with monkeypatch.context() as patch:
        patch.setattr(reading, "study", deadly)
        with pytest.raises(ArtworkError, match="needs too much memory or crashes the program"):
            Reader(runner).study(Request(path))
    assert Reader(runner).study(Request(path)).check.seamless is True


@IN_PROC
def test_what_was_being_measured_when_its_worker_died_is_measured_again(
    runner: Runner, tmp_path: Path
) -> None:
    path = tile_file(tmp_path / "large.png", size=1400)
    found: list[object] = []
    reader = Reader(runner)
    other = Thread(target=lambda: found.append(reader.study(Request(path)).check.seamless))
    reader.study(Request(tile_file(tmp_path / "small.png")))  # all is loaded
    process = worker_of(runner)
    before = ticks(process)
    other.start()
    until(lambda: ticks(process) > before or not other.is_alive())
    os.kill(process, signal.SIGKILL)
    other.join(HANGS_SECONDS)
    assert found == [True]
