"""The process beside: it answers, it may be lost at any moment, and it never outlives its maker."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

pytestmark = pytest.mark.slow
ROOT = Path(__file__).parents[2]
RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "A5"
dpi = 120
[palette]
colours = 4
[[patterns]]
file = "large.png"
repeat = "25mm"
[[patterns]]
file = "small.jpg"
repeat = "auto"
[[patterns]]
file = "other.png"
repeat = "12mm"
lattice = "half-drop"
[[rows]]
sticker = "full box"
count = 4
fill = "patterns"
"""
PLAIN = "from kitloom.cli import main; main()"
# no second process; one that is killed at the first question, or at the fourth
ALONE = "import kitloom.make.beside as b; b.start = lambda: None; " + PLAIN
LOST = """
import os, signal
import kitloom.make.beside as b
ask, asked = b.Beside.ask, []
def dying(self, *words, **options):
    asked.append(1)
    if len(asked) == {number}:
        os.kill(self._process, signal.SIGKILL)
    return ask(self, *words, **options)
b.Beside.ask = dying
"""

linux = pytest.mark.skipif(
    not sys.platform.startswith("linux") or (os.cpu_count() or 1) < 2,
    reason="there is a second process on Linux with two cores or more",
)


def laid(folder: Path) -> Path:
    folder.mkdir()
    turn = np.arange(900) * 2.0 * np.pi / 900
    wave = np.sin(7 * turn)[:, None] + np.cos(5 * turn)[None]
    colours = np.stack([120 + 50 * wave, 90 - 40 * wave, 140 + 20 * wave], axis=-1)
    large = np.rint(colours).astype(np.uint8)  # over 2 MB: it lies in a file both can see
    Image.fromarray(large).save(folder / "large.png")
    Image.fromarray(large[::5, ::5]).save(folder / "small.jpg", quality=90)
    Image.fromarray(large[:300, :180]).save(folder / "other.png")
    recipe = folder / "kit.toml"
    recipe.write_text(RECIPE)
    return recipe


def run(code: str, *words: object) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    call = [sys.executable, "-c", code, *map(str, words)]
    return subprocess.run(
        call, check=False, env=environment, capture_output=True, text=True, timeout=120
    )


@linux
def test_the_same_bytes_with_it_without_it_and_with_it_lost(tmp_path: Path) -> None:
    recipe = laid(tmp_path / "kit")
    sets = {}
    for name, code in {
        "beside": PLAIN,
        "alone": ALONE,
        "lost at once": LOST.format(number=1) + PLAIN,
        "lost later": LOST.format(number=4) + PLAIN,
    }.items():
        done = run(code, "make", recipe, "--out", tmp_path / name)
        assert done.returncode in {0, 1}, done.stderr
        sets[name] = {path.name: path.read_bytes() for path in (tmp_path / name).iterdir()}
    assert len(sets["alone"]) > 10
    for name, files in sets.items():
        assert files == sets["alone"], name


@linux
def test_it_answers_and_what_fails_there_is_lost() -> None:
    code = """
import kitloom.make.beside as b
import math, operator
with b.Company() as company:
    other = company.begin()
    assert other is company.begin()
    print(other.ask(math.hypot, 3.0, 4.0))
    try:
        other.ask(operator.truediv, 1, 0)
    except b.LostError:
        print("lost")
    print(other.ask(operator.add, 1, 2))
print(company.other)
"""
    assert run(code).stdout.split() == ["5.0", "lost", "3", "None"]


@linux
def test_it_ends_with_its_maker_however_that_ends() -> None:
    code = """
import os, signal
import kitloom.make.beside as b
print(b.Company().begin()._process, flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""
    number = int(run(code).stdout)
    for _ in range(200):
        if not Path(f"/proc/{number}").exists() or _is_dead(number):
            return
        time.sleep(0.05)
    pytest.fail("the second process lives on")


def _is_dead(number: int) -> bool:
    try:
        return "State:\tZ" in Path(f"/proc/{number}/status").read_text()
    except OSError:
        return True


def test_a_process_that_has_libraries_loaded_makes_none() -> None:
    code = "import scipy; import kitloom.make.beside as b; print(b.start())"
    assert run(code).stdout.strip() == "None"
