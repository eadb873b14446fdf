"""What writing promises, one promise a test: in this process, with a disk that refuses when asked.

Whole runs that are killed, real full disks and two runs at once are in test_whole_sets. Where one
of these fails, a maker loses a set that was paid for, a file of their own, or bought artwork; or a
run ends in words that do not say what to do.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kitloom.disk import (
    check_earlier_set,
    check_free,
    check_inputs_apart,
    check_output,
    finish_moves,
    own_files,
    put_right,
    replace_file,
    whole,
    write_all_into,
    write_file,
    write_into,
    write_set,
    writing,
)
from kitloom.disk.apart import OutputError, check_apart
from kitloom.disk.whole import (
    folder_made,
    fresh_file,
    fresh_folder,
    is_half_moved,
    is_ours,
    recover,
    take_the_place,
    traces,
)

OLD = {"sheet-1.pdf": b"old", "sheet-2.pdf": b"old", "report.html": b"old"}
NEW = {"sheet-1.pdf": b"new", "report.html": b"new"}
MINE = {"my notes.txt": b"mine"}


def fill(folder: Path, files: dict[str, bytes]) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return folder


def content(folder: Path) -> dict[str, bytes]:
    """Return the content of all files under a folder, by their path in it."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def refusal(work: Callable[[], object]) -> str:
    """Return what some work is refused with, in full: a line shortens what is long."""
    with pytest.raises(OutputError) as refused:
        work()
    error = refused.value
    why = f" ({error.why})" if error.why else ""
    return f"{error.where}: {error.what}{why}. {error.remedy}"


