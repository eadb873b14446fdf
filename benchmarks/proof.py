"""What does the colour proof of all of a kit's fills cost, beside the floor?

Run ``python -m benchmarks.proof [--tiles FOLDER]``. In one process, median of five, processor
seconds: the floor (``benchmarks.floor``), and ``assess_fill`` of the bins of the same twelve tiles
with a press that is made again each time, table and gamut included.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

from benchmarks.processes import measured, option
from benchmarks.twelve import drawn
from palette.choose import bins_of
from palette.press.builtin import BuiltinPress
from palette.press.conditions import GLOSSY
from palette.proof import assess_fill

RUNS = 5


def main() -> None:
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(option("--tiles", scratch))
        drawn(folder)
        paths = sorted(p for p in folder.iterdir() if p.suffix in {".png", ".jpg"})[:12]
        words = [sys.executable, "-m", "benchmarks.floor", str(folder)]
        floor = statistics.median(float(measured(words)[1].split()[1]) for _ in range(RUNS))
        bins = [bins_of(np.asarray(Image.open(path).convert("RGB"))) for path in paths]
    assess_fill(bins[0], BuiltinPress(GLOSSY, "", ""))  # imports
    proof = statistics.median(_seconds(bins) for _ in range(RUNS))
    print(f"proof of 12 fills, {sum(map(len, bins)):,} bins: {proof * 1e3:.0f} ms")
    print(f"floor {floor:.2f} s; ratio {proof / floor:.2f}")


def _seconds(bins: list) -> float:  # type: ignore[type-arg]
    start = time.process_time()
    press = BuiltinPress(GLOSSY, "", "")
    for fill in bins:
        assess_fill(fill, press)
    return time.process_time() - start


if __name__ == "__main__":
    main()
