"""Finished files on their way into a folder: the first in memory, what is more on disk.

In: contents by name. Out: the same, in the order they came. A kit of hundreds of sheets makes some
hundred megabytes of files before the first may be put in place; what is over ``HELD_BYTES`` waits
in an unnamed temporary file, of which nothing is left even by a killed run. Where the disk refuses,
it waits in memory.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator, MutableMapping
from typing import IO

HELD_BYTES = 64 * 2**20


class KeptFiles(MutableMapping[str, bytes]):
    """Contents by name; reading one back makes a copy of it."""

    def __init__(self, held_bytes: int = HELD_BYTES) -> None:
        self._room = held_bytes
        self._kept: dict[str, bytes | tuple[int, int]] = {}
        self._file: IO[bytes] | None = None
        self._end = 0

    def __del__(self) -> None:
        if self._file is not None:
            self._file.close()

    def __setitem__(self, name: str, content: bytes) -> None:
        if len(content) <= self._room:
            self._room -= len(content)
            self._kept[name] = content
        else:
            self._kept[name] = self._spilled(content)

    def _spilled(self, content: bytes) -> bytes | tuple[int, int]:
        try:
            if self._file is None:
                self._file = tempfile.TemporaryFile(buffering=0)  # noqa: SIM115
            place = self._end
            if os.pwrite(self._file.fileno(), content, place) < len(content):
                return content
        except (OSError, AttributeError):  # no room; a system without writing at a place
            return content
        self._end += len(content)
        return place, len(content)

    def __getitem__(self, name: str) -> bytes:
        kept = self._kept[name]
        if isinstance(kept, bytes):
            return kept
        assert self._file is not None
        place, length = kept
        return os.pread(self._file.fileno(), length, place)

    def __delitem__(self, name: str) -> None:
        del self._kept[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._kept)

    def __len__(self) -> int:
        return len(self._kept)
