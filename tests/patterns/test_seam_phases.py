"""Where a tile begins is no matter: rolled to any phase, a clean tile is not stopped.

No published source: a clean tile rolled is the same plane. The limit, 0.5 % of the joins of all of
them called a seam, is common practice. Tiles: drawn from a seed of their own, this repository's
samples, and those of the Debian packages caja-common and afterstep-data where they are installed,
or unpacked in the folder that the environment variable KITLOOM_PUBLIC_TILES names; nothing is
fetched.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from learning.tiles import Tile, drawn_tiles, public_tiles
from patterns.seams import check_seams

HALF_DROP = "artichoke-trellis"  # rolled, its columns no longer lie half a tile apart at the edge
SAMPLES = Path(__file__).parents[2] / "samples" / "allotment" / "tiles"
PHASES = 20
MOST_STOPS = 0.005


def sample_tiles() -> Iterator[Tile]:
    for path in sorted(SAMPLES.glob("*.png")):
        if path.stem == HALF_DROP:
            continue
        with Image.open(path) as image:
            yield Tile("samples", "allotment", path.stem, np.asarray(image.convert("RGB")))


def stops(tiles: list[Tile]) -> list[tuple[str, int, str, str]]:
    """Return (tile, phase, axis, kind of fault) for each join that is called a seam."""
    found = []
    for number, tile in enumerate(tiles):
        rng = np.random.default_rng([7, number])
        for phase in range(PHASES):
            by = rng.integers(0, tile.pixels.shape[:2])
            check = check_seams(np.roll(tile.pixels, by, axis=(0, 1)))
            for axis, one in (("x", check.x), ("y", check.y)):
                if one.verdict == "seam":
                    found.append((tile.name, phase, axis, one.faults[0].kind))
    return found


@pytest.mark.slow
def test_a_clean_tile_is_not_stopped_wherever_it_begins() -> None:
    """Else a maker is told to mend bought artwork that is sound, for where its file was cut."""
    public = public_tiles(Path(os.environ.get("KITLOOM_PUBLIC_TILES", "/")))
    tiles = [*drawn_tiles(2, seed=4711), *sample_tiles(), *public]
    found = stops(tiles)
    assert len(found) <= MOST_STOPS * len(tiles) * PHASES * 2, found
