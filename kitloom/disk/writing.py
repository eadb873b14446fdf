"""Put finished files into a folder, all of them or none. The only module that writes.

``write_set`` owns its folder: the new set is written to a temporary folder beside it and then takes
its place by renaming, so that a run killed at any moment leaves the old set or the new one. What a
maker put there themselves is carried over. ``write_into`` adds files to a folder that is the
maker's own and never replaces one unasked; a run killed while it moves them is finished by the next
run that reads or writes that folder (``finish_moves``, which the front door calls for every path
named to it). ``put_right`` does what a killed run left undone, as every writer does first.

Left over by kills are hidden names: beside a set ``.NAME.new-…`` (unfinished) and
``.NAME.previous`` (the old one while the new one takes its place); in a maker's folder
``.kitloom.new-…`` and ``.kitloom.ready`` (finished, being moved).
"""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable, Sequence
from contextlib import ExitStack
from pathlib import Path

from kitloom.disk.apart import OutputError, check_apart, real
from kitloom.disk.whole import (
    Files,
    finish_moving,
    folder_made,
    fresh_file,
    fresh_folder,
    is_half_moved,
    is_ours,
    move_all_into,
    recover,
    take_the_place,
    traces,
)
from kitloom.system import one_at_a_time
from palette.errors import reason_of

LEFT_BY_A_RUN = {"kit.lock.json", "trial.txt"}  # one by each kit, one by each trial


def own_files(folder: Path) -> list[Path]:
    """Return the files of a set that are in a folder, sorted; the maker's own are left out."""
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if is_ours(path.name))


def check_output(folder: Path, *, reads: Iterable[Path], overwrite: bool) -> None:
    """Refuse an unusable output folder before any work is done.

    Args:
        folder: where a set is to go.
        reads: every file that the run reads.
        overwrite: whether an earlier set may be replaced.

    Raises:
        OutputError: it is a file, holds what the run reads, holds files and ``overwrite`` is not
            given, or cannot be written.
    """
    _check_is_folder(folder)
    here = real(Path.cwd())
    if real(folder) in {here, *here.parents}:
        raise OutputError(
            "is the folder that you work in" if real(folder) == here else "holds where you work",
            where=str(folder),
            why="a set takes its folder's place as a whole",
            remedy="Give --out a folder of its own.",
        )
    check_apart(own_files(folder), reads)
    if folder.is_dir() and not overwrite and any(folder.iterdir()):
        raise OutputError(
            "already holds files",
            where=str(folder),
            why="nothing is overwritten unasked",
            remedy="Give --out a new folder, or add --overwrite.",
        )
    standing = next(p for p in (folder, *folder.absolute().parents) if p.exists())
    # the set takes the folder's place, so the folder around it must be writable too
    places = {standing, folder.absolute().parent} if folder.is_dir() else {standing}
    for place in places:
        if not place.is_dir() or not os.access(place, os.W_OK | os.X_OK):
            raise OutputError(
                "cannot be written to",
                where=str(folder),
                why=f"{place} is not a writable folder",
                remedy="Choose another --out, or change its permissions.",
            )


def check_earlier_set(folder: Path) -> None:
    """Refuse to replace files that only have the names of a set's: a maker's own ``kit.pdf``.

    Raises:
        OutputError: there are some, and nothing that an earlier run leaves.
    """
    there = [path.name for path in own_files(folder)]
    if there and not LEFT_BY_A_RUN & set(there):
        raise OutputError(
            f"holds {there[0]}, which may be your own",
            where=str(folder),
            why="no kit.lock.json of an earlier run is beside it",
            remedy="Give --out another folder, or move what is in this one.",
        )


def check_inputs_apart(folder: Path, inputs: Iterable[Path]) -> None:
    """Refuse an output folder that holds what the set is made from.

    Raises:
        OutputError: one of the inputs lies in the folder.
    """
    place = real(folder)
    for path in inputs:
        if real(path).parent == place:
            raise OutputError(
                "holds the artwork itself",
                where=str(folder),
                why=f"{path.name} lies in it",
                remedy="Give --out another folder.",
            )


def write_set(folder: Path, files: Files, *, reads: Iterable[Path], overwrite: bool) -> list[Path]:
    """Write a whole set of files as the folder's new content.

    Args:
        folder: where the set goes; made if it does not exist.
        files: name to content.
        reads: every file that the run reads.
        overwrite: whether an earlier set may be replaced.

    Returns:
        The paths written, in the order given.

    Raises:
        OutputError: the folder is unusable, or the disk refuses.
    """
    reads = list(reads)
    check_output(folder, reads=reads, overwrite=overwrite)
    named, folder = folder, real(folder)  # a link's target is replaced, not the link
    try:
        with folder_made(folder.parent), one_at_a_time(folder.parent):
            recover(folder)
            check_output(folder, reads=reads, overwrite=overwrite)
            take_the_place(folder, fresh_folder(folder.parent, folder.name, files))
    except OSError as error:
        raise _refusal(named, error) from error
    return [named / name for name in files]


def put_right(folder: Path) -> None:
    """Finish or undo what a killed run left of a folder; wait for a run that is still writing.

    Raises:
        OutputError: the disk refuses.
    """
    place = real(folder)
    if traces(place):
        try:
            with one_at_a_time(place.parent):
                recover(place)
        except OSError as error:
            raise _refusal(folder, error) from error
    finish_moves([folder])