class Disk:
    """Stands between the writers and the disk: refuses on demand, and records what it was asked."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.error: BaseException | None = None
        self.after = 0  # how many files are taken before it refuses
        self.seen: list[set[str]] = []  # what was in ``watched`` at each file
        self.watched: Path | None = None
        self.settled: list[str] = []  # folders whose renames were seen to
        flush = os.fsync

        def fsync(handle: int) -> None:
            if self.watched is not None:
                self.seen.append(names(self.watched))
            self.after -= 1
            if self.error is not None and self.after < 0:
                raise self.error
            flush(handle)

        monkeypatch.setattr(os, "fsync", fsync)
        monkeypatch.setattr(whole, "to_disk", lambda folder: self.settled.append(folder.name))


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    return Disk(monkeypatch)


# ---- a whole set


def test_a_set_takes_its_folders_place_and_the_makers_files_stay(tmp_path: Path) -> None:
    kit = fill(tmp_path / "kit", {**OLD, **MINE})
    assert write_set(kit, NEW, reads=(), overwrite=True) == [
        kit / "sheet-1.pdf",
        kit / "report.html",
    ]
    assert content(tmp_path) == {f"kit/{name}": data for name, data in {**NEW, **MINE}.items()}
    assert kit.stat().st_mode & 0o777 == 0o755  # others may look at it


def test_a_sets_folder_and_those_above_it_are_made(tmp_path: Path) -> None:
    kit = tmp_path / "spring" / "march" / "kit"
    write_set(kit, NEW, reads=(), overwrite=False)
    assert content(kit) == NEW


def test_a_file_may_come_in_pieces(tmp_path: Path) -> None:
    """Large sheets are never whole in memory."""
    write_set(tmp_path / "kit", {"sheet-1.pdf": iter([b"one ", b"two"])}, reads=(), overwrite=False)
    assert content(tmp_path / "kit") == {"sheet-1.pdf": b"one two"}


def test_what_is_not_finished_lies_beside_the_set_under_a_hidden_name(
    tmp_path: Path, disk: Disk
) -> None:
    """Until then the old set is seen, and the next run knows what to clear away."""
    kit = fill(tmp_path / "kit", OLD)
    disk.watched = tmp_path
    write_set(kit, NEW, reads=(), overwrite=True)
    assert len(disk.seen) == 2  # each file goes down to the disk before the set is moved
    for seen in disk.seen:
        (temporary,) = seen - {"kit"}
        assert temporary.startswith(".kit.new-")
    assert disk.settled[1].startswith(".kit.new-")
    assert disk.settled[0] == disk.settled[2] == tmp_path.name


FULL = "Make room, or choose another place; what was there is untouched."
REFUSED = "Choose another place; what was there is untouched."


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (OSError(errno.ENOSPC, "no room"), f"(the disk is full). {FULL}"),
        (OSError(errno.EDQUOT, "quota"), f"(your share of the disk is used up). {FULL}"),
        (OSError(errno.EFBIG, "big"), f"(the file would be larger than is allowed here). {FULL}"),
        (OSError(errno.EACCES, "denied"), f"(its permissions do not allow it). {REFUSED}"),
        (OSError(errno.EPERM, "denied"), f"(the system does not allow it). {REFUSED}"),
        (OSError(errno.EROFS, "fixed"), f"(it can only be read from). {REFUSED}"),
        (OSError(errno.EIO, "io"), f"(the disk does not answer as it should). {REFUSED}"),
        (OSError(errno.ENOTDIR, "x"), f"(a part of its path is a file, not a folder). {REFUSED}"),
        (OSError(errno.ENAMETOOLONG, "x"), f"(its name is too long). {REFUSED}"),
        (OSError(errno.ELOOP, "x"), f"(a link in its path leads to itself). {REFUSED}"),
        (OSError(errno.EBUSY, "in use"), f"(in use). {REFUSED}"),
        (OSError("odd"), f"(the system refuses). {REFUSED}"),
    ],
)
def test_a_disk_that_refuses_leaves_the_old_set_and_says_why(
    tmp_path: Path, disk: Disk, error: OSError, said: str
) -> None:
    kit = fill(tmp_path / "kit", {**OLD, **MINE})
    disk.error, disk.after = error, 1
    line = refusal(lambda: write_set(kit, NEW, reads=(), overwrite=True))
    assert line == f"{kit}: cannot be written {said}"
    assert content(tmp_path) == {f"kit/{name}": data for name, data in {**OLD, **MINE}.items()}


def test_a_run_that_is_broken_off_leaves_nothing_behind(tmp_path: Path, disk: Disk) -> None:
    """By Ctrl-C too; and a folder that it had to make is gone again."""
    disk.error = KeyboardInterrupt()
    with pytest.raises(KeyboardInterrupt):
        write_set(tmp_path / "spring" / "kit", NEW, reads=(), overwrite=False)
    with pytest.raises(KeyboardInterrupt):
        write_into(tmp_path / "tiles" / "more", NEW, reads=(), overwrite=False)
    with pytest.raises(KeyboardInterrupt):
        replace_file(tmp_path / "new" / "a.txt", b"x")
    assert names(tmp_path) == set()


def test_a_folder_that_could_not_be_moved_away_comes_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second rename fails: the old set is put back, at once."""
    kit = fill(tmp_path / "kit", {**OLD, **MINE})
    fresh = fresh_folder(tmp_path, "kit", NEW)
    rename = Path.rename

    def flaky(path: Path, target: Path) -> Path:
        if path == fresh:
            raise OSError(errno.EBUSY, "in use")
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", flaky)
    with pytest.raises(OSError, match="in use"):
        take_the_place(kit, fresh)
    assert content(tmp_path) == {f"kit/{name}": data for name, data in {**OLD, **MINE}.items()}
    assert names(tmp_path) == {"kit"}


