"""A border that an export left is told: else a lattice of lines is printed through every sticker.

No published source: tiles drawn here.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from learning.faults import jpeg
from palette.arrays import Pixels
from patterns.mend import mend
from patterns.seams import check_seams
from patterns.seams.border import border_px


@cache
def discs() -> Pixels:
    """Return scattered discs that go on at the opposite edges."""
    rng = np.random.default_rng(1)
    tile = np.full((240, 260, 3), (214, 226, 205), np.uint8)
    y, x = np.mgrid[0:240, 0:260]
    for _ in range(60):
        across, down = rng.uniform(0, 260), rng.uniform(0, 240)
        near = np.hypot((x - across + 130) % 260 - 130, (y - down + 120) % 240 - 120)
        tile[near < rng.uniform(8, 16)] = rng.integers(20, 200, 3)
    tile.setflags(write=False)
    return tile


def bordered(tile: Pixels, width: int, colour: int = 255) -> Pixels:
    out = tile.copy()
    out[:width] = out[-width:] = colour
    out[:, :width] = out[:, -width:] = colour
    return out


@pytest.mark.parametrize("width", [2, 5, 12])
def test_a_border_is_asked_about(width: int) -> None:
    tile = bordered(discs(), width)
    assert border_px(tile) == width
    check = check_seams(tile)
    assert (check.x.question, check.y.question) == ("border-part-of-design",) * 2
    assert check.seamless is None
    if width > 2:
        assert width - 2 <= border_px(jpeg(tile, 90), lossy=True) <= width + 2


def test_artwork_without_a_border_is_not_asked_about() -> None:
    """A motif on bare ground, a design with such lines inside, a border on two sides."""
    assert border_px(discs()) == 0
    lone = np.full((200, 200, 3), 250, np.uint8)
    y, x = np.mgrid[0:200, 0:200]
    lone[np.hypot(x - 99.5, y - 99.5) < 94] = (90, 60, 120)
    lone[5:-5, 30:40] = (200, 40, 40)
    quilt = np.tile(bordered(discs(), 4), (2, 2, 1))
    half = discs().copy()
    half[:4] = half[-4:] = 255
    for tile in (lone, quilt, half, np.full((90, 90, 3), 255, np.uint8)):
        assert border_px(tile) == 0


def test_a_border_round_a_whole_tile_is_taken_off_and_nothing_else() -> None:
    """Else the maker crops by hand, a side at a time, to the pixel."""
    tile = np.pad(discs(), ((5, 5), (4, 5), (0, 0)), constant_values=255)
    made = mend(tile, check_seams(tile))
    assert [(step.kind, step.axis, step.width_px) for step in made.steps] == [("border", "both", 5)]
    assert (made.mended, made.check.seamless) == (True, True)
    np.testing.assert_array_equal(made.pixels, discs())
