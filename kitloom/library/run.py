"""The audit of a library from its files to its journal, and its summary in the end.

In: files and options. Out: rows in the order of the files, read from the journal one at a time. A
file that ends its worker twice gets a row too; all others go on.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from kitloom.findings import duplicate_finding
from kitloom.jobs import BrokenError, Runner
from kitloom.library.audit import (
    BREAKS_READER,
    Row,
    audit_tile,
    empty_row,
    file_digest,
    unreadable_row,
)
from kitloom.library.duplicates import Duplicate, duplicates
from kitloom.library.journal import Journal
from kitloom.measure import Request
from kitloom.present import worst_first


@dataclass(frozen=True, slots=True)
class Task:
    """What is done with each file.

    Attributes:
        work: returns the row of a file; other processes must be able to import it.
        broken: returns the row of a file that ended its worker twice.
        settings: with what it is done; a row of other settings is done again.
    """

    work: Callable[[Request], Row]
    broken: Callable[[Request], Row]
    settings: str


def audit(
    requests: Sequence[Request],
    journal: Journal,
    tell: Callable[[Row], None],
    task: Task,
    *,
    workers: int,
    cluster: str | None = None,
) -> None:
    """Put a row of every file into the journal; what is there with the same hash stays.

    Args:
        requests: the files; their subjects are unique.
        journal: where rows go, each as soon as it is there.
        tell: called with each new row, in the order in which they are done.
        task: what is done with each.
        workers: how many processes.
        cluster: a Dask scheduler's address, to work there instead.

    Raises:
        ClusterError: the cluster cannot be used.
    """
    unknown = (
        request
        for request in requests
        if not journal.knows(request.subject, partial(file_digest, request.path), task.settings)
    )
    with closing(_rows(unknown, task, workers, cluster)) as rows:
        for row in rows:
            journal.add(row)
            tell(row)


def _rows(
    unknown: Iterator[Request], task: Task, workers: int, cluster: str | None
) -> Generator[Row]:
    """Yield the row of each file as soon as it is done, in whatever order."""
    if cluster is not None:
        from kitloom.library.cluster import on_cluster

        if waiting := list(unknown):
            yield from on_cluster(waiting, task.work, cluster)
        return
    with Runner(workers) as runner:
        for request, job in runner.each(task.work, unknown, attempts=2):
            try:
                row = job.result()
            except BrokenError:
                row = task.broken(request)
            yield row


def check_task(lattice: str) -> Task:
    """Return the task of ``kitloom check``."""
    return Task(audit_tile, _broke_its_reader, lattice)


def _broke_its_reader(request: Request) -> Row:
    row = {**empty_row(request), "sha256": file_digest(request.path)}
    return unreadable_row(row, "cannot be read", BREAKS_READER)


class Summary:
    """The rows of a finished audit with what only shows across the library."""

    def __init__(self, journal: Journal, requests: Sequence[Request]) -> None:
        """Look for near-duplicates among all rows."""
        self._journal = journal
        self._files = [request.subject for request in requests]
        found = duplicates(journal.rows(self._files))
        self.duplicates: dict[str, Duplicate] = {one.file: one for one in found}

    def __len__(self) -> int:
        return len(self._files)

    def rows(self) -> Iterator[Row]:
        """Yield every row in the order of the files."""
        return (self._with_duplicate(row) for row in self._journal.rows(self._files))

    def worst_first(self, most: int) -> Iterator[Row]:
        """Yield the worst rows, the surest fault first."""
        keys = [(*rank(row), i) for i, row in enumerate(self._journal.rows(self._files))]
        for *_, i in sorted(keys)[:most]:
            yield self._with_duplicate(self._journal.row(self._files[i]))

    def _with_duplicate(self, row: Row) -> Row:
        one = self.duplicates.get(row["file"])
        if one is None:
            return row
        found = duplicate_finding(one.file, one.like, one.likeness).as_dict()
        return {**row, "findings": [*row["findings"], found]}


def rank(row: Row) -> tuple[int, float]:
    """Return what sorts rows worst first; what cannot be opened comes before all tiles."""
    return (0, -2.0) if row["tile"] is None else worst_first(row["tile"])


def row_verdict(row: Row) -> str:
    """Return "unreadable", "seam", "unsure" or "seamless"."""
    if row["tile"] is None:
        return "unreadable"
    return {False: "seam", None: "unsure", True: "seamless"}[row["tile"]["seamless"]]


def requests_of(files: Sequence[Path], lattice: str) -> list[Request]:
    """Return a request for each file, called by its path as the maker named it."""
    return [Request(path, lattice, str(path)) for path in files]