def test_a_set_that_was_begun_meanwhile_is_not_overwritten_unasked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another run finished while this one waited: it is asked again, under the lock."""

    def slow(folder: Path) -> None:
        fill(folder, OLD)

    monkeypatch.setattr(writing, "recover", slow)
    line = refusal(lambda: write_set(tmp_path / "kit", NEW, reads=(), overwrite=False))
    assert "already holds files" in line
    assert content(tmp_path / "kit") == OLD


def test_a_links_target_is_replaced_and_the_link_stays(tmp_path: Path) -> None:
    """A maker who keeps kits on another disk, by a link, keeps the link."""
    kit = fill(tmp_path / "disk" / "kit", {**OLD, **MINE})
    link = tmp_path / "kit"
    link.symlink_to(kit)
    assert write_set(link, NEW, reads=(), overwrite=True)[0] == link / "sheet-1.pdf"
    assert link.is_symlink()
    assert content(kit) == {**NEW, **MINE}
    assert names(tmp_path / "disk") == {"kit"}


# ---- what a killed run left


def test_a_set_that_was_moved_away_is_put_back(tmp_path: Path, disk: Disk) -> None:
    fill(tmp_path / ".kit.previous", {**OLD, **MINE})
    fill(tmp_path / ".kit.new-abc", {"sheet-1.pdf": b"half"})
    put_right(tmp_path / "kit")
    assert content(tmp_path) == {f"kit/{name}": data for name, data in {**OLD, **MINE}.items()}
    assert names(tmp_path) == {"kit"}
    assert disk.settled == [tmp_path.name]


def test_where_both_sets_stand_the_new_one_stays_with_the_makers_files(tmp_path: Path) -> None:
    """One that the maker has in both is the newer one's."""
    fill(tmp_path / ".kit.previous", {**OLD, **MINE, "todo.txt": b"older"})
    fill(tmp_path / "kit", {**NEW, "todo.txt": b"newer"})
    (tmp_path / ".kit.previous" / "scraps").mkdir()
    fill(tmp_path / ".kit.previous" / "scraps", {"a.png": b"mine too"})
    put_right(tmp_path / "kit")
    assert content(tmp_path / "kit") == {
        **NEW, **MINE, "todo.txt": b"newer", "scraps/a.png": b"mine too"
    }  # fmt: skip
    assert names(tmp_path) == {"kit"}


def test_only_what_a_run_leaves_is_cleared_away(tmp_path: Path) -> None:
    """A file of such a name, or another kit's leftovers, are not this kit's."""
    fill(tmp_path, {".kit.new-list": b"mine", "kit.new-1": b"mine"})
    for name in (".kit.new-1", ".kit2.new-1", ".other.previous", "kit.previous"):
        (tmp_path / name).mkdir()
    assert {path.name for path in traces(tmp_path / "kit")} == {".kit.new-list", ".kit.new-1"}
    put_right(tmp_path / "kit")
    assert names(tmp_path) == {
        ".kit.new-list", "kit.new-1", ".kit2.new-1", ".other.previous", "kit.previous"
    }  # fmt: skip


def test_traces_are_those_of_a_folder_of_this_very_name(tmp_path: Path) -> None:
    (tmp_path / ".kit[1].new-1").mkdir()
    (tmp_path / ".kit1.new-1").mkdir()
    (tmp_path / ".kit[1].previous").mkdir()
    found = {path.name for path in traces(tmp_path / "kit[1]")}
    assert found == {".kit[1].new-1", ".kit[1].previous"}
    assert traces(tmp_path / "kit") == []
    assert traces(Path("/")) == []  # the topmost one has nothing beside it
    recover(tmp_path / "kit[1]")
    assert names(tmp_path) == {"kit[1]", ".kit1.new-1"}


def test_a_folder_that_cannot_be_put_right_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill(tmp_path / ".kit.previous", OLD)

    def refuse(_: Path) -> None:
        raise OSError(errno.EACCES, "denied")

    monkeypatch.setattr(writing, "recover", refuse)
    line = refusal(lambda: put_right(tmp_path / "kit"))
    assert (
        line
        == f"{tmp_path / 'kit'}: cannot be written (its permissions do not allow it). {REFUSED}"
    )


def test_put_right_follows_a_link_and_finishes_moves(tmp_path: Path) -> None:
    fill(tmp_path / "disk" / ".kit.previous", OLD)
    fill(tmp_path / "disk" / ".kit.previous" / ".kitloom.ready", {"a.png": b"new"})
    link = tmp_path / "kit"
    link.symlink_to(tmp_path / "disk" / "kit")
    put_right(link)
    assert content(tmp_path / "disk") == {
        f"kit/{name}": data for name, data in {**OLD, "a.png": b"new"}.items()
    }


