"""Do finished files that wait on disk come back as they were put by, in their order?"""

from __future__ import annotations

import os
import tempfile
from typing import IO

import pytest

from kitloom.make.kept_files import KeptFiles

CONTENTS = {f"sheet-{i}.pdf": os.urandom(10) * (1000 + i) for i in range(1, 9)}


class Disk:
    """Knows the temporary files that are opened, and how much lies in them."""

    def __init__(self) -> None:
        self.files: list[IO[bytes]] = []

    def size(self) -> int:
        return sum(os.fstat(file.fileno()).st_size for file in self.files)


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    opened, temporary = Disk(), tempfile.TemporaryFile

    def open_and_note(*how: object, **more: object) -> IO[bytes]:
        opened.files.append(temporary(*how, **more))  # type: ignore[call-overload]
        return opened.files[-1]

    monkeypatch.setattr(tempfile, "TemporaryFile", open_and_note)
    return opened


def test_what_fits_is_held_and_the_rest_lies_on_disk(disk: Disk) -> None:
    kept = KeptFiles(held_bytes=25_000)
    kept.update(CONTENTS)
    assert list(kept.items()) == list(CONTENTS.items())
    whole = sum(map(len, CONTENTS.values()))
    assert whole - 25_000 <= disk.size() < whole
    assert len(kept) == len(CONTENTS)


def test_few_files_need_no_disk(disk: Disk) -> None:
    kept = KeptFiles()
    kept.update(CONTENTS)
    assert disk.files == []
    assert dict(kept) == CONTENTS


def test_a_later_content_takes_the_place_of_an_earlier() -> None:
    kept = KeptFiles(held_bytes=0)
    kept["a"], kept["b"] = b"first", b"other"
    kept["a"] = b"second, longer"
    assert dict(kept) == {"a": b"second, longer", "b": b"other"}


def test_where_the_disk_refuses_it_waits_in_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuses(**_how: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(tempfile, "TemporaryFile", refuses)
    kept = KeptFiles(held_bytes=0)
    kept.update(CONTENTS)
    assert dict(kept) == CONTENTS
