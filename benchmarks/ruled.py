"""Ruled artwork: is a sound plaid, stripe or patchwork ever called a seam, and are faults found?

    python -m benchmarks.ruled [--per-kind N] [--seed N]

Tiles are drawn exactly, on whole pixels: tartan, gingham, windowpane, patchwork, log cabin,
chevron, dog-tooth, colour-block stripes. Each begins at any place of its repeat, holds it once or
several times, and is bare, woven, noisy or saved as JPEG 85. Clean joins called "seam" and
"unsure" are told apart by whether the tile holds an inner repeat along that axis. Then the same
tiles with a fault planted at the join: a stripe of another width, one cell cut short, a rhythm that
breaks, a pale edge, a tone that drifts by 8 L*.
"""

from __future__ import annotations

import argparse
from collections import defaultdict
from collections.abc import Callable

import numpy as np

from learning.faults import jpeg
from palette.arrays import Pixels
from patterns.seams import check_seams

Generator = np.random.Generator
VERDICTS = ("seam", "unsure", "seamless")
FINISHES = ("bare", "woven", "noisy", "jpeg 85")
TWILL_PX = 4


def inks(rng: Generator, count: int) -> np.ndarray:
    """Return colours that differ, as a maker's plaid has them: some deep, some pale."""
    grey = rng.permutation(np.linspace(45, 225, count))[:, None]
    return np.clip(grey + rng.uniform(-35, 35, (count, 3)), 0, 255)


def _bands(rng: Generator, least: int, count: int) -> np.ndarray:
    """Return the number of a colour for each pixel of one repeat."""
    widths = rng.integers(least, 6 * least, count)
    return np.repeat(rng.integers(0, 4, count), widths)


def tartan(rng: Generator) -> np.ndarray:
    """A sett, mirrored about its ends or not, crossed with itself."""
    sett = _bands(rng, int(rng.integers(3, 12)), int(rng.integers(4, 9)))
    if rng.random() < 0.7:
        sett = np.concatenate([sett, sett[::-1]])
    colours = inks(rng, 4)
    return (colours[sett][None] + colours[sett][:, None]) / 2.0


def gingham(rng: Generator) -> np.ndarray:
    """Two colours, crossed."""
    half = int(rng.integers(10, 50))
    colours = inks(rng, 2)
    bars = np.repeat([0, 1], half)
    return (colours[bars][None] + colours[bars][:, None]) / 2.0


def windowpane(rng: Generator) -> np.ndarray:
    """Thin lines on a plain ground."""
    side, line = int(rng.integers(40, 120)), int(rng.integers(1, 7))
    colours = inks(rng, 2)
    tile = np.broadcast_to(colours[0], (side, side, 3)).copy()
    tile[:line], tile[:, :line] = colours[1], colours[1]
    return tile


def patchwork(rng: Generator) -> np.ndarray:
    """Plain patches side by side, some crossed by stripes."""
    side, across = int(rng.integers(24, 70)), int(rng.integers(2, 5))
    colours = inks(rng, 6)
    rows = []
    for _ in range(across):
        cells = []
        for _ in range(across):
            cell = np.broadcast_to(colours[rng.integers(6)], (side, side, 3)).copy()
            if rng.random() < 0.3:
                cell[:, :: int(rng.integers(4, 9))] = colours[rng.integers(6)]
            cells.append(cell)
        rows.append(np.concatenate(cells, axis=1))
    return np.concatenate(rows)


def log_cabin(rng: Generator) -> np.ndarray:
    """Strips laid round a middle, light on one side and dark on the other."""
    strip, rounds = int(rng.integers(6, 16)), int(rng.integers(2, 6))
    side = strip * (2 * rounds + 1)
    colours = inks(rng, 2 * rounds + 1)
    tile = np.broadcast_to(colours[0], (side, side, 3)).copy()
    for i in range(rounds):
        a, b = i * strip, side - i * strip
        tile[a : a + strip, a:b], tile[a:b, a : a + strip] = colours[1 + i], colours[1 + i]
        tile[b - strip : b, a:b], tile[a:b, b - strip : b] = colours[-1 - i], colours[-1 - i]
    return tile


