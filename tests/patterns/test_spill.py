"""Do pixels on disk read as pixels in memory do, and does nothing depend on the disk?"""

from __future__ import annotations

import tempfile
from typing import Any

import numpy as np
import pytest

from patterns.plane import release_memory, spill_to_disk


@pytest.fixture
def large() -> np.ndarray:
    return np.random.default_rng(1).integers(0, 256, (900, 900, 3), dtype=np.uint8)


def test_pixels_on_disk_are_the_same_before_and_after_their_memory_is_given_back(large) -> None:
    there = spill_to_disk(large)
    assert there is not large
    assert type(there) is np.ndarray
    assert not there.flags.writeable
    part = there[10:, ::3]
    for _ in range(2):
        assert np.array_equal(there, large)
        assert np.array_equal(part, large[10:, ::3])
        release_memory(part)


def test_small_tiles_and_those_without_room_on_the_disk_stay_in_memory(large, monkeypatch) -> None:
    small = large[:20, :20]
    assert spill_to_disk(small) is small

    def refuse(*_: Any, **__: Any) -> None:
        raise OSError("no room")

    monkeypatch.setattr(tempfile, "TemporaryFile", refuse)
    assert spill_to_disk(large) is large
    release_memory(large)
