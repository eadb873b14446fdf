"""The same recipe gives the same bytes: whatever hash seed, threads, cores, place, time or tongue.

Two processes that differ in all of these write every kind of file. What was compared between
versions of Python by hand is told in DEVELOPERS.md.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

ROOT = Path(__file__).parents[2]
RECIPE = """\
[kit]
name = "Allotment"
[planner]
box = "30mm x 40mm"
[sheet]
paper = "A5"
dpi = 120
layout = "pack"
top_up = ["dot"]
bleed = "1.1mm"
frame = true
[cut]
through = "sheet"
[palette]
colours = "auto"
[[patterns]]
file = "dots.png"
repeat = "auto"
lattice = "auto"
[[patterns]]
file = "stripes.png"
repeat = "12mm"
lattice = "half-drop"
[[rows]]
sticker = "full box"
count = 3
fill = "patterns"
[[rows]]
sticker = "header"
text = "days"
fill = "palette"
[[rows]]
sticker = "custom"
count = 2
outline = "leaf.svg"
size = "20mm x 20mm"
turn = "30deg"
[[rows]]
sticker = "checklist"
count = 4
fill = "palette"
"""
LEAF = (
    '<svg xmlns="http://www.w3.org/2000/svg">'
    '<path d="M0 50C20 0 80 0 100 50C80 100 20 100 0 50Z"/></svg>'
)
ONE = {
    "PYTHONHASHSEED": "1", "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "WORKERS": "1",
    "TZ": "UTC", "LC_ALL": "C.UTF-8", "LANG": "C.UTF-8", "COLUMNS": "80",
}  # fmt: skip
OTHER = {
    "PYTHONHASHSEED": "4242", "OMP_NUM_THREADS": "3", "OPENBLAS_NUM_THREADS": "3", "WORKERS": "2",
    "TZ": "Asia/Kathmandu", "LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "COLUMNS": "80",
    "HOME": "/nonexistent", "PYTHONOPTIMIZE": "1",
}  # fmt: skip


def laid(folder: Path, dots: np.ndarray) -> Path:
    folder.mkdir(parents=True)
    Image.fromarray(dots).save(folder / "dots.png")
    stripes = np.full((96, 190, 3), (244, 238, 220), np.uint8)
    stripes[:, (np.arange(190) // 12) % 2 == 1] = (196, 84, 60)  # the join shows
    Image.fromarray(stripes).save(folder / "stripes.png")
    (folder / "kit.toml").write_text(RECIPE)
    (folder / "leaf.svg").write_text(LEAF)
    return folder


def everything(folder: Path, how: str, setting: dict[str, str], *, cores: int) -> dict[str, str]:
    """Return the hash of every file that every command writes, in a process of its own."""

    def one_core() -> None:
        if cores == 1 and hasattr(os, "sched_setaffinity"):
            os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:1])

    done = subprocess.run(
        [sys.executable, "-m", "tests.kitloom.everything", str(folder), how],
        env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), **setting},
        cwd=ROOT, capture_output=True, text=True, check=False, preexec_fn=one_core,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    told: dict[str, str] = json.loads(done.stdout)
    return told


@pytest.mark.slow  # test_make holds the kit alone to it
def test_two_processes_that_differ_in_all_write_the_same_bytes(
    tmp_path: Path, dots: np.ndarray
) -> None:
    first = everything(laid(tmp_path / "a" / "artwork", dots), "here", ONE, cores=1)
    second = everything(laid(tmp_path / "b, é" / "artwork", dots), "there", OTHER, cores=2)
    assert first.keys() == second.keys()
    assert {name for name in first if first[name] != second[name]} == set()
    endings = {Path(name).suffix for name in first}
    assert endings >= {".pdf", ".png", ".svg", ".dxf", ".hpgl", ".json", ".html", ".css", ".cxf",
                       ".csv", ".txt", ".jsonl", ".toml"}  # fmt: skip
