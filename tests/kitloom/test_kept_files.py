"""Do finished files that wait on disk come back as they were put by, in their order?"""

from __future__ import annotations

import os
import tempfile

import pytest

from kitloom.make.kept_files import KeptFiles

CONTENTS = {f"sheet-{i}.pdf": os.urandom(10) * (1000 + i) for i in range(1, 9)}


def on_disk(kept: KeptFiles) -> int:
    return 0 if kept._file is None else os.fstat(kept._file.fileno()).st_size


def test_what_fits_is_held_and_the_rest_lies_on_disk() -> None:
    kept = KeptFiles(held_bytes=25_000)
    kept.update(CONTENTS)
    assert list(kept.items()) == list(CONTENTS.items())
    whole = sum(map(len, CONTENTS.values()))
    assert whole - 25_000 <= on_disk(kept) < whole
    assert len(kept) == len(CONTENTS)


def test_few_files_need_no_disk() -> None:
    kept = KeptFiles()
    kept.update(CONTENTS)
    assert on_disk(kept) == 0
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
    assert on_disk(kept) == 0
    assert dict(kept) == CONTENTS
