"""A start without a terminal: the files in ``start/``, and ``kitloom`` without a word."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

from kitloom.disk import OutputError, own_folder
from tests.opened_page import said_until_open

ROOT = Path(__file__).parents[1]
START = ROOT / "start"
POSIX = pytest.mark.skipif(os.name != "posix", reason="a shell script")


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """The folder of programs of a machine that has no Python."""
    programs = tmp_path / "programs"
    programs.mkdir()
    for name in ("sh", "dirname"):
        (programs / name).symlink_to(str(shutil.which(name)))
    return programs


def started(tree: Path, programs: Path, name: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [programs / "sh", tree / "start" / name],
        env={"PATH": str(programs)}, stdin=subprocess.DEVNULL,
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip


@POSIX
@pytest.mark.parametrize("name", ["kitloom-on-linux.sh", "kitloom-on-macos.command"])
def test_without_a_new_python_it_says_where_to_get_one(
    bare: Path, tmp_path: Path, name: str
) -> None:
    """Else a window flashes up and is gone, and the maker never learns what was missing."""
    old = bare / "python3"
    old.write_text(f"#!{shutil.which('sh')}\nexit 1\n")  # as an older one answers
    old.chmod(0o755)
    tree = tmp_path / "kitloom 1"
    shutil.copytree(START, tree / "start")
    (tree / "pyproject.toml").touch()
    done = started(tree, bare, name)
    assert done.returncode == 1
    assert "needs Python 3.11 or newer" in done.stdout
    assert "https://www.python.org/downloads/" in done.stdout
    assert not (tree / ".venv").exists()


@POSIX
def test_alone_it_asks_for_the_whole_folder(bare: Path, tmp_path: Path) -> None:
    shutil.copytree(START, tmp_path / "start")
    done = started(tmp_path, bare, "kitloom-on-linux.sh")
    assert (done.returncode, "unpack the whole folder first" in done.stdout) == (1, True)


@POSIX
@pytest.mark.parametrize("window", ["xterm", ""])
def test_a_double_click_shows_what_went_wrong(bare: Path, tmp_path: Path, window: str) -> None:
    """Else nothing happens at all, and the maker never learns why."""
    shell, shown = str(shutil.which("sh")), tmp_path / "shown"
    tree = tmp_path / "kitloom 1"
    shutil.copytree(START, tree / "start")
    (bare / "mktemp").symlink_to(str(shutil.which("mktemp")))
    for name in filter(None, ("xdg-open", window)):  # one opens the text, one the script again
        (bare / name).write_text(
            f'#!{shell}\n[ "$1" = -e ] && shift && exec "$@" >"{shown}"\n'
            f'while read -r line; do echo "$line"; done <"$1" >"{shown}"\n'
        )
        (bare / name).chmod(0o755)
    subprocess.run(
        [tree / "start" / "kitloom-on-linux.sh"],
        env={"PATH": str(bare), "DISPLAY": ":7", "TMPDIR": str(tmp_path)},
        stdin=subprocess.DEVNULL, capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    assert "unpack the whole folder first" in shown.read_text("utf-8")


def test_the_windows_file_keeps_its_window_open_and_every_jump_has_its_place() -> None:
    """What can be told without Windows: it needs its own ends of lines, and ends in a pause."""
    text = (START / "kitloom-on-windows.bat").read_bytes().decode("ascii")
    lines = text.split("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    places = {line[1:] for line in lines if line.startswith(":")}
    jumps = {line.split("goto ")[1] for line in lines if "goto " in line}
    assert jumps | {"end"} == places
    assert [line for line in lines if line][-1] == "pause"


def test_work_is_kept_in_the_makers_documents_and_never_in_the_program(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else a newer kitloom, unpacked over the older, takes the maker's kit with it."""
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    assert own_folder() == tmp_path / "My kitloom kit"
    (tmp_path / "Documents").mkdir()
    assert own_folder() == tmp_path / "Documents" / "My kitloom kit"
    monkeypatch.setattr(Path, "home", lambda: ROOT)
    with pytest.raises(OutputError, match="kitloom's own folder"):
        own_folder()


def files_of_the_tree() -> list[str]:
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", "-z"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    beside = ("docs/", "tests/", "benchmarks/", "fuzz/")
    return [name for name in listed.split("\0") if name and not name.startswith(beside)]


@POSIX
@pytest.mark.slow
def test_from_the_downloaded_folder_to_the_page_by_double_click_on_linux(tmp_path: Path) -> None:
    """An empty home and a copy of the tree; nothing is downloaded for it.

    The running environment's libraries stand in for their downloads: pip finds them there, all but
    kitloom.
    """
    tree, home, libraries = tmp_path / "kitloom 1", tmp_path / "home", tmp_path / "libraries"
    for name in files_of_the_tree():
        if (ROOT / name).is_file():
            (tree / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ROOT / name, tree / name)
    home.mkdir()
    libraries.mkdir()
    for one in Path(sysconfig.get_paths()["purelib"]).iterdir():
        if not one.name.startswith(("kitloom", "pip", "_editable")):
            (libraries / one.name).symlink_to(one)
    programs = tmp_path / "programs"
    programs.mkdir()
    (programs / "python3.14").symlink_to(sys.executable)  # the first that it looks for
    offline = {
        "PATH": f"{programs}:{os.environ['PATH']}",
        "PYTHONPATH": str(libraries),
        "PIP_NO_INDEX": "1",
        "PIP_NO_BUILD_ISOLATION": "false",  # pip's own word for: build with what is there
    }
    script: list[str | Path] = [tree / "start" / "kitloom-on-linux.sh"]
    before = {path.name for path in tree.iterdir()}
    said, status = said_until_open(script, home, home, **offline)
    assert status == 200, said
    assert "The first start" in said
    work = home / "My kitloom kit"
    assert f"Your work is kept in {work}, made for it now." in said
    assert (work / "artwork").is_dir()
    assert {path.name for path in tree.iterdir()} - before == {".venv"}
    shown = subprocess.run(
        [tree / ".venv" / "bin" / "kitloom", "--version"],
        capture_output=True, text=True, check=True, env={"PYTHONPATH": str(libraries)},
    ).stdout  # fmt: skip
    assert shown.startswith("kitloom")
    again, status = said_until_open(script, home, home, **offline)
    assert (status, "first start" in again) == (200, False), again
    assert f"Your work is kept in {work}.\n" in again


@POSIX
@pytest.mark.slow
def test_kitloom_without_a_word_opens_the_page_and_says_so(tmp_path: Path) -> None:
    (tmp_path / "Documents").mkdir()
    command: list[str | Path] = [sys.executable, "-m", "kitloom"]
    work = tmp_path / "Documents" / "My kitloom kit"

    def start_again() -> None:
        """A second start shows the page that is open."""
        again, shown = said_until_open(command, tmp_path, ROOT)
        assert (shown, "is open already" in again) == (200, True), again
        assert len(list((work / ".kitloom").glob("way-in"))) == 1

    said, status = said_until_open(command, tmp_path, ROOT, while_open=start_again)
    assert status == 200, said
    assert not list((work / ".kitloom").glob("way-in")), "the server took its key with it"
    assert said.startswith("The page opens in your browser. (kitloom --help names the commands.)\n")
    assert (tmp_path / "Documents" / "My kitloom kit" / "artwork").is_dir()
