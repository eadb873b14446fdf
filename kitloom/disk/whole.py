"""How sets of files are put in place whole: temporary names, renames, and what a kill leaves.

In: folders and contents. Out: nothing but files. Used by ``kitloom.disk.writing`` alone, which
knows what may be overwritten; here it is only known how. Everything under ``one_at_a_time`` is done
by one run at a time, so that whatever temporary names are there then are of runs that are dead.
"""

from __future__ import annotations

import glob
import os
import re
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path

from kitloom.disk.single_files import SINGLE_FILES
from kitloom.system import lock, open_at_once, to_disk

# by name: content, whole or piece by piece
Files = Mapping[str, bytes] | Mapping[str, Iterable[bytes]] | Mapping[str, bytes | Iterable[bytes]]
_SYNCS = 4  # files that are put by at a time
_STAGE, _READY = "kitloom", ".kitloom.ready"  # in a folder of the maker's


def is_ours(name: str) -> bool:
    """Whether a set may hold a file of this name; any other is the maker's own."""
    return _ours().fullmatch(name) is not None


@cache
def _ours() -> re.Pattern[str]:
    """Every name that a set may hold: what matches is replaced with the set."""
    from kit.writers import WRITERS
    from palette.exchange import FORMATS

    sheets = "|".join(re.escape(one.suffix) for one in WRITERS.values())
    strip = [f"strip{one.suffix}" for one in WRITERS.values() if one.of_strip]
    once = [*SINGLE_FILES, *strip, *(one.file_name for one in FORMATS.values())]
    return re.compile("|".join([rf"sheet-[1-9][0-9]*({sheets})", *map(re.escape, once)]))


@contextmanager
def folder_made(folder: Path) -> Iterator[None]:
    """Have a folder exist; where what follows fails, all of it that was made is taken away again.

    A folder that has got another file since stays.
    """
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for one in missing:
            with suppress(OSError):
                one.rmdir()
        raise


def fresh_folder(parent: Path, name: str, *sets: Files) -> Path:
    """Write all files to a temporary folder in ``parent`` for ``name``, down to the disk.

    A file's content is asked for when it is written, so that not all need be in memory. The disk
    puts by several files at a time sooner than one after the other.
    """
    fresh = Path(tempfile.mkdtemp(prefix=f".{name}.new-", dir=parent))
    try:
        with ThreadPoolExecutor(_SYNCS) as pool:
            syncs = []
            for file, content in (item for files in sets for item in files.items()):
                with (fresh / file).open("wb") as out:
                    out.writelines([content] if isinstance(content, bytes) else content)
                syncs.append(pool.submit(_sync, fresh / file))
            for one in syncs:
                one.result()
        fresh.chmod(0o755)  # mkdtemp's own 0700 would lock others out of the finished set
        to_disk(fresh)
    except BaseException:
        shutil.rmtree(fresh, ignore_errors=True)
        raise
    return fresh


def _sync(file: Path) -> None:
    """See to it that what was written to a file outlives a power cut."""
    with file.open("r+b") as written:
        os.fsync(written.fileno())


def fresh_file(path: Path) -> tuple[int, str]:
    """Return a temporary file beside ``path``, open for writing, and its name.

    It is locked while it is open: what is not belongs to a dead run and is cleared away first.
    """
    parent = path.absolute().parent
    for left in parent.glob(f".{glob.escape(path.name)}.new-*"):
        _clear_if_dead(left)
    while True:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.new-", dir=parent)
        if lock(handle) and os.fstat(handle).st_nlink:
            return handle, name
        os.close(handle)  # another run took it for a dead one's before it was locked


def _clear_if_dead(left: Path) -> None:
    with suppress(OSError):
        handle = open_at_once(left)
        try:
            if lock(handle):
                left.unlink()
        finally:
            os.close(handle)


def _previous(folder: Path) -> Path:
    return folder.with_name(f".{folder.name}.previous")


def traces(folder: Path) -> list[Path]:
    """Return what a killed run, or one that is still writing, left beside a folder."""
    if not folder.name:  # the topmost one has nothing beside it
        return []
    unfinished = folder.parent.glob(f".{glob.escape(folder.name)}.new-*")
    previous = _previous(folder)
    return [*unfinished, previous] if previous.exists() else list(unfinished)


def take_the_place(folder: Path, fresh: Path) -> None:
    """Make a fresh folder this folder; what a maker put into it stays."""
    try:
        if folder.is_dir():
            folder.rename(_previous(folder))
        fresh.rename(folder)
    except BaseException:
        shutil.rmtree(fresh, ignore_errors=True)
        recover(folder)
        raise
    recover(folder)


def move_all_into(sets: Mapping[Path, Sequence[Files]]) -> None:
    """Put files into folders of the maker's, in all of them or in none.

    Once all are written, any next run finishes it.
    """
    fresh: dict[Path, Path] = {}
    try:
        for folder, files in sets.items():
            fresh[folder] = fresh_folder(folder, _STAGE, *files)
        for folder in sets:
            fresh[folder] = fresh[folder].rename(folder / _READY)
    except BaseException:
        for left in fresh.values():
            shutil.rmtree(left, ignore_errors=True)
        raise
    for folder in sets:
        finish_moving(folder)


def is_half_moved(folder: Path) -> bool:
    """Whether ``move_all_into`` was killed between two moves in this folder, or is under way."""
    return os.path.isdir(folder / _READY)  # noqa: PTH112  False where a name is too long


def finish_moving(folder: Path) -> None:
    """Move what stands ready into its folder, a killed run's too; for the one that may write."""
    ready = folder / _READY
    if ready.is_dir():
        for path in sorted(ready.iterdir()):
            path.replace(folder / path.name)
        ready.rmdir()
        to_disk(folder)
    for left in folder.glob(f".{_STAGE}.new-*"):
        shutil.rmtree(left, ignore_errors=True)


def recover(folder: Path) -> None:
    """Finish or undo what a killed run left; to be called by the one run that may write."""
    previous = _previous(folder)
    if previous.is_dir():
        if not folder.exists():
            previous.rename(folder)
        else:
            _carry_over(previous, folder)
    for left in folder.parent.glob(f".{glob.escape(folder.name)}.new-*"):
        if left.is_dir():
            shutil.rmtree(left, ignore_errors=True)
    to_disk(folder.parent)


def _carry_over(previous: Path, folder: Path) -> None:
    """Bring the maker's own files from an earlier set's folder, and let the rest go."""
    for kept in sorted(previous.iterdir()):
        if not is_ours(kept.name) and not (folder / kept.name).exists():
            kept.rename(folder / kept.name)
    shutil.rmtree(previous)
