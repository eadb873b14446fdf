"""The floor: what any program must do with twelve tiles and one sheet, and nothing else.

Run ``python -m benchmarks.floor FOLDER`` (tiles as ``benchmarks.twelve`` draws them). Prints wall
and processor seconds of decoding the tiles with Pillow and deflating one Letter sheet at 300 dpi at
level 6, in one process on one thread, without the interpreter's start and the imports.
"""

from __future__ import annotations

import sys
import time
import zlib
from pathlib import Path

import numpy as np
from PIL import Image

SHEET_PX = (3300, 2550)


def sheet(tiles: list[np.ndarray]) -> np.ndarray:
    """Return a sheet with twelve reduced tiles on it, two by two, as the kit has fills."""
    raster = np.full((*SHEET_PX, 3), 255, np.uint8)
    for i, pixels in enumerate(tiles):
        small = np.asarray(Image.fromarray(pixels).reduce(8))
        top, left = 100 + i // 4 * 1000, 100 + i % 4 * 600
        raster[top : top + 450, left : left + 450] = np.tile(small, (2, 2, 1))[:450, :450]
    return raster


def main() -> None:
    paths = sorted(p for p in Path(sys.argv[1]).iterdir() if p.suffix in {".png", ".jpg"})[:12]
    raster = sheet([np.asarray(Image.open(path).convert("RGB")) for path in paths])
    rows = np.zeros((SHEET_PX[0], SHEET_PX[1] * 3 + 1), np.uint8)
    wall, cpu = time.perf_counter(), time.process_time()
    for path in paths:
        with Image.open(path) as image:
            np.asarray(image.convert("RGB"))
    flat = raster.reshape(SHEET_PX[0], -1)
    rows[:, 0] = 2
    rows[0, 1:] = flat[0]
    np.subtract(flat[1:], flat[:-1], out=rows[1:, 1:])
    zlib.compress(rows, 6)
    print(time.perf_counter() - wall, time.process_time() - cpu)


if __name__ == "__main__":
    main()
