"""Past one machine: the same work on a Dask cluster, through joblib's backend.

The workers must see the files under the same names and have the same kitloom. Tiles travel in
batches, because a scheduler takes about a millisecond a task; a batch whose worker dies is given to
another, so nothing is lost, and results are taken once a batch, so nothing counts twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, TypeVar

from palette.errors import KitloomError

A = TypeVar("A")
R = TypeVar("R")

LEAST_BATCH = 10
MOST_BATCH = 50


class ClusterError(KitloomError):
    """A cluster cannot be used."""


def on_cluster(
    requests: Sequence[A], work: Callable[[A], R], address: str, *, batch: int | None = None
) -> Iterator[R]:
    """Yield the result of each request, batch by batch as they are done.

    Args:
        requests: what is to be done.
        work: what does one of them; the workers must be able to import it.
        address: the scheduler's.
        batch: how many go in one task; by their number and the workers' where None.

    Raises:
        ClusterError: Dask is not installed, or nothing answers at the address.
    """
    client = _client(address)
    from joblib import Parallel, delayed, parallel_config

    try:
        size = batch or _batch_size(len(requests), sum(client.nthreads().values()))
        batches = [requests[i : i + size] for i in range(0, len(requests), size)]
        with parallel_config(backend="dask"):
            parallel = Parallel(return_as="generator_unordered", batch_size=1)
            for results in parallel(delayed(_batch)(work, batch) for batch in batches):
                yield from results
    finally:
        client.close()


def _batch_size(count: int, workers: int) -> int:
    """Return how many tiles go in one task: about four tasks a worker, within limits."""
    return max(LEAST_BATCH, min(MOST_BATCH, count // max(1, 4 * workers)))


def _batch(work: Callable[[A], R], batch: Sequence[A]) -> list[R]:
    return [work(request) for request in batch]


def _client(address: str) -> Any:
    try:
        from distributed import Client
    except ImportError as error:
        raise ClusterError(
            "needs Dask",
            where="--cluster",
            remedy='Install it with: pip install "kitloom[cluster]".',
        ) from error
    try:
        return Client(address, timeout=15)  # type: ignore[no-untyped-call, unused-ignore]
    except (OSError, ValueError, TimeoutError) as error:
        raise ClusterError(
            "does not answer",
            where=address,
            why=str(error) or type(error).__name__,
            remedy="Name the scheduler's address, such as tcp://host:8786.",
        ) from error
