"""Many kits in one go: how much do two cores gain, and does memory stay flat?

Run ``python -m benchmarks.many_kits [--sets N] [--side PX] [--workers 1,2]`` (50 sets of 10 tiles
of 300 px, one and two workers). It uses as many cores as there are workers, because beside one
worker the process that writes its files would take a second core. Tiles are links to the twelve of
``benchmarks.twelve``, another ten in each set. Printed: wall, cpu seconds of the whole run, the
speed-up against the first number of workers by wall, and the peak of all processes' memory
together, shared pages counted once (PSS). Memory is flat where ``--sets 10`` has the same peak.
Wanted: 1.7 times with two.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from benchmarks.library import measured
from benchmarks.processes import option
from benchmarks.twelve import drawn, names

TILES = 10
PATTERN = '[[patterns]]\nfile = "{}"\nrepeat = "25mm"\n'
RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "A5"
dpi = 300
{}
[[rows]]
sticker = "full box"
count = 10
fill = "patterns"
"""


def laid(folder: Path, source: Path, count: int) -> None:
    """Lay a recipe, and beside it that many sets of ten tiles."""
    known = [source / name for name in names()]
    folder.mkdir()
    for number in range(count):
        one = folder / "sets" / f"{number:03}"
        one.mkdir(parents=True)
        for k in range(TILES):
            tile = known[(number + k) % len(known)]
            os.link(tile, one / f"{k}{tile.suffix}")
    patterns = "".join(PATTERN.format(f"{k}.png") for k in range(TILES))
    (folder / "kit.toml").write_text(RECIPE.format(patterns))


def main() -> None:
    count, side = int(option("--sets", "50")), int(option("--side", "300"))
    with tempfile.TemporaryDirectory() as scratch:
        source, folder = Path(scratch) / "source", Path(scratch) / "kits"
        drawn(source, side_px=side)
        laid(folder, source, count)
        print(f"{count} sets of {TILES} tiles     wall s   cpu s  speed-up  peak MB (PSS)")
        base, every = 0.0, os.sched_getaffinity(0)
        for workers in option("--workers", "1,2").split(","):
            out = str(folder / f"by-{workers}")
            os.sched_setaffinity(0, set(sorted(every)[: int(workers)]))  # the children's too
            words = [str(folder / "kit.toml"), "--each", str(folder / "sets"), "--out", out]
            wall, cpu, peak = measured([*words, "--workers", workers], "make")
            base = base or wall
            print(f"{workers} workers{'':13}{wall:8.1f}{cpu:8.1f}{base / wall:10.2f}{peak:10.0f}")


if __name__ == "__main__":
    main()
