"""Tiles that others made to repeat: are they left alone, and their swatches measured?

Source: the Debian packages caja-common and afterstep-data, where installed, or unpacked in the
folder that the environment variable KITLOOM_PUBLIC_TILES names; nothing is fetched. They are among
the tiles that the verdict was learnt from (``python -m learning --check`` leaves them out in
turn). The limits, 2 % of seams and 15 % of doubts, 95 % of faults of CIEDE2000 over 6 and 90 % of
repeats, are common practice, no published source: what the verdicts reached, with room. The list of
what is not a clean tile, with reasons, is in ``learning.tiles``.
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest

from benchmarks.repeats import plane_of, rebuilds
from learning.faults import faulty, jpeg
from learning.tiles import public_tiles
from patterns.plane import STRAIGHT
from patterns.repeats import find_repeat
from patterns.seams import check_seams

TILES = list(public_tiles(Path(os.environ.get("KITLOOM_PUBLIC_TILES", "/"))))
pytestmark = pytest.mark.skipif(
    not TILES, reason="Debian packages caja-common and afterstep-data are not installed"
)


def test_clean_tiles_are_not_called_seams():
    verdicts = []
    for tile in TILES:
        for pixels in (tile.pixels, jpeg(tile.pixels)):
            check = check_seams(pixels)
            verdicts += [check.x.verdict, check.y.verdict]
    assert np.mean([v == "seam" for v in verdicts]) <= 0.02
    assert np.mean([v == "unsure" for v in verdicts]) <= 0.15


@pytest.mark.slow
def test_fringes_and_drifts_are_found():
    found = []
    for tile in TILES:
        rng = np.random.default_rng(1)
        for kind in ("fringe", "drift 8 L*"):
            pixels, de = faulty(tile.pixels, kind, "x", rng)
            if de > 6.0:
                found.append(check_seams(pixels).x.verdict == "seam")
    assert np.mean(found) >= 0.95


def test_swatches_give_their_repeat():
    right = []
    for tile in TILES[::3]:
        clean = plane_of(tile.pixels, STRAIGHT, 2.6, np.random.default_rng(2))
        found = find_repeat(clean)
        cell = tile.pixels.shape[0] * tile.pixels.shape[1]
        right.append(found is not None and rebuilds(found, clean, cell))
    assert np.mean(right) >= 0.9