def finish_moves(paths: Iterable[Path]) -> None:
    """Finish what killed runs were moving into folders, or into the folders of files.

    Until then such a folder holds files of two runs.

    Raises:
        OutputError: it cannot be finished, so nothing in the folder should be used.
    """
    # Path.is_dir raises where a name is too long
    named = (path if os.path.isdir(path) else path.parent for path in paths)  # noqa: PTH112
    for folder in dict.fromkeys(named):
        if is_half_moved(folder):
            try:
                with one_at_a_time(folder):
                    finish_moving(folder)
            except OSError as error:
                raise OutputError(
                    "holds files of two runs, because one was stopped",
                    where=str(folder),
                    why=f"it cannot be finished: {reason_of(error)}",
                    remedy="Make the folder writable and run any kitloom command on it.",
                ) from error


def write_into(folder: Path, files: Files, *, reads: Iterable[Path], overwrite: bool) -> list[Path]:
    """Add files to a folder that may hold others.

    Args:
        folder: where they go; made if it does not exist.
        files: name to content.
        reads: every file that the run reads.
        overwrite: whether files of these names may be replaced.

    Returns:
        The paths written, in the order given.

    Raises:
        OutputError: one of the files is read by the run, or exists and ``overwrite`` is not given,
            or the disk refuses.
    """
    return write_all_into([(folder, files)], reads=reads, overwrite=overwrite)


def write_all_into(
    sets: Sequence[tuple[Path, Files]], *, reads: Iterable[Path], overwrite: bool
) -> list[Path]:
    """Add files to several folders, in all of them or in none.

    Returns:
        The paths written, in the order given.

    Raises:
        OutputError: one of the files is read by the run, or exists and ``overwrite`` is not given,
            or two are to have one place, or the disk refuses.
    """
    paths = [folder / name for folder, files in sets for name in files]
    for folder, _ in sets:
        _check_is_folder(folder)
    check_apart(paths, reads)
    _check_none_stands(paths, overwrite=overwrite)
    merged: dict[Path, list[Files]] = {}
    for folder, files in sets:
        merged.setdefault(real(folder), []).append(files)
    try:
        with ExitStack() as held:
            for folder in sorted(merged):  # in one order for all runs, so that none waits in a ring
                held.enter_context(folder_made(folder))
                held.enter_context(one_at_a_time(folder))
                finish_moving(folder)
            _check_none_stands(paths, overwrite=overwrite)
            move_all_into(merged)
    except OSError as error:
        raise _refusal(paths[0] if len(paths) == 1 else sets[0][0], error) from error
    return paths


def _check_is_folder(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise OutputError(
            "is a file, not a folder", where=str(folder), remedy="Name another folder to write to."
        )
    if real(folder).is_symlink():  # links that lead anywhere are followed
        raise OutputError(
            "is a link that leads to itself", where=str(folder), remedy="Name another folder."
        )


def _check_none_stands(paths: Iterable[Path], *, overwrite: bool) -> None:
    for path in paths:
        if path.is_dir():
            raise OutputError(
                "is a folder, and a file of this name is to be written",
                where=str(path),
                remedy="Choose another place, or rename that folder.",
            )
        if path.exists() and not overwrite:
            raise OutputError(
                "exists already",
                where=str(path),
                why="nothing is overwritten unasked",
                remedy="Choose another place, or add --overwrite.",
            )


def replace_file(path: Path, content: bytes) -> None:
    """Put one file in place whole: a process killed at any moment leaves the old one or the new.

    Raises:
        OutputError: the disk refuses.
    """
    write_file(path, [content], overwrite=True)


def write_file(path: Path, pieces: Iterable[bytes], *, overwrite: bool) -> None:
    """Write one file, piece by piece, to a temporary name and then in its place.

    For kitloom's own files; what is made from a maker's goes through ``write_into``, which knows
    what the run reads.

    Raises:
        OutputError: it exists and ``overwrite`` is not given, or the disk refuses.
    """
    check_free(path, overwrite=overwrite)
    try:
        with folder_made(path.absolute().parent):
            handle, name = fresh_file(path)
            try:
                with os.fdopen(handle, "wb") as out:
                    out.writelines(pieces)
                    out.flush()
                    os.fsync(out.fileno())
                    Path(name).chmod(0o644)  # mkstemp's own 0600 would lock others out
                    Path(name).replace(path)
            except BaseException:
                Path(name).unlink(missing_ok=True)
                raise
    except OSError as error:
        raise _refusal(path, error) from error


def check_free(path: Path, *, overwrite: bool) -> None:
    """Refuse a file that stands already, before any work is done.

    Raises:
        OutputError: it is a folder, or it exists and ``overwrite`` is not given.
    """
    if path.is_dir():
        raise OutputError("is a folder", where=str(path), remedy="Name a file.")
    if path.exists() and not overwrite:
        raise OutputError(
            "exists already",
            where=str(path),
            why="nothing is overwritten unasked",
            remedy="Give another name, or add --overwrite.",
        )
    standing = next(p for p in path.absolute().parents if p.exists())
    if not standing.is_dir() or not os.access(standing, os.W_OK | os.X_OK):
        raise OutputError(
            "cannot be written",
            where=str(path),
            why=f"{standing} is not a writable folder",
            remedy="Choose another place, or change its permissions.",
        )


def _refusal(place: Path, error: OSError) -> OutputError:
    first = "Make room, or choose another place" if is_full(error) else "Choose another place"
    return OutputError(
        "cannot be written",
        where=str(place),
        why=reason_of(error),
        remedy=f"{first}; what was there is untouched.",
    )


def is_full(error: OSError) -> bool:
    """Whether a disk, or a share of one, has no more room."""
    return error.errno in {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
