"""One palette of a library: the same as of a few tiles, and a damaged file is a finding."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kitloom.library.pooled_palette import pack_bins, unpack_bins
from palette.choose import bins_of
from tests.kitloom.inside import called

pytestmark = pytest.mark.slow

INKS = ((196, 84, 60), (59, 91, 122), (106, 138, 74), (244, 238, 220), (60, 30, 60))


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """Seventy small tiles of two inks each, more than are clustered at a time."""
    folder = tmp_path / "library"
    folder.mkdir()
    for i in range(70):
        tile = np.full((48, 48, 3), INKS[i % 5], np.uint8)
        tile[8 : 20 + i % 9, 8:30] = INKS[(i + 1) % 5]
        Image.fromarray(tile).save(folder / f"tile-{i:02}.png")
    return folder


def run(*words: object) -> dict[str, object]:
    return answer_of(called("palette", *words, "--json"))


def run_alone(*words: object, seed: str) -> dict[str, object]:
    """Run the command in a process of its own, with another hash seed."""
    done = subprocess.run(
        [sys.executable, "-m", "kitloom", "palette", *map(str, words), "--json"],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "PYTHONHASHSEED": seed},
    )
    return answer_of(done)


def answer_of(done: subprocess.CompletedProcess[str]) -> dict[str, object]:
    assert done.returncode in {0, 1}, done.stderr
    answer: dict[str, object] = json.loads(done.stdout)
    return answer


def test_every_ink_of_a_library_is_found(library: Path) -> None:
    answer = run(library)
    found = np.array(
        [[int(one["hex"][i : i + 2], 16) for i in (1, 3, 5)] for one in answer["palette"]]
    )
    assert len(found) == len(INKS)
    for ink in INKS:
        assert np.abs(found - ink).sum(axis=1).min() == 0
    assert len(answer["palette"][0]["sources"]) == 70


def test_a_few_tiles_give_the_same_in_threads_and_in_processes(library: Path) -> None:
    some = sorted(library.glob("tile-0*.png"))
    assert run(*some) == run(*some, "--workers", "2")


@pytest.mark.slow
def test_a_damaged_file_is_left_out_and_told_and_a_journal_goes_on(
    library: Path, tmp_path: Path
) -> None:
    whole = run(library, "--workers", "1")
    (library / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\n nothing")
    journal = tmp_path / "colours.jsonl"
    first = run_alone(library, "--resume", journal, seed="1")
    size = journal.stat().st_size
    again = run(library, "--resume", journal, "--workers", "1")
    assert journal.stat().st_size == size  # nothing was counted twice
    assert first == again
    assert first["palette"] == whole["palette"]
    (bad,) = [one for one in first["findings"] if one["code"] == "unreadable"]
    assert bad["subject"].endswith("broken.png")


def test_bins_come_out_of_the_journal_as_they_went_in(dots: np.ndarray) -> None:
    bins = bins_of(dots)
    same = unpack_bins(pack_bins(bins))
    assert same.key == bins.key
    assert (same.lab == bins.lab).all()
