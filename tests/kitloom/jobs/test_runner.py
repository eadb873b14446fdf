"""Jobs: they end as what they are, stop when told, and harm nothing but themselves."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from threading import Event
from typing import Any

import pytest

from kitloom.jobs import BrokenError, Job, LateError, Runner, StoppedError
from palette.errors import KitloomError
from palette.space import parse_hex

FOR_EVER: Any = partial(time.sleep, 600)  # work that no test could wait for
SOON = 60.0


@pytest.fixture(scope="module")
def runner() -> Iterator[Runner]:
    with Runner(2) as made:
        yield made


def test_a_result_comes_back_from_another_process(runner: Runner) -> None:
    assert runner.submit(os.getpid).result(SOON) != os.getpid()
    assert runner.submit(partial(abs, -3)).result(SOON) == 3


def test_one_job_after_another_needs_one_worker() -> None:
    with Runner(3) as three:
        assert len({three.submit(os.getpid).result(SOON) for _ in range(5)}) == 1


def test_an_error_comes_back_as_what_it_is(runner: Runner) -> None:
    with pytest.raises(KitloomError, match="not a colour") as caught:
        runner.submit(partial(parse_hex, "mauve", where="here")).result(SOON)
    assert type(caught.value).__name__ == "PaletteError"
    assert (caught.value.where, caught.value.remedy) == ("here", 'Write it like "#3b5b7a".')


def test_a_fault_that_nobody_foresaw_is_told_too(runner: Runner) -> None:
    with pytest.raises(ZeroDivisionError):
        runner.submit(partial(divmod, 1, 0)).result(SOON)


def test_what_cannot_cross_is_an_error_not_a_dead_worker(runner: Runner) -> None:
    with pytest.raises(Exception, match="pickle"):
        runner.submit(lambda: 1).result(SOON)
    with pytest.raises(Exception, match="pickle"):
        runner.submit(partial(open, os.devnull)).result(SOON)
    assert runner.submit(partial(abs, -3)).result(SOON) == 3


def test_work_that_breaks_its_process_is_told_and_the_queue_goes_on(runner: Runner) -> None:
    jobs = [runner.submit(partial(os._exit, 3), "odd.png"), runner.submit(partial(abs, -3))]
    with pytest.raises(BrokenError, match=r"odd\.png: could not be done"):
        jobs[0].result(SOON)
    assert jobs[1].result(SOON) == 3


def breaks_once(mark: Path) -> str:
    if not mark.exists():
        mark.touch()
        os._exit(9)
    return "done"


def test_a_second_attempt_may_succeed(runner: Runner, tmp_path: Path) -> None:
    job = runner.submit(partial(breaks_once, tmp_path / "mark"), attempts=2)
    assert job.result(SOON) == "done"


def test_work_that_stalls_is_ended_by_its_limit(runner: Runner) -> None:
    with pytest.raises(LateError, match=r"big\.png: takes too long"):
        runner.submit(FOR_EVER, "big.png", seconds=0.05).result(SOON)


def test_work_that_takes_all_memory_is_told() -> None:
    with Runner(1, most_bytes=2**31) as small, pytest.raises(BrokenError, match="memory"):
        small.submit(partial(bytearray, 2**32), "huge.png").result(SOON)


def test_stopped_work_ends_and_tells_its_states(runner: Runner) -> None:
    states, running = [], Event()

    def changed(job: Job[None]) -> None:
        states.append(job.progress.state)
        if job.progress.state == "running":
            running.set()

    job = runner.submit(FOR_EVER, changed=changed)
    assert running.wait(SOON)
    runner.stop(job.number)
    with pytest.raises(StoppedError):
        job.result(SOON)
    assert job.progress.ended
    assert states[:1] == ["running"]
    assert runner.submit(partial(abs, -3)).result(SOON) == 3


def test_work_stopped_before_it_begins_never_does(tmp_path: Path) -> None:
    with Runner(1) as one:
        first = one.submit(FOR_EVER)
        second = one.submit(partial(Path.touch, tmp_path / "mark"))
        second.stop()
        first.stop()
        with pytest.raises(StoppedError):
            second.result(SOON)
    assert not (tmp_path / "mark").exists()


def test_a_coordinator_counts_and_is_stopped_with_what_it_waits_for(runner: Runner) -> None:
    begun = Event()

    def work(job: Job[None]) -> None:
        job.step()
        begun.set()
        job.wait_for(runner.submit(FOR_EVER))

    job = runner.coordinate(work, "two tiles", of=2)
    assert begun.wait(SOON)
    assert (job.progress.done, job.progress.of, job.progress.state) == (1, 2, "running")
    job.stop()
    with pytest.raises(StoppedError):
        job.result(SOON)
    assert job.progress.state == "stopped"


def test_each_item_comes_with_its_own_job(runner: Runner) -> None:
    found = {item: job.result() for item, job in runner.each(abs, range(-20, 0))}
    assert found == {i: -i for i in range(-20, 0)}


def test_the_end_of_a_runner_ends_all_it_began() -> None:
    one = Runner(1)
    worker = one.submit(os.getpid).result(SOON)
    job = one.submit(FOR_EVER)
    one.close()
    with pytest.raises(StoppedError):
        job.result(SOON)
    with pytest.raises(ProcessLookupError):
        os.kill(worker, 0)
    with pytest.raises(StoppedError):
        one.submit(FOR_EVER).result(SOON)


def test_the_end_waits_no_longer_than_it_is_told_to() -> None:
    one, begun, go_on = Runner(1), Event(), Event()

    def work(job: Job[None]) -> None:
        del job
        begun.set()
        assert go_on.wait(SOON)

    job = one.coordinate(work)
    assert begun.wait(SOON)
    assert not one.close(0.01)
    go_on.set()
    assert one.close(SOON)
    assert job.progress.state == "done"
