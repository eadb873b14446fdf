"""Files are written as a set: all or none, nothing of the maker's lost, leftovers put right."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kit.writers import WRITERS
from kitloom.disk import (
    SINGLE_FILES,
    check_output,
    own_files,
    replace_file,
    sample_files,
    write_all_into,
    write_into,
    write_set,
)
from kitloom.disk.writing import OutputError
from kitloom.library.journal import Journal
from palette.exchange import FORMATS

SET = {"sheet-1.pdf": b"new pdf", "report.html": b"new report"}


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_a_set_is_written_whole_and_leaves_nothing_else(tmp_path: Path) -> None:
    write_set(tmp_path / "kit", SET, reads=(), overwrite=False)
    assert names(tmp_path) == {"kit"}
    assert names(tmp_path / "kit") == set(SET)
    assert (tmp_path / "kit" / "sheet-1.pdf").read_bytes() == b"new pdf"


def test_a_filled_folder_is_refused_and_untouched(tmp_path: Path) -> None:
    (tmp_path / "kit").mkdir()
    (tmp_path / "kit" / "sheet-1.pdf").write_bytes(b"old")
    with pytest.raises(OutputError, match="already holds files"):
        write_set(tmp_path / "kit", SET, reads=(), overwrite=False)
    assert (tmp_path / "kit" / "sheet-1.pdf").read_bytes() == b"old"


def test_overwrite_takes_stale_sheets_away_and_keeps_the_makers_files(tmp_path: Path) -> None:
    kit = tmp_path / "kit"
    kit.mkdir()
    for name in ("sheet-1.pdf", "sheet-2.pdf", "sheet-2-print.png", "my notes.txt"):
        (kit / name).write_bytes(b"old")
    write_set(kit, SET, reads=(), overwrite=True)
    assert names(kit) == {*SET, "my notes.txt"}
    assert (kit / "sheet-1.pdf").read_bytes() == b"new pdf"
    assert names(tmp_path) == {"kit"}


def test_a_run_killed_between_its_renames_is_put_right(tmp_path: Path) -> None:
    previous = tmp_path / ".kit.previous"
    previous.mkdir()
    (previous / "sheet-1.pdf").write_bytes(b"old")
    (previous / "my notes.txt").write_bytes(b"mine")
    (tmp_path / ".kit.new-x").mkdir()
    write_set(tmp_path / "kit", SET, reads=(), overwrite=True)
    assert names(tmp_path) == {"kit"}
    assert names(tmp_path / "kit") == {*SET, "my notes.txt"}


def test_a_file_in_the_place_of_a_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "kit").write_text("a file")
    with pytest.raises(OutputError, match="not a folder"):
        check_output(tmp_path / "kit", reads=(), overwrite=True)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_an_unwritable_folder_is_refused(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match="cannot be written to"):
        check_output(tmp_path / "kit", reads=(), overwrite=False)
    tmp_path.chmod(0o700)


def test_a_place_that_can_hold_no_folder_is_refused() -> None:
    with pytest.raises(OutputError, match="cannot be written"):
        write_set(Path("/proc/kitloom/kit"), SET, reads=(), overwrite=False)


def test_single_files_are_added_but_never_replaced_unasked(tmp_path: Path) -> None:
    (tmp_path / "pods.png").write_bytes(b"mine")
    with pytest.raises(OutputError, match="exists already"):
        write_into(tmp_path, {"dots.png": b"x", "pods.png": b"y"}, reads=(), overwrite=False)
    assert names(tmp_path) == {"pods.png"}
    write_into(tmp_path, {"dots.png": b"x", "pods.png": b"y"}, reads=(), overwrite=True)
    assert (tmp_path / "pods.png").read_bytes() == b"y"


def test_where_one_of_two_folders_refuses_neither_is_written(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.mkdir()
    (taken / "pods.png").write_bytes(b"mine")
    sets = [(tmp_path / "free", {"dots.png": b"x"}), (taken, {"pods.png": b"y"})]
    with pytest.raises(OutputError, match="exists already"):
        write_all_into(sets, reads=(), overwrite=False)
    assert names(tmp_path) == {"taken"}
    assert write_all_into(sets, reads=(), overwrite=True) == [
        tmp_path / "free/dots.png",
        taken / "pods.png",
    ]
    assert (taken / "pods.png").read_bytes() == b"y"


_WRITER = """
import sys
from itertools import count
from pathlib import Path
from kitloom.disk.writing import write_set
for turn in count():
    mark = b"%06d" % turn
    files = {f"sheet-{i}.pdf": mark * 2000 for i in range(1, 6)}
    write_set(Path(sys.argv[1]), files, reads=(), overwrite=True)
    print(turn, flush=True)