def test_a_leftover_that_cannot_be_cleared_away_hinders_nobody(
    tmp_path: Path, disk: Disk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program holds it open: the run goes on, and where it fails says its own reason."""
    rmdir, rename = os.rmdir, Path.rename

    def stuck(path: Path | str, *how: object, **more: object) -> None:
        if ".new-" in str(path):
            raise PermissionError(errno.EACCES, "held open")
        rmdir(path, *how, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "rmdir", stuck)
    kit, art = tmp_path / "kit", fill(tmp_path / "art", {})
    for left in (tmp_path / ".kit.new-1", art / ".kitloom.new-1"):
        left.mkdir()
    write_set(kit, NEW, reads=(), overwrite=False)
    write_into(art, {"a.png": b"new"}, reads=(), overwrite=False)
    assert content(kit) == NEW
    assert content(art) == {"a.png": b"new"}
    disk.error = OSError(errno.ENOSPC, "full")
    assert "(the disk is full)" in refusal(lambda: write_set(kit, NEW, reads=(), overwrite=True))
    assert "(the disk is full)" in refusal(lambda: write_into(art, NEW, reads=(), overwrite=True))
    disk.error = None

    def held(path: Path, target: Path) -> Path:
        if ".new-" in path.name:
            raise OSError(errno.EBUSY, "in use")
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", held)
    assert "(in use)" in refusal(lambda: write_set(kit, OLD, reads=(), overwrite=True))
    assert "(in use)" in refusal(lambda: write_into(art, OLD, reads=(), overwrite=True))
    assert content(kit) == NEW


# ---- files added to a folder of the maker's


def test_files_are_added_and_nothing_else_is_touched(tmp_path: Path) -> None:
    art = fill(tmp_path / "art", {"dots.png": b"old", "pods.png": b"mine"})
    files = {"dots.png": b"new", "leaf.png": b"new"}
    assert write_into(art, files, reads=(), overwrite=True) == [art / "dots.png", art / "leaf.png"]
    assert content(art) == {"dots.png": b"new", "leaf.png": b"new", "pods.png": b"mine"}
    assert names(art) == {"dots.png", "leaf.png", "pods.png"}


def test_files_wait_hidden_in_the_folder_until_all_are_written(tmp_path: Path, disk: Disk) -> None:
    art = fill(tmp_path / "art", {"dots.png": b"old"})
    disk.watched = art
    write_into(art, {"dots.png": b"1", "leaf.png": b"2"}, reads=(), overwrite=True)
    for seen in disk.seen:
        (temporary,) = seen - {"dots.png"}
        assert temporary.startswith(".kitloom.new-")
    assert disk.settled[-1] == "art"


def test_what_stands_is_refused_by_its_name(tmp_path: Path) -> None:
    art = fill(tmp_path / "art", {"pods.png": b"mine"})
    (art / "leaf.png").mkdir()
    files = {"dots.png": b"x", "pods.png": b"y"}
    assert refusal(lambda: write_into(art, files, reads=(), overwrite=False)) == (
        f"{art / 'pods.png'}: exists already (nothing is overwritten unasked). Choose another "
        "place, or add --overwrite."
    )
    leaf = {"leaf.png": b"x"}
    for overwrite in (False, True):
        assert refusal(lambda on=overwrite: write_into(art, leaf, reads=(), overwrite=on)) == (
            f"{art / 'leaf.png'}: is a folder, and a file of this name is to be written. Choose "
            "another place, or rename that folder."
        )
    assert content(art) == {"pods.png": b"mine"}


def test_of_several_folders_all_are_written_or_none(tmp_path: Path, disk: Disk) -> None:
    """The disk fills up at the last file of the second: the first has none of it either."""
    one, two = tmp_path / "one", fill(tmp_path / "two", {"b.png": b"old"})
    sets = [(one, {"a.png": b"new"}), (two, {"b.png": b"new", "c.png": b"new"})]
    disk.error, disk.after = OSError(errno.ENOSPC, "full"), 2
    line = refusal(lambda: write_all_into(sets, reads=(), overwrite=True))
    assert line == f"{one}: cannot be written (the disk is full). {FULL}"
    assert content(tmp_path) == {"two/b.png": b"old"}
    assert names(tmp_path) == {"two"}
    assert names(two) == {"b.png"}
    disk.error = None
    assert write_all_into(sets, reads=(), overwrite=True) == [
        one / "a.png",
        two / "b.png",
        two / "c.png",
    ]
    assert content(tmp_path) == {"one/a.png": b"new", "two/b.png": b"new", "two/c.png": b"new"}


def test_a_single_file_that_cannot_be_written_is_named(tmp_path: Path, disk: Disk) -> None:
    disk.error = OSError(errno.EROFS, "fixed")
    line = refusal(lambda: write_into(tmp_path / "new", {"a.png": b"x"}, reads=(), overwrite=True))
    assert (
        line
        == f"{tmp_path / 'new' / 'a.png'}: cannot be written (it can only be read from). {REFUSED}"
    )


def test_a_move_that_fails_is_undone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before the first folder is ready, or after it: no folder holds files of two runs."""
    one, two = fill(tmp_path / "one", {"a.png": b"old"}), fill(tmp_path / "two", {"b.png": b"old"})
    rename = Path.rename

    def flaky(path: Path, target: Path) -> Path:
        if path.parent == two:
            raise OSError(errno.EBUSY, "in use")
        return rename(path, target)

    monkeypatch.setattr(Path, "rename", flaky)
    sets = [(one, {"a.png": b"new"}), (two, {"b.png": b"new"})]
    assert "cannot be written (in use)" in refusal(
        lambda: write_all_into(sets, reads=(), overwrite=True)
    )
    assert content(tmp_path) == {"one/a.png": b"old", "two/b.png": b"old"}
    assert (names(one), names(two)) == ({"a.png"}, {"b.png"})


def test_two_sets_for_one_folder_go_in_together(tmp_path: Path) -> None:
    link = tmp_path / "same"
    link.symlink_to(tmp_path / "art")
    sets = [(tmp_path / "art", {"a.png": b"1"}), (link, {"b.png": b"2"})]
    assert write_all_into(sets, reads=(), overwrite=False) == [
        tmp_path / "art" / "a.png",
        link / "b.png",
    ]
    assert content(tmp_path / "art") == {"a.png": b"1", "b.png": b"2"}


def test_two_files_for_one_place_are_refused(tmp_path: Path) -> None:
    art = tmp_path / "art"
    sets = [(art, {"a.png": b"1", "b.png": b"1"}), (art, {"b.png": b"2"})]
    assert refusal(lambda: write_all_into(sets, reads=(), overwrite=True)) == (
        f"{art / 'b.png'}: would be written twice. Give each kind of output a place of its own."
    )
    assert names(tmp_path) == set()


def test_what_came_while_a_run_waited_is_not_replaced_unasked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def slow(folder: Path) -> None:
        fill(folder, {"a.png": b"another run's"})

    monkeypatch.setattr(writing, "finish_moving", slow)
    art = tmp_path / "art"
    assert "exists already" in refusal(
        lambda: write_into(art, {"a.png": b"new"}, reads=(), overwrite=False)
    )
    assert content(art) == {"a.png": b"another run's"}


# ---- moves that a kill broke off


def test_a_broken_off_move_is_finished_before_anything_else(tmp_path: Path, disk: Disk) -> None:
    """By any run that reads or writes the folder, or a file in it; until then it is a mix."""
    for named in ("art", "art/dots.png"):
        art = fill(tmp_path / "art", {"dots.png": b"old", "pods.png": b"mine"})
        fill(art / ".kitloom.ready", {"dots.png": b"new", "leaf.png": b"new"})
        fill(art / ".kitloom.new-1", {"half.png": b"half"})
        assert is_half_moved(art)
        finish_moves([tmp_path / named, tmp_path / named])
        assert content(art) == {"dots.png": b"new", "leaf.png": b"new", "pods.png": b"mine"}
        assert names(art) == {"dots.png", "leaf.png", "pods.png"}
        assert not is_half_moved(art)
    assert disk.settled == ["art", "art"]
    write_into(art, {"a.png": b"x"}, reads=(), overwrite=False)
    fill(art / ".kitloom.ready", {"b.png": b"new"})
    write_into(art, {"c.png": b"x"}, reads=(), overwrite=False)
    assert (art / "b.png").read_bytes() == b"new"


def test_what_hinders_a_move_is_told(tmp_path: Path) -> None:
    art = fill(tmp_path / "art", {})
    fill(art / ".kitloom.ready", {"leaf.png": b"new"})
    fill(art / "leaf.png", {"in the way": b""})
    line = refusal(lambda: finish_moves([art]))
    start = f"{art}: holds files of two runs, because one was stopped (it cannot be finished: "
    assert line.startswith(start)
    assert line.endswith("). Make the folder writable and run any kitloom command on it.")
    assert len(line) > len(start) + 70  # with the system's reason


def test_a_folder_without_a_move_is_left_alone(tmp_path: Path) -> None:
    art = fill(tmp_path / "art", {"dots.png": b"mine"})
    fill(art / ".kitloom.new-1", {"half.png": b"another run is writing"})
    finish_moves([art, tmp_path / "missing", Path("x" * 5000)])
    assert names(art) == {"dots.png", ".kitloom.new-1"}


# ---- one file


def test_a_file_is_replaced_whole_and_may_be_read_by_others(tmp_path: Path, disk: Disk) -> None:
    path = tmp_path / "new" / "kit.toml"
    write_file(path, [b"one ", b"two"], overwrite=False)
    assert path.read_bytes() == b"one two"
    assert path.stat().st_mode & 0o777 == 0o644
    disk.watched = tmp_path / "new"
    replace_file(path, b"three")
    ((temporary,),) = [seen - {"kit.toml"} for seen in disk.seen]
    assert temporary.startswith(".kit.toml.new-")
    assert content(tmp_path) == {"new/kit.toml": b"three"}


def test_a_file_whose_making_fails_leaves_the_old_one(tmp_path: Path, disk: Disk) -> None:
    path = tmp_path / "kit.toml"
    path.write_bytes(b"old")

    def pieces() -> Iterator[bytes]:
        yield b"half"
        raise ValueError("the third sheet cannot be drawn")

    with pytest.raises(ValueError, match="third sheet"):
        write_file(path, pieces(), overwrite=True)

    def pulled_away() -> Iterator[bytes]:
        for left in tmp_path.glob(".kit.toml.new-*"):
            left.unlink()
        raise ValueError("the third sheet cannot be drawn")
        yield b""

    with pytest.raises(ValueError, match="third sheet"):  # the first reason is the one told
        write_file(path, pulled_away(), overwrite=True)
    disk.error = OSError(errno.ENOSPC, "full")
    line = refusal(lambda: replace_file(path, b"new"))
    assert line == f"{path}: cannot be written (the disk is full). {FULL}"
    assert content(tmp_path) == {"kit.toml": b"old"}


def test_a_file_that_stands_is_not_replaced_unasked(tmp_path: Path) -> None:
    path = tmp_path / "kit.toml"
    path.write_bytes(b"mine")
    line = refusal(lambda: write_file(path, [b"new"], overwrite=False))
    assert line == (
        f"{path}: exists already (nothing is overwritten unasked). Give another name, or add "
        "--overwrite."
    )
    assert (
        refusal(lambda: replace_file(tmp_path, b"new")) == f"{tmp_path}: is a folder. Name a file."
    )
    assert content(tmp_path) == {"kit.toml": b"mine"}
    check_free(path, overwrite=True)
    check_free(tmp_path / "other.toml", overwrite=False)


def test_what_a_dead_run_left_of_a_file_is_cleared_and_the_rest_stays(tmp_path: Path) -> None:
    for name in (".a.txt.new-1", ".b.txt.new-1", "a.txt.new-1"):
        (tmp_path / name).write_bytes(b"half")
    (tmp_path / ".a.txt.new-folder").mkdir()
    replace_file(tmp_path / "a.txt", b"new")
    assert names(tmp_path) == {"a.txt", ".b.txt.new-1", "a.txt.new-1", ".a.txt.new-folder"}


def test_a_living_runs_file_is_left_alone(tmp_path: Path) -> None:
    handle, name = fresh_file(tmp_path / "a.txt")
    try:
        replace_file(tmp_path / "a.txt", b"quick")
        assert Path(name).exists()
    finally:
        os.close(handle)
    replace_file(tmp_path / "a.txt", b"later")
    assert names(tmp_path) == {"a.txt"}


def test_a_file_that_another_run_took_for_a_dead_ones_is_not_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Locked by the other, or gone already: a name of its own is taken instead."""
    answers = iter([False, True, True])
    tried: list[int] = []

    def lock(handle: int) -> bool:
        tried.append(handle)
        if len(tried) == 2:  # cleared away between its making and its locking
            for left in tmp_path.iterdir():
                left.unlink()
        return next(answers)

    monkeypatch.setattr(whole, "lock", lock)
    handle, name = fresh_file(tmp_path / "a.txt")
    os.close(handle)
    assert len(tried) == 3
    assert names(tmp_path) == {Path(name).name}


# ---- refused before any work is done


def test_an_output_folder_that_cannot_be_used_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def line(folder: Path, *, overwrite: bool = True) -> str:
        return refusal(lambda: check_output(folder, reads=(), overwrite=overwrite))

    fill(tmp_path, {"file": b"mine"})
    here = fill(tmp_path / "work" / "here", {})
    monkeypatch.chdir(here)
    file = tmp_path / "file"
    assert line(file) == f"{file}: is a file, not a folder. Name another folder to write to."
    place = "(a set takes its folder's place as a whole). Give --out a folder of its own."
    assert line(here) == f"{here}: is the folder that you work in {place}"
    assert line(Path()) == f".: is the folder that you work in {place}"
    assert line(here.parent) == f"{here.parent}: holds where you work {place}"
    assert line(Path("/")) == f"/: holds where you work {place}"
    kit = fill(here / "kit", OLD)
    assert line(kit, overwrite=False) == (
        f"{kit}: already holds files (nothing is overwritten unasked). Give --out a new folder, or "
        "add --overwrite."
    )
    check_output(kit, reads=(), overwrite=True)
    check_output(fill(here / "empty", {}), reads=(), overwrite=False)
    check_output(here / "new" / "newer", reads=(), overwrite=False)
    loop = here / "loop"
    loop.symlink_to(loop)
    assert line(loop) == f"{loop}: is a link that leads to itself. Name another folder."
    under = file / "kit"
    assert line(under) == (
        f"{under}: cannot be written to ({file} is not a writable folder). Choose another "
        "--out, or change its permissions."
    )


def test_files_that_only_have_a_sets_names_are_the_makers(tmp_path: Path) -> None:
    """Else --overwrite takes a kit.pdf of another program, which no run wrote."""
    own = fill(tmp_path / "own", {"kit.pdf": b"mine", **MINE})
    assert refusal(lambda: check_earlier_set(own)) == (
        f"{own}: holds kit.pdf, which may be your own (no kit.lock.json of an earlier run is "
        "beside it). Give --out another folder, or move what is in this one."
    )
    check_earlier_set(fill(tmp_path / "kit", {**OLD, "kit.lock.json": b"{}"}))
    check_earlier_set(fill(tmp_path / "trial", {"fit.pdf": b"", "trial.txt": b""}))
    check_earlier_set(fill(tmp_path / "notes", MINE))
    check_earlier_set(tmp_path / "new")


@pytest.fixture
def locked(monkeypatch: pytest.MonkeyPatch) -> set[Path]:
    """Return the folders that may not be written to, as they are for anybody but root."""
    closed: set[Path] = set()

    def access(path: Path, mode: int) -> bool:
        assert mode == os.W_OK | os.X_OK
        return path not in closed

    monkeypatch.setattr(os, "access", access)
    return closed


def test_a_folder_that_may_not_be_written_to_is_refused(tmp_path: Path, locked: set[Path]) -> None:
    """The folder itself, the one around it, or the first that exists above a new one."""
    kit, around = fill(tmp_path / "kits" / "kit", OLD), tmp_path / "kits"

    def why(folder: Path) -> str:
        return refusal(lambda: check_output(folder, reads=(), overwrite=True))

    for closed in (kit, around):
        locked.add(closed)
        assert why(kit) == (
            f"{kit}: cannot be written to ({closed} is not a writable folder). Choose another "
            "--out, or change its permissions."
        )
        locked.clear()
    locked.add(tmp_path)
    check_output(kit, reads=(), overwrite=True)  # two above does not matter
    assert f"({tmp_path} is not a writable folder)" in why(tmp_path / "new" / "newer")
    path = tmp_path / "new" / "a.toml"
    assert refusal(lambda: check_free(path, overwrite=True)) == (
        f"{path}: cannot be written ({tmp_path} is not a writable folder). Choose another "
        "place, or change its permissions."
    )
    check_free(around / "a.toml", overwrite=True)
    locked.clear()
    check_free(path, overwrite=True)
    file = fill(tmp_path, {"file": b"mine"}) / "file"
    assert f"({file} is not a writable folder)" in refusal(
        lambda: check_free(file / "a.toml", overwrite=True)
    )


def test_a_folder_with_the_artwork_in_it_is_refused(tmp_path: Path) -> None:
    """Links are followed: the artwork's own folder under another name is the same folder."""
    art = fill(tmp_path / "art", {"dots.png": b"mine"})
    link = tmp_path / "out"
    link.symlink_to(art)
    for folder in (art, link):
        line = refusal(lambda place=folder: check_inputs_apart(place, [art / "dots.png"]))
        assert line == (
            f"{folder}: holds the artwork itself (dots.png lies in it). Give --out another folder."
        )
    check_inputs_apart(tmp_path, [art / "dots.png"])
    check_inputs_apart(art / "made", [art / "dots.png"])
    check_inputs_apart(art, [])


# ---- what a run reads is never replaced


def test_what_a_run_reads_is_not_replaced_by_what_it_writes(tmp_path: Path) -> None:
    """With --overwrite too, under another name, or by a hard link: bought artwork stays."""
    art = fill(tmp_path / "art", {"dots.png": b"bought"})
    dots = art / "dots.png"
    soft, hard = tmp_path / "soft.png", tmp_path / "hard.png"
    soft.symlink_to(dots)
    hard.hardlink_to(dots)
    rest = (
        "would be replaced by what is made from it (nothing that a run reads is ever replaced). "
        "Write to another place, such as the folder"
    )
    for target, read in ((dots, dots), (dots, soft), (soft, dots), (hard, dots)):
        line = refusal(lambda a=target, b=read: check_apart([tmp_path / "new.png", a], [b]))
        assert line.startswith(f'{target}: {rest} "{target.parent}-new"')
    fill(art, {"pods.png": b"another"})
    check_apart([tmp_path / "new.png", art / "pods.png", art / "new.png"], [dots])
    check_apart([dots], [])
    files = {"dots.png": b"made"}
    assert rest in refusal(lambda: write_into(art, files, reads=[dots], overwrite=True))
    kit = fill(tmp_path / "kit", {"sheet-1.pdf": b"mine"})
    reads = [kit / "sheet-1.pdf"]
    assert rest in refusal(lambda: write_set(kit, NEW, reads=iter(reads), overwrite=True))
    assert content(kit) == {"sheet-1.pdf": b"mine"}
    assert content(art) == {"dots.png": b"bought", "pods.png": b"another"}


def test_the_place_that_is_advised_is_free(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    art = fill(tmp_path / "art", {"dots.png": b"bought"})

    def advice(target: Path) -> str:
        return refusal(lambda: check_apart([target], [art / "dots.png"])).rpartition("folder ")[2]

    assert advice(art / "dots.png") == f'"{art}-new".'
    (tmp_path / "art-new").mkdir()
    assert advice(art / "dots.png") == f'"{art}-new-2".'
    (tmp_path / "art-new-2").symlink_to("nowhere")
    assert advice(art / "dots.png") == f'"{art}-new-3".'
    monkeypatch.chdir(art)
    assert advice(Path("dots.png")) == '"new".'


# ---- small parts


def test_a_folder_that_had_to_be_made_goes_again_unless_it_was_put_to_use(tmp_path: Path) -> None:
    def fail(folder: Path, used: dict[str, bytes]) -> None:
        with folder_made(folder):
            fill(tmp_path / "a", used)
            raise OSError(errno.ENOSPC, "full")

    for used in ({}, {"mine": b""}):
        with pytest.raises(OSError, match="full"):
            fail(tmp_path / "a" / "b", used)
        assert names(tmp_path) == ({"a"} if used else set())
    with folder_made(tmp_path / "a" / "c"):
        pass
    with pytest.raises(OSError, match="full"):
        fail(tmp_path / "a" / "c", {})
    assert names(tmp_path / "a") == {"c", "mine"}  # one that was before stays


def test_only_the_files_of_a_set_are_its_own(tmp_path: Path) -> None:
    kit = fill(tmp_path / "kit", {**OLD, **MINE, "sheet-0.pdf": b"", "xsheet-1.pdf": b""})
    assert own_files(kit) == [kit / "report.html", kit / "sheet-1.pdf", kit / "sheet-2.pdf"]
    assert own_files(tmp_path / "missing") == []
    assert own_files(kit / "report.html") == []
    assert (is_ours("sheet-10.pdf"), is_ours("sheet-01.pdf"), is_ours("")) == (True, False, False)
