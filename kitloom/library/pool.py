"""Work on many tiles with all cores: each in a process, results as they come.

In: requests and a function of one. Out: its results in whatever order they are done; no more than
two a worker wait in memory. A worker that dies, killed or broken by a file, is replaced and what
was in hand is done again, each alone; a file that breaks its worker twice alone is told as
unreadable. The death before that does not count, because it may have been another's.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from typing import TypeVar

from kitloom.measure import Request

R = TypeVar("R")

_THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def in_processes(
    requests: Iterable[Request],
    work: Callable[[Request], R],
    broken: Callable[[Request], R],
    workers: int,
) -> Iterator[R]:
    """Yield the result of each request as it is done.

    Args:
        requests: what to do.
        work: a function that other processes can import.
        broken: the result of a request that ended its process twice when it was alone.
        workers: how many processes.
    """
    for name in _THREADS:  # a process a core is enough
        os.environ.setdefault(name, "1")
    waiting = iter(requests)
    while True:
        doubtful, over = yield from _until_broken(waiting, work, workers)
        for request in doubtful:
            yield _alone(request, work, broken)
        if over:
            return


def _until_broken(
    waiting: Iterator[Request], work: Callable[[Request], R], workers: int
) -> Generator[R, None, tuple[list[Request], bool]]:
    """Yield results; return what was in hand when a process died, and whether all was done."""
    running: dict[Future[R], Request] = {}
    with _pool(workers) as pool:
        while True:
            while len(running) < 2 * workers and (request := next(waiting, None)) is not None:
                try:
                    running[pool.submit(work, request)] = request
                except BrokenProcessPool:
                    return [*running.values(), request], False
            if not running:
                return [], True
            done, _ = wait(running, return_when=FIRST_COMPLETED)
            for future in done:
                try:
                    result = future.result()
                except BrokenProcessPool:
                    return list(running.values()), False
                del running[future]
                yield result


def _alone(request: Request, work: Callable[[Request], R], broken: Callable[[Request], R]) -> R:
    """Do one request in a process of its own: it, or one beside it, ended the last."""
    for _ in range(2):
        with _pool(1) as pool:
            try:
                return pool.submit(work, request).result()
            except BrokenProcessPool:
                continue
    return broken(request)


def _pool(workers: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn"))