"""


def test_a_kill_at_any_moment_leaves_one_whole_set(tmp_path: Path) -> None:
    """Twelve real kills of a writing process; after each, all five files are of one run.

    It writes for ever, so it is killed at some step of a turn, whenever that is.
    """
    kit = tmp_path / "kit"
    for turns in range(1, 13):
        process = subprocess.Popen(
            [sys.executable, "-c", _WRITER, str(kit)], stdout=subprocess.PIPE
        )
        assert process.stdout is not None
        for _ in range(turns):
            process.stdout.readline()
        time.sleep(turns / 1000)
        process.kill()
        process.communicate()
        place = kit if kit.exists() else tmp_path / ".kit.previous"
        assert len({path.read_bytes() for path in place.iterdir()}) == 1
        assert len(names(place)) == 5
    write_set(kit, SET, reads=(), overwrite=True)
    assert names(tmp_path) == {"kit"}


def test_the_samples_of_this_clone_or_installation_are_found() -> None:
    samples = sample_files()
    assert list(samples)[-1] == ""  # the recipes, once what they name is there
    assert set(samples[""]) == {"kit.toml", "evening-kit.toml"}
    assert "sprigs.png" in samples["tiles"]


def test_a_system_without_locks_writes_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "fcntl", None)  # as on Windows: its import fails
    write_set(tmp_path / "kit", SET, reads=(), overwrite=False)
    assert names(tmp_path / "kit") == set(SET)
    replace_file(tmp_path / "kit.toml", b"recipe")
    assert names(tmp_path) == {"kit", "kit.toml"}
    with Journal(tmp_path / "audit.jsonl", "check") as journal:
        journal.add({"file": "a.png", "sha256": "1", "asked": "auto"})
        assert journal.knows("a.png", lambda: "1", "auto")


WRITTEN = [
    *(f"sheet-{n}{one.suffix}" for n in (1, 12) for one in WRITERS.values()),
    *(f"strip{one.suffix}" for one in WRITERS.values() if one.of_strip),
    *(one.file_name for one in FORMATS.values()),
    *SINGLE_FILES,
]
MAKERS_OWN = [
    *("sheet-1.drawing", "my-sheet-1.pdf", "sheet-1 copy.pdf", "palette.png", "sheet-1.pdf.bak"),
    *("sheet-01.pdf", "sheet-.pdf", "Sheet-1.pdf", "sheet-1.pdf\n", "sheet-1-layers.svg"),
    *("sheet-1-print.pdf", "strip.png", "strip-layers.pdf", "fit.svg", "palette.tokens.css"),
    *("palette-json", "swatch-card.png", "report.htm", "kit.lock.json.old", "trial.text"),
]


def test_what_a_set_writes_is_replaced_and_what_a_maker_names_alike_stays(tmp_path: Path) -> None:
    kit = tmp_path / "kit"
    kit.mkdir()
    for name in (*WRITTEN, *MAKERS_OWN):
        (kit / name).write_bytes(b"old")
    assert [path.name for path in own_files(kit)] == sorted(WRITTEN)
    write_set(kit, SET, reads=(), overwrite=True)
    assert names(kit) == {*SET, *MAKERS_OWN}
