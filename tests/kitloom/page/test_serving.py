"""The server ends in order, whenever and however it is told to, and leaves no process behind."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest

from .conftest import Served
from .waiting import HANGS_SECONDS, until

IN_PROC = pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="looks for processes in /proc"
)
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        not hasattr(signal, "SIGKILL"),
        reason="processes are ended by signals only on POSIX systems",
    ),
]


@IN_PROC
@pytest.mark.parametrize("ending", ["SIGTERM", "SIGINT", "SIGHUP", "SIGKILL"])
def test_no_process_outlives_the_server_however_it_ends(tmp_path: Path, ending: str) -> None:
    served = Served(tmp_path / "kit")
    until(lambda: len(served.below()) >= 2)  # Python's own tracker, and who measures
    served.process.send_signal(getattr(signal, ending))
    served.process.wait(HANGS_SECONDS)
    until(lambda: not served.below())
    served.stop()


@pytest.mark.parametrize(("ending", "code"), [("SIGTERM", 143), ("SIGINT", 0)])
def test_told_to_end_as_soon_as_it_has_said_where_it_is_it_ends_without_a_word(
    tmp_path: Path, ending: str, code: int
) -> None:
    with (tmp_path / "errors").open("w+") as errors:
        served = Served(tmp_path / "kit", errors)
        served.process.send_signal(getattr(signal, ending))
        assert served.process.wait(HANGS_SECONDS) == code
        served.stop()
        errors.seek(0)
        assert errors.read() == ""
