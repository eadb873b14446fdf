"""Work that takes longer than a moment: queued, watched, stopped, and kept within limits.

In: plain functions of plain values. Out: a ``Job`` each, with its state, its progress and, once it
is done, its result or its typed error. Functions given to ``submit`` run in spawned worker
processes, the same on every system; those given to ``coordinate`` run in a thread of this process,
to put the results of others together. ``system`` is the one module that asks on which system this
runs.

Not done here: what is worth remembering from one run to the next, and any sentence about a result.
"""

from kitloom.jobs.job import Job, Progress, State
from kitloom.jobs.job_errors import BrokenError, JobError, LateError, StoppedError
from kitloom.jobs.runner import Runner
from kitloom.jobs.system import (
    end_at_once,
    exit_code_of,
    reuse_address,
    shell_knows_home,
    when_asked_to_end,
)

__all__ = [
    "BrokenError",
    "Job",
    "JobError",
    "LateError",
    "Progress",
    "Runner",
    "State",
    "StoppedError",
    "end_at_once",
    "exit_code_of",
    "reuse_address",
    "shell_knows_home",
    "when_asked_to_end",
]