def chevron(rng: Generator) -> np.ndarray:
    """Zigzag bands."""
    half, band = int(rng.integers(12, 50)), int(rng.integers(8, 30))
    x, y = np.arange(2 * half), np.arange(3 * band)
    rise = np.where(x < half, x, 2 * half - 1 - x)
    return inks(rng, 3)[(y[:, None] + rise[None]) // band % 3]


def dog_tooth(rng: Generator) -> np.ndarray:
    """The broken check of a 2/2 twill of four dark and four light threads."""
    thread = int(rng.integers(3, 14))
    dark = np.repeat([1, 1, 1, 1, 0, 0, 0, 0], thread)
    at = np.arange(8 * thread) // thread
    over = (at[None] - at[:, None]) % 4 < 2
    return inks(rng, 2)[np.where(over, dark[None], dark[:, None])]


def blocks(rng: Generator) -> np.ndarray:
    """Stripes of plain colour, wide and narrow, one way."""
    bands = _bands(rng, int(rng.integers(4, 20)), int(rng.integers(3, 8)))
    lines = inks(rng, 4)[bands]
    tile = np.broadcast_to(lines[None], (len(lines), len(lines), 3))
    return tile if rng.random() < 0.5 else tile.transpose(1, 0, 2)


KINDS: tuple[Callable[[Generator], np.ndarray], ...] = (
    tartan, gingham, windowpane, patchwork, log_cabin, chevron, dog_tooth, blocks,
)  # fmt: skip


def _repeated(cell: np.ndarray, rng: Generator) -> tuple[np.ndarray, tuple[int, int]]:
    """Return a tile of one repeat or several, 260 px at least, and how often it holds it."""
    least = [max(1, -(-260 // n)) for n in (cell.shape[1], cell.shape[0])]
    if rng.random() < 0.4:  # one large repeat
        cell = cell.repeat(least[1], axis=0).repeat(least[0], axis=1)
        times = [1, 1]
    else:
        times = [int(n if n > 1 else rng.integers(2, 4)) for n in least]
    tile = np.tile(cell, (times[1], times[0], 1))
    roll = (int(rng.integers(tile.shape[0])), int(rng.integers(tile.shape[1])))
    return np.roll(tile, roll, axis=(0, 1)), (times[0], times[1])


def clean_tile(
    draw: Callable[[Generator], np.ndarray], rng: Generator, finish: str
) -> tuple[np.ndarray, tuple[int, int]]:
    """Return a tile, and how often it holds its repeat across and down.

    A woven one is a whole number of its twill's threads, or the weave would break at its join.
    """
    while True:
        tile, times = _repeated(draw(rng), rng)
        if finish != "woven" or not any(side % TWILL_PX for side in tile.shape[:2]):
            return tile, times


def finished(tile: np.ndarray, finish: str, rng: Generator) -> Pixels:
    if finish == "woven":
        y, x = np.mgrid[0 : tile.shape[0], 0 : tile.shape[1]]
        tile = tile + np.where((x + y) % TWILL_PX < TWILL_PX // 2, 5.0, -5.0)[..., None]
    if finish == "noisy":
        tile = tile + rng.normal(0.0, 3.0, tile.shape[:2])[..., None]
    pixels = np.clip(np.rint(tile), 0, 255).astype(np.uint8)
    return jpeg(pixels, 85) if finish == "jpeg 85" else pixels


def _faults(tile: np.ndarray, axis: int, rng: Generator, *, several: bool) -> dict[str, np.ndarray]:
    """Return the tile with each fault at the join of an axis (0: right meets left).

    Where it is one repeat, another width is another design: then there are two faults alone.
    """
    lines = tile.transpose(1, 0, 2) if axis == 0 else tile
    count = lines.shape[0]
    change = np.flatnonzero(np.abs(np.diff(lines, axis=0)).sum(axis=(1, 2)) > 0) + 1
    widest = int(np.diff(np.concatenate([[0], change, [count]])).max())
    made: dict[str, np.ndarray] = {}
    if several and len(change):
        wider = int(rng.integers(4, 4 + max(6, widest // 2)))
        made["stripe wider"] = np.concatenate([lines, np.repeat(lines[-1:], wider, axis=0)])
        short = int(rng.integers(3, max(5, min(widest, count // 8))))
        made["cell cut short"] = lines[:-short]
        made["rhythm"] = np.concatenate([lines, lines[: count // 7 + 3]])
    pale = lines.astype(np.float64).copy()
    pale[-1] += (255.0 - pale[-1]) * 0.5
    made["pale edge"] = pale
    slope = np.linspace(-1.0, 1.0, count)[:, None, None] * 10.0  # about 8 L* from edge to edge
    made["drift"] = np.clip(lines + slope, 0, 255)
    return {k: v.transpose(1, 0, 2) if axis == 0 else v for k, v in made.items()}


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--per-kind", type=int, default=20)
    parser.add_argument("--seed", type=int, default=2911)
    given = parser.parse_args()
    clean: dict[tuple[str, bool], list[str]] = defaultdict(list)
    found: dict[tuple[str, bool], list[str]] = defaultdict(list)
    for number, draw in enumerate(KINDS):
        for i in range(given.per_kind):
            rng = np.random.default_rng([given.seed, number, i])
            finish = FINISHES[i % len(FINISHES)]
            tile, times = clean_tile(draw, rng, finish)
            check = check_seams(finished(tile, finish, rng), lossy=finish == "jpeg 85")
            for axis, one in enumerate((check.x, check.y)):
                several = times[axis] > 1
                clean[draw.__name__, several].append(one.verdict)
                for kind, bad in _faults(tile, axis, rng, several=several).items():
                    seen = check_seams(finished(bad, finish, rng), lossy=finish == "jpeg 85")
                    found[kind, several].append((seen.x, seen.y)[axis].verdict)
    for title, table in (("clean", clean), ("fault", found)):
        print(f"\n| {title} | inner repeat | joins | {' | '.join(VERDICTS)} |")
        print("|---|---|---|---|---|---|")
        for (name, several), verdicts in sorted(table.items()):
            print(_row(name, verdicts, several=several))
        for several in (True, False):
            every = [v for (_, s), verdicts in table.items() if s == several for v in verdicts]
            print(_row("all", every, several=several))


def _row(name: str, verdicts: list[str], *, several: bool) -> str:
    shares = (f"{np.mean([v == one for v in verdicts]):.3f}" for one in VERDICTS)
    return f"| {name} | {'yes' if several else 'no'} | {len(verdicts)} | {' | '.join(shares)} |"


if __name__ == "__main__":
    main()
