"""Is the smallest repeat found in swatches of real and drawn tiles, and nothing where nothing is?

    python -m benchmarks.repeats [--public FOLDER] [--every N] [--repeats 2.6] [--seed N]

For each tile and each lattice, a swatch of 2.6 repeats at a random phase, with noise (sigma 3) and
JPEG 85, is given to ``find_repeat``. An answer is right if it rebuilds the clean swatch and its
cell is no larger than the tile. Then each tile alone: right is None, or a cell that rebuilds the
tile. Baseline: the highest peak of the plain autocorrelation along each axis, without lattices.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

import numpy as np

from palette.arrays import Floats, Pixels

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from learning.faults import jpeg
from learning.tiles import drawn_tiles, public_tiles
from palette.space import srgb_to_lab
from patterns.plane import LATTICES, Lattice, parse_lattice
from patterns.repeats import Repeat, find_repeat


def plane_of(tile: Pixels, lattice: Lattice, repeats: float, rng: np.random.Generator) -> Pixels:
    """Return ``repeats`` repeats of a tile each way, at a random phase."""
    height, width = tile.shape[:2]
    y, x = np.mgrid[0 : int(repeats * height), 0 : int(repeats * width)]
    y, x = y + int(rng.integers(height)), x + int(rng.integers(width))
    down = y - np.rint(x // width * lattice.drop * height).astype(int)
    right = x - np.rint(y // height * lattice.slide * width).astype(int)
    return tile[down % height, right % width]


def rebuilds(found: Repeat, clean: Pixels, cell_px: float) -> bool:
    """Whether the repeat lays the clean picture on itself, and is no larger than the true cell."""
    if found.width_px * found.height_px > 1.02 * cell_px and found.lattice == "straight":
        stripes = min(found.width_px, found.height_px) < 0.7 * cell_px**0.5
        if not stripes:
            return False
    lattice = parse_lattice(found.lattice)
    w, h = found.width_px, found.height_px
    steps = [(lattice.drop * h, w), (h, lattice.slide * w)]
    lab = srgb_to_lab(clean)
    spread = float(np.sqrt(lab.reshape(-1, 3).var(axis=0).sum()))
    return all(_off(lab, down, right) <= 0.25 * spread + 1.0 for down, right in steps)


def _off(lab: Floats, down: float, right: float) -> float:
    """Return the root mean square of a picture less itself, moved by parts of a pixel too."""
    d, r = int(down), int(right)
    u, v = down - d, right - r
    height, width = lab.shape[0] - d - 1, lab.shape[1] - r - 1
    if height < 1 or width < 1:
        return 0.0
    corners = [lab[d + i : d + i + height, r + j : r + j + width] for i in (0, 1) for j in (0, 1)]
    shares = ((1 - u) * (1 - v), (1 - u) * v, u * (1 - v), u * v)
    moved = sum(share * corner for share, corner in zip(shares, corners, strict=True))
    return float(np.sqrt(np.square(moved - lab[:height, :width]).sum(-1).mean()))


def plain_period(pixels: Pixels) -> tuple[int, int]:
    """The baseline: the highest peak of each axis's mean autocorrelation beyond a tenth."""
    grey = pixels.mean(axis=2) - pixels.mean()
    out = []
    for axis in (1, 0):
        power = np.abs(np.fft.rfft(grey, 2 * grey.shape[axis], axis=axis)) ** 2
        line = np.fft.irfft(power.sum(axis=1 - axis))[: grey.shape[axis]]
        line = line / np.arange(grey.shape[axis], 0, -1)
        first = grey.shape[axis] // 10
        out.append(first + int(np.argmax(line[first : int(0.7 * grey.shape[axis])])))
    return out[0], out[1]


def period_error(found: Repeat, width: int, height: int, lattice: Lattice) -> float | None:
    """Return the error in px against the true cell, or None if the cell is another one."""
    if found.lattice != lattice.name or abs(found.width_px - width) > 2:
        return None
    return max(abs(found.width_px - width), abs(found.height_px - height))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--public", type=Path, default=Path("/"))
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--repeats", type=float, default=2.6)
    parser.add_argument("--seed", type=int, default=31, help="of the drawn tiles and the phases")
    options = parser.parse_args()
    tiles = [*public_tiles(options.public), *drawn_tiles(1, seed=options.seed)]
    if not any(t.set_name == "real" for t in tiles):
        print(f"NOTE: no public tiles under {options.public}: install caja-common, afterstep-data")
    rng = np.random.default_rng(options.seed)
    right: dict[str, list[bool]] = {}
    errors, seconds, plain = [], [], []
    for tile in tiles[:: options.every]:
        group = "real" if tile.set_name == "real" else "drawn"
        for lattice in LATTICES.values():
            h, w = (n // 2 * 2 for n in tile.pixels.shape[:2])
            even = tile.pixels[:h, :w]
            clean = plane_of(even, lattice, options.repeats, rng)
            noisy = np.clip(clean + rng.normal(0, 3, clean.shape), 0, 255).astype(np.uint8)
            shown = jpeg(noisy, 85)
            start = time.perf_counter()
            found = find_repeat(shown)
            seconds.append((time.perf_counter() - start) / (shown.shape[0] * shown.shape[1] / 1e6))
            good = found is not None and rebuilds(found, clean, w * h)
            right.setdefault(f"{group}, {lattice.name}", []).append(good)
            if not good:
                print(f"  wrong: {tile.name} {w} x {h} {lattice.name}: {found}")
            error = period_error(found, w, h, lattice) if found else None
            if error is not None:
                errors.append(error)
            p = plain_period(shown)
            plain.append(lattice.name == "straight" and abs(p[0] - w) + abs(p[1] - h) < 3)
        lone = find_repeat(tile.pixels)
        cell = tile.pixels.shape[0] * tile.pixels.shape[1]
        good = lone is None or (lone.seen >= 1.5 and rebuilds(lone, tile.pixels, cell))
        right.setdefault(f"{group}, lone tile", []).append(good)
        if not good:
            print(f"  wrong alone: {tile.name}: {lone}")
    for name, values in right.items():
        print(f"{name}: right {np.mean(values):.3f} of {len(values)}")
    print(f"baseline right: {np.mean(plain):.3f}")
    print(f"period error px: median {np.median(errors):.3f}, 95 % {np.quantile(errors, 0.95):.3f}")
    print(f"seconds a megapixel: median {np.median(seconds):.2f}, worst {max(seconds):.2f}")


if __name__ == "__main__":
    main()
