"""Where was the audit when it was killed? A file that grows by one line a tile.

JSON lines: the first says which audit it is, each other is a row, flushed to the disk as it comes.
A line that a kill cut short, or whose checksum does not fit, is taken off with what follows it, and
those tiles are done again; of two lines on one file the later counts. Rows are not kept in
memory but read back from where they are.
"""

from __future__ import annotations

import json
import os
import stat
import tempfile
import zlib
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import IO, Any

from kitloom import __version__
from kitloom.system import lock
from palette.errors import KitloomError, reason_of

FORMAT = 2
MOST_HEADER = 1_000  # bytes
MOST_ROW = 50_000_000
_SEAL = len('{"crc":"01234567",')


class JournalError(KitloomError):
    """A journal cannot be used."""


class Journal:
    """The rows of an audit, on disk."""

    def __init__(self, path: Path | None, kind: str) -> None:
        """Open or begin a journal.

        Args:
            path: its file; None for one that has no name and is gone with the run.
            kind: what is audited; a journal of another kind is refused.

        Raises:
            JournalError: no journal, of another kind or version, or in use by another run.
        """
        self._where = str(path or tempfile.gettempdir())
        self._is_new = path is not None and not path.exists()
        self._header = {"kitloom": __version__, "audit": kind, "format": FORMAT}
        self._places: dict[str, tuple[str, int]] = {}
        self._file = self._open(path)
        try:
            self._read()
        except OSError as error:
            self._close()
            if path is not None and self._is_new:
                path.unlink(missing_ok=True)
            raise self._refusal(error) from error
        except BaseException:
            self._close()
            raise

    def _close(self) -> None:
        with suppress(OSError):  # what could not be written was reported
            self._file.close()

    def _refusal(self, error: OSError) -> JournalError:
        return JournalError(
            "cannot be written",
            where=self._where,
            why=reason_of(error),
            remedy="Make room and run it again; rows that are whole are kept.",
        )

    def __enter__(self) -> Journal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._close()

    def _open(self, path: Path | None) -> IO[bytes]:
        if path is None:
            return tempfile.TemporaryFile()
        try:
            handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
        except OSError as error:
            raise JournalError(
                "cannot be opened",
                where=self._where,
                why=reason_of(error),
                remedy="Name another file with --resume.",
            ) from error
        if not stat.S_ISREG(os.fstat(handle).st_mode):  # a pipe would keep us waiting
            os.close(handle)
            raise self._foreign()
        file = os.fdopen(handle, "r+b")
        if not lock(handle):
            file.close()
            raise JournalError(
                "is in use",
                where=self._where,
                why="another audit writes to it",
                remedy="Wait for it, or name another file with --resume.",
            )
        return file

    def _read(self) -> None:
        """Note where each row stands, and cut off what a kill left of a last line."""
        first = self._file.readline(MOST_HEADER)
        if not first.endswith(b"\n"):
            self._begin(first)
            return
        if first != _line(self._header):
            raise self._foreign()
        place = self._file.tell()
        while line := self._file.readline(MOST_ROW):
            row = _row(line)
            if row is None:
                break
            self._places[row["file"]] = (row["sha256"] + row["asked"], place)
            place += len(line)
        self._file.truncate(place)
        self._file.seek(place)

    def _begin(self, first: bytes) -> None:
        whole = _line(self._header)
        if not whole.startswith(first):  # some other file of one line: not ours to overwrite
            raise self._foreign()
        self._file.seek(0)
        self._file.truncate()
        self._file.write(whole)
        self._file.flush()

    def _foreign(self) -> JournalError:
        return JournalError(
            "is not the file of such a run",
            where=self._where,
            why="another version, another command, or some other file",
            remedy="Name a new file with --resume.",
        )

    def knows(self, file: str, sha256_of: Callable[[], str], asked: str) -> bool:
        """Whether there is a row of this file, with its bytes, asked about in this way.

        Args:
            file: its name here.
            sha256_of: reads it for its hash, "" where it cannot be read; asked only if need be.
            asked: the settings.
        """
        found = self._places.get(file)
        sha256 = sha256_of() if found is not None else ""
        return found is not None and bool(sha256) and found[0] == sha256 + asked

    def add(self, row: dict[str, Any]) -> None:
        """Write one row, so that it outlives a kill."""
        place = self._file.seek(0, os.SEEK_END)
        try:
            self._file.write(_sealed_line(row))
            self._file.flush()
        except OSError as error:
            raise self._refusal(error) from error
        self._places[row["file"]] = (row["sha256"] + row["asked"], place)

    def row(self, file: str) -> dict[str, Any]:
        """Return the row of a file."""
        self._file.seek(self._places[file][1])
        row = _row(self._file.readline(MOST_ROW))
        if row is None:
            raise JournalError(
                "was changed while it was in use",
                where=self._where,
                remedy="Start the audit again; rows that are whole are kept.",
            )
        return row

    def rows(self, files: Sequence[str]) -> Iterator[dict[str, Any]]:
        """Return the rows of these files in their order, one at a time."""
        return (self.row(file) for file in files)


def _line(content: dict[str, Any]) -> bytes:
    return json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def _sealed_line(row: dict[str, Any]) -> bytes:
    """Return a row as a line whose first key is the checksum of all others."""
    plain = _line(row)
    return b'{"crc":"%08x",' % zlib.crc32(plain) + plain[1:]


def _row(line: bytes) -> dict[str, Any] | None:
    """Return the row of a line; None where it is not as it was written."""
    seal, plain = line[:_SEAL], b"{" + line[_SEAL:]
    if not line.endswith(b"\n") or seal != b'{"crc":"%08x",' % zlib.crc32(plain):
        return None
    row: dict[str, Any] = json.loads(plain)
    return row
