"""What a run reads is never replaced by what it writes: the one guard of every command.

In: the files that a run reads, and those that it is about to write. Out: nothing, or an error that
names the file and another place. Files are the same where their resolved paths are, or where the
system says so, as for links and for names that differ in capitals alone.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from palette.errors import KitloomError


class OutputError(KitloomError):
    """An output folder cannot be used."""


def real(path: Path) -> Path:
    """Return where a path leads, links followed as far as they lead anywhere."""
    return Path(os.path.realpath(path))


def check_apart(targets: Iterable[Path], reads: Iterable[Path]) -> None:
    """Refuse to write where something stands that this run reads.

    Args:
        targets: the files to write; they need not exist.
        reads: every file that the run reads.

    Raises:
        OutputError: one is both.
    """
    known = {mark: path for path in reads for mark in _marks(path)}
    for target in targets:
        if any(mark in known for mark in _marks(target)):
            raise OutputError(
                "would be replaced by what is made from it",
                where=str(target),
                why="nothing that a run reads is ever replaced",
                remedy=f"Write to another place, such as {_elsewhere(target)}.",
            )


def _marks(path: Path) -> list[object]:
    """By what a file is known: its resolved path, and the system's own number where it exists."""
    marks: list[object] = [os.path.normcase(real(path))]
    with suppress(OSError):
        status = path.stat()
        marks.append((status.st_dev, status.st_ino))
    return marks


def _elsewhere(target: Path) -> str:
    """Name a folder that is not there yet, beside the one that was to be written to."""
    folder = target.parent
    if not folder.name:  # the folder that one works in
        return f'the folder "{_free(folder / "new")}"'
    return f'the folder "{_free(folder.with_name(f"{folder.name}-new"))}"'


def _free(folder: Path) -> Path:
    number = 2
    free = folder
    while os.path.lexists(free):
        free = folder.with_name(f"{folder.name}-{number}")
        number += 1
    return free
