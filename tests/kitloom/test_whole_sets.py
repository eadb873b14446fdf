"""A set is old or new, never a mix: killed anywhere, two at once, on a full disk."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fuzz.kills import content_of, prepare
from fuzz.readers import CORPUS
from kitloom.disk import put_right, replace_file, write_file, write_into
from tests.kitloom.crashes import old_and_new, writers
from tests.kitloom.inside import called

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system has no fork")
ROOT = Path(__file__).parents[2]
_MAKE = "from kitloom.cli import main; main()"
Sets = dict[str, dict[str, bytes]]


def python(*words: object, **more: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *map(str, words)], cwd=ROOT, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)}, timeout=1800, check=False, **more,
    )  # fmt: skip


@pytest.fixture(scope="module")
def kits(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Sets]:
    """Two recipes in a folder, and the whole set of each."""
    folder = tmp_path_factory.mktemp("kits")
    return folder, prepare(folder)


def crash_everywhere(writer: str, folder: Path) -> list[Path]:
    """Return the folders of a writer that was killed before its 1st, 2nd, … file operation."""
    done = python("-m", "tests.kitloom.crashes", writer, folder)
    assert done.returncode == 0, done.stderr
    return [folder / str(step) for step in range(1, int(done.stdout) + 1)]


def test_a_set_killed_at_any_step_is_old_or_new(tmp_path: Path) -> None:
    old, new = old_and_new()
    seen = set()
    for folder in (steps := crash_everywhere("write_set", tmp_path)):
        shown = content_of(folder / "kit") or content_of(folder / ".kit.previous")
        shown.pop("notes.txt", None)
        assert shown in (old, new)
        put_right(folder / "kit")
        whole = content_of(folder / "kit")
        assert whole.pop("notes.txt") == b"mine"
        assert whole in (old, new)
        assert {path.name for path in folder.iterdir()} == {"kit"}
        seen.add("old" if whole == old else "new")
    assert seen == {"old", "new"}
    assert len(steps) > 12


def test_files_added_to_a_makers_folder_are_finished_by_the_next_run(tmp_path: Path) -> None:
    """Killed between two moves there is a mix, and a name that tells of it."""
    old, new = old_and_new()
    mixed = 0
    for folder in crash_everywhere("write_into", tmp_path):
        kit = folder / "kit"
        shown = {name: data for name, data in content_of_files(kit).items() if name in new}
        if shown not in ({name: old[name] for name in new}, new):
            assert (kit / ".kitloom.ready").is_dir()
            mixed += 1
        write_into(kit, {"other.txt": b"x"}, reads=(), overwrite=False)
        whole = content_of(kit)
        assert (whole.pop("notes.txt"), whole.pop("other.txt")) == (b"mine", b"x")
        assert whole in (old, {**old, **new})
    assert mixed > 0


def half_moved(folder: Path, *, tile: bytes) -> Path:
    """Leave what a run killed before a move does: an earlier tile, and the new one ready."""
    ready = folder / ".kitloom.ready"
    ready.mkdir(parents=True)
    (folder / "dots.png").write_bytes(b"an earlier tile, not even an image")
    (ready / "dots.png").write_bytes(tile)
    return folder


@pytest.mark.parametrize(
    "words",
    [
        "check art", "check art/dots.png", "palette art", "rescale art --repeat 1in --out new",
        "mend --out=new art", "lift art --out new", "draft art --out new.toml", "proof kit.toml",
        "make kit.toml", "trial kit.toml", "draft new --out=art/new.toml",
    ],
)  # fmt: skip
def test_any_command_on_a_folder_finishes_what_was_half_moved(
    words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Named itself, by a file in it, by a recipe of its artwork, or to be written to."""
    tile, recipe = ((CORPUS / "kit" / name).read_bytes() for name in ("dots.png", "kit.toml"))
    art = half_moved(tmp_path / "art", tile=tile)
    if "draft new" in words:
        (tmp_path / "new").mkdir()
        (tmp_path / "new" / "dots.png").write_bytes(tile)
    (tmp_path / "kit.toml").write_bytes(recipe.replace(b'"dots.png"', b'"art/dots.png"'))
    monkeypatch.chdir(tmp_path)
    done = called(*words.split())
    assert done.returncode in {0, 1}, done.stderr
    assert (art / "dots.png").read_bytes() == tile
    assert not list(art.glob(".kitloom*"))


def test_what_cannot_be_finished_is_told_and_not_used(tmp_path: Path) -> None:
    """Something stands in the way of the move; a folder that may not be written is the same."""
    art = half_moved(tmp_path / "art", tile=b"new")
    (art / ".kitloom.ready" / "more.png").write_bytes(b"new")
    (art / "more.png").mkdir()
    done = called("check", art)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "holds files of two runs, because one was stopped" in done.stderr


