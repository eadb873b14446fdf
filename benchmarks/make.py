"""How long does ``kitloom make`` take, beside the floor and beside the obvious script?

Run ``python benchmarks/make.py [--runs N] [--naive] [--tiles FOLDER]``. Whole processes, median of
N (five), one after the other in turn, so that company on the machine disturbs all alike: the floor
(``benchmarks/floor.py``), make at 300 and at 600 dpi into a new folder, make a second time from
unchanged inputs, and with ``--naive`` the obvious script (once). Printed: wall seconds, processor
seconds, both as multiples of the floor's, and peak memory. On a busy machine the ratio of processor
seconds is the one to trust; two threads make the wall ratio smaller on a quiet one.
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[0] = str(ROOT)  # else this file's folder would hide the package

from benchmarks.twelve import drawn

Figures = tuple[float, float, float]  # wall s, processor s, peak MB


def measured(words: list[str]) -> tuple[Figures, str]:
    """Run a process; return its figures and what it printed."""
    start = time.perf_counter()
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    process = subprocess.Popen(words, stdout=subprocess.PIPE, env=environment)
    assert process.stdout is not None
    told = process.stdout.read().decode()
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in {0, 1}:
        raise SystemExit(f"{words} ended with {process.returncode}")
    wall = time.perf_counter() - start
    return (wall, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024), told


def make(recipe: Path, out: Path, *, again: bool) -> Figures:
    if not again:
        shutil.rmtree(out, ignore_errors=True)
    words = [sys.executable, "-m", "kitloom", "make", str(recipe), "--out", str(out), "--overwrite"]
    return measured(words)[0]


def floor(tiles: Path) -> Figures:
    (_, _, peak), told = measured([sys.executable, str(ROOT / "benchmarks/floor.py"), str(tiles)])
    wall, cpu = map(float, told.split())
    return wall, cpu, peak


def median(rows: list[Figures]) -> Figures:
    wall, cpu, peak = (statistics.median(column) for column in zip(*rows, strict=True))
    return wall, cpu, peak


def option(name: str, default: str) -> str:
    return sys.argv[sys.argv.index(name) + 1] if name in sys.argv else default


def main() -> None:
    with tempfile.TemporaryDirectory() as scratch:
        tiles = Path(option("--tiles", scratch + "/tiles"))
        recipes = {dpi: drawn(tiles, dpi) for dpi in (300, 600)}
        rows: dict[str, list[Figures]] = {}
        for _ in range(int(option("--runs", "5"))):
            rows.setdefault("floor", []).append(floor(tiles))
            for dpi, recipe in recipes.items():
                out = Path(scratch) / str(dpi)
                rows.setdefault(f"make, {dpi} dpi", []).append(make(recipe, out, again=False))
                again = make(recipe, out, again=True)
                rows.setdefault(f"make, {dpi} dpi, again", []).append(again)
        if "--naive" in sys.argv:
            words = [sys.executable, str(ROOT / "benchmarks/naive.py"), str(tiles)]
            rows["naive"] = [measured([*words, scratch + "/naive.pdf"])[0]]
        base = median(rows["floor"])
        print(f"{'':24}{'wall s':>8}{'÷ floor':>9}{'cpu s':>8}{'÷ floor':>9}{'peak MB':>9}")
        for name, figures in rows.items():
            wall, cpu, peak = median(figures)
            print(
                f"{name:24}{wall:8.2f}{wall / base[0]:9.1f}"
                f"{cpu:8.2f}{cpu / base[1]:9.1f}{peak:9.0f}"
            )


if __name__ == "__main__":
    main()
