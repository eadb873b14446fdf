"""The wheel, built from the sdist outside the source tree, works; nothing is downloaded for it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from pathlib import Path

import pytest

from tests.opened_page import said_until_open

pytestmark = pytest.mark.slow
ROOT = Path(__file__).parents[1]
PIP = (sys.executable, "-m", "pip", "--disable-pip-version-check", "--no-cache-dir", "-q")


SAMPLES = sorted(
    path.relative_to(ROOT / "samples" / "allotment").as_posix()
    for one in ("*.toml", "tiles/*", "evening/*", "faulty/*")
    for path in (ROOT / "samples" / "allotment").glob(one)
)


@pytest.fixture(scope="module")
def sdist(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build from a copy, so that no earlier build is found and none is left in the tree."""
    place = tmp_path_factory.mktemp("sdist")
    files = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", "-z"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout.split("\0")  # fmt: skip
    for name in filter(None, files):
        if (ROOT / name).is_file() and not name.startswith(("docs/", "tests/", "benchmarks/")):
            (place / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / name, place / name)
    made = place / "samples" / "allotment" / "kit"  # as the README's first line leaves it
    made.mkdir()
    (made / "sheet-1.pdf").write_text("a kit made in the clone")
    code = "from hatchling.build import build_sdist; build_sdist('dist')"
    subprocess.run([sys.executable, "-c", code], cwd=place, capture_output=True, check=True)
    (built,) = (place / "dist").iterdir()
    return built


@pytest.fixture(scope="module")
def wheel(sdist: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("wheel")
    words = ["wheel", "--no-deps", "--no-build-isolation", "--wheel-dir", place, sdist]
    subprocess.run([*PIP, *map(str, words)], check=True)
    (built,) = place.glob("*.whl")
    return built


def test_sdist_and_wheel_hold_the_samples_and_no_kit_made_of_them(sdist: Path, wheel: Path) -> None:
    with tarfile.open(sdist) as packed:
        names = {
            name.partition("/")[2] for name in packed.getnames() if packed.getmember(name).isfile()
        }
    top = "samples/allotment/"
    assert sorted(name.removeprefix(top) for name in names if name.startswith(top)) == SAMPLES
    assert {"samples/draw_artwork.py", "samples/drawing/allotment.py", "LICENSE"} <= names
    top = "kitloom/samples/"
    inside = zipfile.ZipFile(wheel).namelist()
    assert sorted(name.removeprefix(top) for name in inside if name.startswith(top)) == SAMPLES
    assert len(SAMPLES) > 30


def test_the_wheel_holds_all_that_is_read_at_run_time(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    for package in ("kit", "kitloom", "palette", "patterns"):
        for path in (ROOT / package).rglob("*"):
            if path.is_file() and path.suffix != ".pyc":
                assert path.relative_to(ROOT).as_posix() in inside
    assert not {name.split("/")[0] for name in inside} & {
        "tests",
        "fuzz",
        "benchmarks",
        "tools",
        "samples",
    }


SMALL = """
[kit]
name = "Small"
[planner]
box = "20mm x 26mm"
[sheet]
paper = "80mm x 80mm"
dpi = 100
margin = "5mm"
[[patterns]]
file = "tiles/dots.png"
repeat = "24mm"
[[rows]]
sticker = "half box"
count = 2
fill = ["dots"]
"""


def test_it_installs_into_an_empty_place_makes_a_kit_of_its_samples_and_opens_the_page(
    wheel: Path, tmp_path: Path
) -> None:
    """An empty environment; the libraries of the running one stand in for their downloads."""
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", tmp_path / "venv"], check=True)
    python = next((tmp_path / "venv").glob("[bS]*/python*"))
    words = ["--python", python, "install", "--no-deps", wheel]
    # with the clone on the path, pip would take it for installed
    plain = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    subprocess.run([*PIP, *map(str, words)], check=True, env=plain)
    (site,) = {p.resolve() for p in (tmp_path / "venv").glob("[lL]ib*/**/site-packages")}
    # later on the path than the wheel, and read without its own .pth files: no clone is seen
    (site / "libraries.pth").write_text(sysconfig.get_paths()["purelib"] + "\n")
    command = next((tmp_path / "venv").glob("[bS]*/kitloom*"))

    def run(*words: str) -> str:
        done = subprocess.run(
            [command, *words], cwd=tmp_path, check=False, env={"PATH": os.environ["PATH"]},
            capture_output=True, text=True,
        )  # fmt: skip
        assert done.returncode in {0, 1}, done.stderr
        return done.stdout

    assert "Pattern artwork and a short recipe in" in run("--help")
    run("draft", "--samples", "mine")
    copied = (p for p in (tmp_path / "mine").rglob("*") if p.is_file())
    assert sorted(p.relative_to(tmp_path / "mine").as_posix() for p in copied) == SAMPLES
    (tmp_path / "mine" / "small.toml").write_text(SMALL)
    run("make", "mine/small.toml")
    assert (tmp_path / "mine" / "small" / "sheet-1.pdf").exists()
    assert (tmp_path / "mine" / "small" / "report.html").exists()
    (tmp_path / "home").mkdir()
    said, status = said_until_open([command], tmp_path / "home", tmp_path)
    assert status == 200, said
    assert (tmp_path / "home" / "My kitloom kit" / "artwork").is_dir()
