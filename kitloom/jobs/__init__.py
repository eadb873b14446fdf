"""Work that takes longer than a moment: queued, watched, stopped, and kept within limits.

In: plain functions of plain values. Out: a ``Job`` each, with its state, its progress and, once it
is done, its result or its typed error. Functions given to ``submit`` run in spawned worker
processes, the same on every system; those given to ``coordinate`` run in a thread of this process,
to put the results of others together.

Not done here: what is worth remembering from one run to the next, and any sentence about a result.
"""

from kitloom.jobs.job import Job, Progress, State
from kitloom.jobs.job_errors import BrokenError, JobError, LateError, StoppedError
from kitloom.jobs.runner import Runner

__all__ = [
    "BrokenError",
    "Job",
    "JobError",
    "LateError",
    "Progress",
    "Runner",
    "State",
    "StoppedError",
]
