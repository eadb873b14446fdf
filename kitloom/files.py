"""Put finished files into a folder, all of them or none. The only module that writes.

``write_set`` owns its folder: the new set is written to a temporary folder beside it and then takes
its place by renaming, so that a run killed at any moment leaves the old set or the new one. What a
maker put there themselves is carried over. ``write_into`` adds files to a folder that is the
maker's own and never replaces one unasked.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from palette.errors import KitloomError

# Every name that a set may hold: what matches is replaced with the set, the rest is the maker's.
_OURS = re.compile(
    r"sheet-\d+(-print|-layers)?\.(pdf|png|svg|dxf|hpgl)|palette\.(json|tokens\.json|css|csv|cxf)|report\.html"
    r"|kit\.lock\.json|swatch-card\.(pdf|svg)"
    r"|fit\.pdf|strip(-print)?\.(pdf|png|svg|dxf|hpgl)|trial\.txt"
)


class OutputError(KitloomError):
    """An output folder cannot be used."""


def own_files(folder: Path) -> list[Path]:
    """Return the files of a set that stand in a folder, sorted; the maker's own are left out."""
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if _OURS.fullmatch(path.name))


def check_output(folder: Path, *, overwrite: bool) -> None:
    """Refuse an unusable output folder before any work is done.

    Raises:
        OutputError: it is a file, holds files and ``overwrite`` is not given, or cannot be written.
    """
    if folder.exists() and not folder.is_dir():
        raise OutputError(
            "is a file, not a folder", where=str(folder), remedy="Give --out another name."
        )
    here = Path.cwd()
    if folder.resolve() in {here, *here.parents}:
        raise OutputError(
            "is the folder that you work in",
            where=str(folder),
            why="a set takes its folder's place as a whole",
            remedy="Give --out a folder of its own.",
        )
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


def check_inputs_apart(folder: Path, inputs: Iterable[Path]) -> None:
    """Refuse an output folder that holds what the set is made from.

    Raises:
        OutputError: one of the inputs lies in the folder.
    """
    place = folder.resolve()
    for path in inputs:
        if path.resolve().parent == place:
            raise OutputError(
                "holds the artwork itself",
                where=str(folder),
                why=f"{path.name} lies in it",
                remedy="Give --out another folder.",
            )


def write_set(folder: Path, files: Mapping[str, bytes], *, overwrite: bool) -> list[Path]:
    """Write a whole set of files as the folder's new content.

    Args:
        folder: where the set goes; made if it does not exist.
        files: name to content.
        overwrite: whether an earlier set may be replaced.

    Returns:
        The paths written, in the order given.

    Raises:
        OutputError: the folder is unusable, or the disk refuses.
    """
    check_output(folder, overwrite=overwrite)
    named, folder = folder, folder.resolve()  # a link's target is replaced, not the link
    try:
        parent = folder.parent
        parent.mkdir(parents=True, exist_ok=True)
        with _one_at_a_time(parent):
            _recover(folder)
            check_output(folder, overwrite=overwrite)
            fresh = _fresh_folder(folder, files)
            _take_the_place(folder, fresh)
    except OSError as error:
        raise _refused(named, error) from error
    return [named / name for name in files]


def write_into(folder: Path, files: Mapping[str, bytes], *, overwrite: bool) -> list[Path]:
    """Add files to a folder that may hold others.

    Returns:
        The paths written, in the order given.

    Raises:
        OutputError: one of the files exists and ``overwrite`` is not given, or the disk refuses.
    """
    if folder.exists() and not folder.is_dir():
        raise OutputError(
            "is a file, not a folder", where=str(folder), remedy="Give --out another name."
        )
    standing = [folder / name for name in files if (folder / name).exists()]
    if standing and not overwrite:
        raise OutputError(
            "exists already",
            where=str(standing[0]),
            why="nothing is overwritten unasked",
            remedy="Give --out another folder, or add --overwrite.",
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        fresh = _fresh_folder(folder, files)
        try:
            for name in files:
                (fresh / name).replace(folder / name)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)
    except OSError as error:
        raise _refused(folder, error) from error
    return [folder / name for name in files]


def replace_file(path: Path, content: bytes) -> None:
    """Put one file in place whole: a process killed at any moment leaves the old one or the new.

    Raises:
        OutputError: the disk refuses.
    """
    try:
        _put(path, [content])
    except OSError as error:
        raise _refused(path, error) from error


def write_file(path: Path, pieces: Iterable[bytes], *, overwrite: bool) -> None:
    """Write one file, piece by piece, to a temporary name and then in its place.

    Raises:
        OutputError: it exists and ``overwrite`` is not given, or the disk refuses.
    """
    check_free(path, overwrite=overwrite)
    try:
        _put(path.absolute(), pieces)
    except OSError as error:
        raise _refused(path, error) from error


def _put(path: Path, pieces: Iterable[bytes]) -> None:
    """Write a file under a temporary name beside its own, then take the place at once."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.new-", dir=path.parent)
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


def _refused(folder: Path, error: OSError) -> OutputError:
    return OutputError(
        "cannot be written",
        where=str(folder),
        why=error.strerror or str(error),
        remedy="Make room or choose another --out; what was there is untouched.",
    )


def _fresh_folder(folder: Path, files: Mapping[str, bytes]) -> Path:
    """Write all files to a temporary folder beside ``folder``, down to the disk."""
    fresh = Path(tempfile.mkdtemp(prefix=f".{folder.name}.new-", dir=folder.absolute().parent))
    try:
        for name, content in files.items():
            with (fresh / name).open("wb") as out:
                out.write(content)
                out.flush()
                os.fsync(out.fileno())
        fresh.chmod(0o755)  # mkdtemp's own 0700 would lock others out of the finished set
    except BaseException:
        shutil.rmtree(fresh, ignore_errors=True)
        raise
    return fresh


def _previous(folder: Path) -> Path:
    return folder.absolute().with_name(f".{folder.name}.previous")


def _take_the_place(folder: Path, fresh: Path) -> None:
    try:
        if folder.is_dir():
            folder.rename(_previous(folder))
        fresh.rename(folder)
    except BaseException:
        shutil.rmtree(fresh, ignore_errors=True)
        _recover(folder)
        raise
    _recover(folder)


def _recover(folder: Path) -> None:
    """Finish or undo what a killed run left between its two renames."""
    previous = _previous(folder)
    if previous.is_dir():
        if not folder.exists():
            previous.rename(folder)
            return
        for kept in previous.iterdir():
            if not _OURS.fullmatch(kept.name) and not (folder / kept.name).exists():
                kept.rename(folder / kept.name)
        shutil.rmtree(previous)
    for left in folder.absolute().parent.glob(f".{folder.name}.new-*"):
        shutil.rmtree(left, ignore_errors=True)


@contextmanager
def _one_at_a_time(parent: Path) -> Iterator[None]:
    """Hold the parent folder for the moment of writing, where the system has such locks."""
    try:
        import fcntl
    except ImportError:  # Windows: renames there fail loudly instead of mixing two sets
        yield
        return
    handle = os.open(parent, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)
