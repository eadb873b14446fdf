"""The wheel, built and installed outside the source tree, works; nothing is downloaded for it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PIP = (sys.executable, "-m", "pip", "--disable-pip-version-check", "--no-cache-dir", "-q")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build from a copy, so that no earlier build is found and none is left in the tree."""
    pytest.importorskip(
        "setuptools", minversion="77", reason="the wheel is built without downloads"
    )
    place = tmp_path_factory.mktemp("wheel")
    files = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard", "-z"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    ).stdout.split("\0")  # fmt: skip
    for name in filter(None, files):
        if (ROOT / name).is_file() and not name.startswith(("docs/", "tests/", "benchmarks/")):
            (place / "source" / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / name, place / "source" / name)
    words = ["wheel", "--no-deps", "--no-build-isolation", "--wheel-dir", place, place / "source"]
    subprocess.run([*PIP, *map(str, words)], check=True)
    (built,) = place.glob("*.whl")
    return built


def test_the_wheel_holds_all_that_is_read_at_run_time(wheel: Path) -> None:
    inside = set(zipfile.ZipFile(wheel).namelist())
    for package in ("kit", "kitloom", "palette", "patterns"):
        for path in (ROOT / package).rglob("*"):
            if path.is_file() and path.suffix != ".pyc":
                assert path.relative_to(ROOT).as_posix() in inside
    assert not {name.split("/")[0] for name in inside} & {"tests", "fuzz", "benchmarks", "tools"}


def test_it_installs_into_an_empty_place_and_makes_a_kit(wheel: Path, tmp_path: Path) -> None:
    words = ["install", "--no-deps", "--target", tmp_path / "site", wheel]
    subprocess.run([*PIP, *map(str, words)], check=True)
    libraries = sysconfig.get_paths()["purelib"]
    for name in ("dots.png", "kit.toml"):
        shutil.copyfile(ROOT / "fuzz" / "corpus" / "kit" / name, tmp_path / name)

    def run(*words: str) -> str:
        done = subprocess.run(
            [sys.executable, "-P", "-m", "kitloom", *words], cwd=tmp_path, check=False,
            env={"PATH": os.environ["PATH"], "PYTHONPATH": f"{tmp_path / 'site'}:{libraries}"},
            capture_output=True, text=True,
        )  # fmt: skip
        assert done.returncode in {0, 1}, done.stderr
        return done.stdout

    assert "Pattern artwork and a short recipe in" in run("--help")
    run("make", "kit.toml")
    assert (tmp_path / "kit" / "sheet-1.pdf").exists()
    assert (tmp_path / "kit" / "report.html").exists()
