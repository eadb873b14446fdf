"""Draws every sample picture again: ``python samples/draw_artwork.py [--out FOLDER] [NAME…]``.

Needs NumPy, SciPy and Pillow only. Same bytes on every run with the same versions of these.
"""

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from drawing import allotment, evening, faulty
from drawing.export import save

SETS = {
    "allotment/tiles": allotment.TILES,
    "allotment/evening": evening.TILES,
    "allotment/faulty": faulty.TILES,
}
DPI = {"pods.png": 300, "radishes.png": 300, "rain.jpg": 300, "gingham.png": 150}
DPI |= {"1-moths.png": 300, "too-small.png": 72}
QUALITY = {"shop-preview.jpg": 85}


def main() -> None:
    parser = argparse.ArgumentParser(description="Draw the sample artwork.")
    parser.add_argument("--out", type=Path, default=Path(__file__).parent, metavar="FOLDER")
    parser.add_argument("names", nargs="*", help="only files whose path contains one of these")
    options = parser.parse_args()
    for folder, pictures in SETS.items():
        for name, draw in pictures.items():
            path = options.out / folder / name
            if not options.names or any(n in f"{folder}/{name}" for n in options.names):
                save(draw(), path, DPI.get(name), QUALITY.get(name, 90))


if __name__ == "__main__":
    main()