def content_of_files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_a_file_killed_at_any_step_is_old_or_new(tmp_path: Path) -> None:
    for folder in crash_everywhere("replace_file", tmp_path):
        assert (folder / "kit" / "a.txt").read_bytes() in {b"old", b"new"}
        replace_file(folder / "kit" / "a.txt", b"next")
        assert {p.name for p in (folder / "kit").iterdir()} == {"a.txt", "notes.txt"}


def test_a_living_writers_file_is_left_alone(tmp_path: Path) -> None:
    def pieces() -> Iterator[bytes]:
        yield b"slow "
        replace_file(tmp_path / "a.txt", b"quick")
        yield b"writer"

    write_file(tmp_path / "a.txt", pieces(), overwrite=True)
    assert (tmp_path / "a.txt").read_bytes() == b"slow writer"
    assert len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("name", ["kit[1]", "kit*", "a kit", "ümläut"])
def test_any_name_is_cleared_of_leftovers(name: str, tmp_path: Path) -> None:
    (tmp_path / f".{name}.new-x").mkdir()
    put_right(tmp_path / name)
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
def test_twenty_kills_of_make() -> None:
    """Whole runs at any moment; the writers alone are killed before each step above.

    A longer run of the same is recorded in fuzz/README.md.
    """
    done = python("-m", "fuzz.kills", "--kills", 20, "--seed", 5)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "never a mix of two sets" in done.stdout


_TWO = """
import sys
from pathlib import Path
from fuzz.kills import forked, made, os
folder = Path(sys.argv[1])
made(folder / "one.toml", folder / "kit")
for turn in range(2):
    both = [forked(lambda r=r: made(folder / r, folder / "kit")) for r in ("one.toml", "two.toml")]
    assert all(os.waitpid(one, 0)[1] == 0 for one in both)
    print(sorted(p.name for p in folder.glob(".kit*")), len(list((folder / "kit").iterdir())))
"""


def test_two_runs_at_once_leave_one_whole_set(kits: tuple[Path, Sets]) -> None:
    folder, sets = kits
    done = python("-c", _TWO, folder)
    assert done.returncode == 0, done.stderr
    sizes = {str(len(one)) for one in sets.values()}
    for line in done.stdout.splitlines():
        assert line.startswith("[] ")
        assert line.split()[1] in sizes
    assert content_of(folder / "kit") in sets.values()


# --- a full disk ---------------------------------------------------------------------------------


def test_a_full_disk_leaves_the_old_set(
    kits: tuple[Path, Sets], small_disk: Callable[[int], Path]
) -> None:
    """The second set needs room beside the first: there is none, a little, nearly enough."""
    folder, sets = kits
    old, new = (sum(map(len, one.values())) // 1024 for one in sets.values())
    for spare in (10, new // 2, new - 20):
        disk = small_disk(old + 12 * 4 + spare)
        kit = disk / "kit"
        write_into(kit, sets["one.toml"], reads=(), overwrite=False)
        done = called("make", folder / "two.toml", "--out", kit, "--overwrite")
        assert done.returncode == 2, done.stdout + done.stderr
        assert done.stderr.count("\n") == 1
        assert "cannot be written (the disk is full)" in done.stderr
        assert content_of(kit) == sets["one.toml"]
        assert {path.name for path in disk.iterdir()} == {"kit"}


@pytest.mark.parametrize("most", [pytest.param(1_000, marks=pytest.mark.slow), 20_000])
def test_a_quota_leaves_the_old_set(most: int, tmp_path: Path, kits: tuple[Path, Sets]) -> None:
    """A limit on the size of files stands in for a quota (setrlimit(2), RLIMIT_FSIZE)."""
    folder, sets = kits
    kit = tmp_path / "kit"
    write_into(kit, sets["one.toml"], reads=(), overwrite=False)
    code = f"import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({most}, {most})); {_MAKE}"
    done = python("-c", code, "make", folder / "two.toml", "--out", kit, "--overwrite")
    assert done.returncode == 2, done.stdout + done.stderr
    assert "cannot be written (the file would be larger than is allowed here)" in done.stderr
    assert content_of(kit) == sets["one.toml"]
    assert not list(tmp_path.glob(".kit*"))


@pytest.mark.parametrize("name", ["write_set", "write_into", "replace_file"])
def test_writers_leave_nothing_behind(name: str, tmp_path: Path) -> None:
    old, new = old_and_new()
    write = writers(tmp_path)[name]
    write(old)
    write(new)
    assert {path.name for path in tmp_path.iterdir()} == {"kit"}
    assert not [path.name for path in (tmp_path / "kit").iterdir() if path.name.startswith(".")]
