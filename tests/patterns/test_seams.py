"""Are clean tiles left alone and plain faults found? On tiles made seamless."""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.seam_faults import faulty
from benchmarks.seam_tiles import blooms
from patterns.lattice import HALF_DROP
from patterns.seams import check_seams


@pytest.fixture(scope="module")
def tile() -> np.ndarray:
    return blooms(np.random.default_rng(4))


def test_clean_tile_is_seamless(tile):
    check = check_seams(tile)
    assert check.seamless is True
    assert check.x.faults == ()
    assert len(check.x.strength) == tile.shape[0]
    assert len(check.y.strength) == tile.shape[1]


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("kind", ["fringe", "crop 17 %", "motif cut off", "drift 8 L*"])
def test_fault_is_found_on_its_axis(tile, kind, axis):
    pixels, _ = faulty(tile, kind, axis, np.random.default_rng(1))
    check = check_seams(pixels)
    assert check.seamless is False
    assert getattr(check, axis).verdict == "seam"
    assert getattr(check, axis).faults


def test_straight_tile_is_a_seam_as_half_drop(tile):
    assert check_seams(tile, HALF_DROP).seamless is False


def test_wrong_shape_is_refused():
    with pytest.raises(ValueError, match="height, width, 3"):
        check_seams(np.zeros((4, 4), dtype=np.uint8))
