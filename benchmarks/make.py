"""How long does ``kitloom make`` take, beside the floor and beside the obvious script?

Run ``python -m benchmarks.make [--runs N] [--naive] [--tiles FOLDER]``. Whole processes, median of
N (five), one after the other in turn, so that other programs slow all alike: the
floor (``benchmarks.floor``), make at 300 and at 600 dpi into a new folder, make a second time from
unchanged inputs, and with ``--naive`` the obvious script (once). Printed: wall seconds, processor
seconds with those of a worker, both as multiples of the floor's, and peak memory without it. Where
other programs run too, trust the ratio of processor seconds; where none do, a second process makes
the wall ratio smaller.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from benchmarks.processes import Figures, measured, median, option
from benchmarks.twelve import drawn


def make(recipe: Path, out: Path, *, again: bool) -> Figures:
    if not again:
        shutil.rmtree(out, ignore_errors=True)
    words = [sys.executable, "-m", "kitloom", "make", str(recipe), "--out", str(out), "--overwrite"]
    return measured(words)[0]


def floor(tiles: Path) -> Figures:
    figures, printed = measured([sys.executable, "-m", "benchmarks.floor", str(tiles)])
    wall, cpu = map(float, printed.split())
    return Figures(wall, cpu, figures.peak_mb)


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
            words = [sys.executable, "-m", "benchmarks.naive", str(tiles), scratch + "/naive.pdf"]
            rows["naive"] = [measured(words)[0]]
        show({name: median(figures) for name, figures in rows.items()})


def show(rows: dict[str, Figures]) -> None:
    base = rows["floor"]
    print(f"{'':24}{'wall s':>8}{'÷ floor':>9}{'cpu s':>8}{'÷ floor':>9}{'peak MB':>9}")
    for name, (wall, cpu, peak) in rows.items():
        ratios = wall / base.wall_s, cpu / base.cpu_s
        print(f"{name:24}{wall:8.2f}{ratios[0]:9.1f}{cpu:8.2f}{ratios[1]:9.1f}{peak:9.0f}")
    if "naive" in rows:
        one, other = rows["naive"], rows["make, 300 dpi"]
        print(
            f"naive ÷ make: wall {one.wall_s / other.wall_s:.1f}, cpu {one.cpu_s / other.cpu_s:.1f}"
        )


if __name__ == "__main__":
    main()
