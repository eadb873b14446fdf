"""Processes as /proc tells of them (proc(5)): what runs below a server, and holding it still."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from .waiting import until


def _fields(process: int) -> list[str]:
    """The fields after a process's name: state, parent, group, session and so on; none if gone."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()
    except OSError:
        return []


def alive(process: int) -> bool:
    return (_fields(process) or ["Z"])[0] not in "ZX"


def of_session(leader: int) -> set[int]:
    """Every living process of a session, whoever is its parent by now; without the leader."""
    there = (int(place.name) for place in Path("/proc").glob("[0-9]*"))
    return {
        one for one in there if one != leader and alive(one) and _fields(one)[3:4] == [str(leader)]
    }


def ticks(process: int) -> int:
    """How long a process has computed; 0 if it is gone."""
    return sum(int(one) for one in _fields(process)[11:13])


@contextmanager
def halted(processes: Iterable[int]) -> Iterator[None]:
    """Hold processes still for a while: whoever waits for them waits."""
    held = list(processes)
    assert held
    try:
        for one in held:
            os.kill(one, signal.SIGSTOP)
        until(lambda: all((_fields(one) or ["T"])[0] == "T" for one in held))
        yield
    finally:
        for one in held:
            with suppress(ProcessLookupError):
                os.kill(one, signal.SIGCONT)
