"""The joins that trees are grown from: clean and faulty tiles, measured.

In: the public tiles and the seeds of the drawn ones. Out: one ``Row`` a join, with the figures of
``patterns.seams.figures``. Measured rows are kept in a folder, each source under the digest of all
that went into it, so that nothing stale is ever read.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

import numpy as np

from learning.faults import EVERY_FAULT, broken_rhythm, faulty, jpeg
from learning.inputs import DRAWN_BY, MEASURED_BY, source_digest, tiles_digest, versions
from learning.tiles import Tile, drawn_tiles, public_tiles
from palette.arrays import Pixels
from patterns.plane import STRAIGHT
from patterns.seams.figures import measure_joins
from patterns.seams.joins import build_joins

VISIBLE_DE = 6.0  # a fault counts when its worst 9 pixels are so far off, CIE76
KINDS = {
    "fringe": "fringe",
    "half fringe": "fringe",
    "crop 1 px": "crop",
    "crop 3 %": "crop",
    "crop 17 %": "crop",
    "motif cut off": "cut-motif",
    "doubled line": "doubled-line",
    "drift 8 L*": "drift",
    "clamped": "clamped",
    "rhythm": "rhythm",
}


class Drawn(NamedTuple):
    """One source of drawn tiles, ``finish``: softened, grained, made paler."""

    seed: int
    scale: float
    per_family: int
    finish: bool


# benchmarks use other seeds
DRAWN = (
    Drawn(23, 1.0, 4, finish=False),
    Drawn(29, 1.0, 4, finish=True),
    Drawn(101, 1.0, 4, finish=False),
    Drawn(103, 1.0, 4, finish=True),
    Drawn(41, 3.0, 1, finish=False),
    Drawn(43, 2.0, 1, finish=True),
)
LARGE = tuple(f"-{drawn.seed}" for drawn in DRAWN if drawn.scale > 1.0)


class Row(NamedTuple):
    """The figures of one join, and what it is."""

    set_name: str
    family: str
    name: str
    axis: str
    kind: str
    de: float
    values: dict[str, float]


def _figures(pixels: Pixels, axis: str) -> dict[str, float]:
    return measure_joins(build_joins(pixels, STRAIGHT)["xy".index(axis)]).values


def _rows_of(tile: Tile, seed: int) -> Iterator[Row]:
    said = (tile.set_name, tile.family, f"{tile.name}-{seed if tile.set_name != 'real' else 0}")
    for kind, pixels in (("clean", tile.pixels), ("clean jpeg", jpeg(tile.pixels))):
        for axis in "xy":
            yield Row(*said, axis, kind, 0.0, _figures(pixels, axis))
    rng = np.random.default_rng([seed, *tile.name.encode()])
    for kind in EVERY_FAULT:
        if kind not in KINDS or (tile.family == "plaid" and kind.startswith(("crop", "doubled"))):
            continue
        for axis in "xy":
            pixels, de = faulty(tile.pixels, kind, axis, rng)
            if de > VISIBLE_DE:
                yield Row(*said, axis, kind, de, _figures(pixels, axis))


def public_rows(public: Path) -> list[Row]:
    """Measure the public tiles under a folder."""
    return [row for tile in public_tiles(public) for row in _rows_of(tile, 1)]


def drawn_rows(drawn: Drawn) -> list[Row]:
    """Measure one source of drawn tiles, and as many stripes again whose rhythm breaks."""
    tiles = drawn_tiles(drawn.per_family, seed=drawn.seed, scale=drawn.scale, finish=drawn.finish)
    rows = [row for tile in tiles for row in _rows_of(tile, drawn.seed)]
    for i in range(2 * drawn.per_family):
        rng = np.random.default_rng([drawn.seed, i, 77])
        pixels, axis = broken_rhythm(rng, drawn.scale)
        said = ("geometric", "rhythm", f"rhythm-{i}-{drawn.seed}", axis, "rhythm", 99.0)
        rows.append(Row(*said, _figures(pixels, axis)))
    return rows


def _measured(job: tuple[Drawn | Path, Path | None]) -> list[Row]:
    """Return the rows of one source, from the folder of kept ones where they are there."""
    source, folder = job
    name = f"drawn-{source.seed}" if isinstance(source, Drawn) else "public"
    kept = folder / f"{name}-{_key(source)}.json" if folder else None
    if kept and kept.exists():
        return [Row(*row) for row in json.loads(kept.read_text(encoding="ascii"))]
    rows = drawn_rows(source) if isinstance(source, Drawn) else public_rows(source)
    if kept:
        kept.write_text(json.dumps(rows), encoding="ascii")
    print(f"{name}: {len(rows)} joins", flush=True)
    return rows


def _key(source: Drawn | Path) -> str:
    what = repr(source) if isinstance(source, Drawn) else tiles_digest(public_tiles(source))
    used = [what, source_digest(DRAWN_BY), source_digest(MEASURED_BY), repr(versions())]
    return sha256("\n".join(used).encode()).hexdigest()[:16]


def collect(public: Path, kept: Path | None, jobs: int) -> list[Row]:
    """Measure all tiles, some 9,000 joins, ``jobs`` sources at a time; ``kept`` keeps them."""
    if kept:
        kept.mkdir(parents=True, exist_ok=True)
    sources = [(source, kept) for source in (public, *DRAWN)]
    with ProcessPoolExecutor(jobs) as pool:
        return [row for rows in pool.map(_measured, sources) for row in rows]
