"""Grow the trees of the seam verdict anew, and write them as the table that the package ships.

    python -m learning [--public FOLDER] [--keep FOLDER] [--jobs 2] [--check] [--compare]

Four minutes of one core. ``FOLDER`` is where the Debian packages caja-common and afterstep-data are
installed (``/``) or were unpacked; ``manifest.json`` says which of their tiles, by digest. The same
tiles and the same versions of the libraries that the table's head names give the same table.
``--keep`` keeps the measured joins. ``--check`` prints recall of hands, and of sets, left out.
``--compare`` writes nothing, and says in what the table of the tree differs. A table that would
differ in its date alone is left as it is. ``pip install -e '.[tools]'`` brings treelite, which
reads scikit-learn's trees; neither is needed when a tile is checked.
"""

from __future__ import annotations

import argparse
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from threadpoolctl import threadpool_limits

from learning.boosters import Data, fit
from learning.inputs import (
    DRAWN_BY,
    GROWN_BY,
    MEASURED_BY,
    differing,
    read_manifest,
    source_digest,
    tiles_digest,
    versions,
)
from learning.joins import collect
from learning.recall import cross_check
from learning.table import format_table, greatest_difference
from learning.tiles import Tile, public_tiles
from patterns.seams.trees import TABLE, read_head

MOST_APART = 1e-9  # chances, 0 to 1; sums of 260 numbers in another order differ by 1e-15


def whence(tiles: list[Tile], joins: int) -> dict[str, str]:
    """Return the lines of the table's head that say what it was grown from, when and how."""
    libraries = ", ".join(f"{name} {number}" for name, number in versions().items())
    return {
        "grown": f"{datetime.now(UTC):%Y-%m-%d} by python -m learning, from {joins} joins",
        "with": libraries,
        "drawings": source_digest(DRAWN_BY),
        "measures": source_digest(MEASURED_BY),
        "grower": source_digest(GROWN_BY),
        "public tiles": tiles_digest(tiles),
    }


def differences(old: str, new: str) -> list[str]:
    """Return in what two tables differ but for the date: in lines of the head, in nodes."""
    before, after = read_head(old), read_head(new)
    found = [
        f"{name}: {before.get(name, 'nothing')[:90]}; now {after.get(name, 'nothing')[:90]}"
        for name in dict.fromkeys([*before, *after])
        if name != "grown" and before.get(name) != after.get(name)
    ]
    nodes = [[n for n in table.splitlines() if n[0] != "#"] for table in (old, new)]
    if len(nodes[0]) != len(nodes[1]):
        found.append(f"nodes: {len(nodes[0])}; now {len(nodes[1])}")
    off = [f"{a}; now {b}" for a, b in zip(*nodes, strict=False) if a != b]
    return [*found, *off[:5], *([f"{len(off)} nodes differ"] if off else [])]


def main() -> None:
    """Measure or read the joins, check if asked, grow, write."""
    parser = argparse.ArgumentParser(prog="python -m learning", description="Grow the seam trees.")
    parser.add_argument("--public", type=Path, default=Path("/"))
    parser.add_argument("--keep", type=Path, help="folder to keep measured joins in")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--compare", action="store_true")
    options = parser.parse_args()
    tiles = list(public_tiles(options.public))
    if not tiles:
        parser.error(f"no public tiles under {options.public}: install caja-common, afterstep-data")
    if other := differing(tiles, read_manifest()):
        print(f"NOTE: not the public tiles of manifest.json: {', '.join(other)}")
    rows = collect(options.public, options.keep, options.jobs)
    data = Data(rows)
    with threadpool_limits(1):
        if options.check:
            cross_check(rows, data, options.public)
        models = fit(data, np.arange(len(rows)))
    table = format_table(models, data.names, whence(tiles, len(rows)))
    apart = greatest_difference(table, models, data)
    print(f"2,000 joins asked of the table and of scikit-learn: at most {apart:.1e} apart")
    if apart > MOST_APART:
        parser.exit(1, "nothing written: the table does not say what the trees say\n")
    off = differences(TABLE.read_text(encoding="ascii"), table)
    print("\n".join(off) if off else f"{TABLE.name} is this very table")
    if off and not options.compare:
        TABLE.write_text(table, encoding="ascii")
        print(f"{len(rows)} joins learnt; wrote {TABLE.name}, {TABLE.stat().st_size // 1024} KiB")


if __name__ == "__main__":
    main()
