"""Does the picture show the join in its middle, and ring what was found?"""

from __future__ import annotations

import numpy as np
import pytest

from learning.drawings.plain import blooms
from learning.faults import faulty
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT
from patterns.seams import check_seams, seam_picture
from patterns.seams.illustration import TEAL, roll_plane


@pytest.fixture(scope="module")
def tile() -> np.ndarray:
    return blooms(np.random.default_rng(4))


def test_straight_is_a_roll_by_half(tile):
    h, w = tile.shape[:2]
    assert np.array_equal(roll_plane(tile, STRAIGHT), np.roll(tile, (-(h // 2), -(w // 2)), (0, 1)))


@pytest.mark.parametrize("lattice", [HALF_DROP, HALF_BRICK], ids=lambda v: v.name)
def test_neighbours_meet_as_the_lattice_places_them(tile, lattice):
    even = tile[: tile.shape[0] // 2 * 2, : tile.shape[1] // 2 * 2]
    h, w = even.shape[:2]
    plane = roll_plane(even, lattice)
    # the picture starts at half a tile, and the neighbour is moved by half: its edge starts again
    if lattice is HALF_DROP:
        assert np.array_equal(plane[:, w - w // 2], even[:, 0])
    else:
        assert np.array_equal(plane[h - h // 2], even[0])


def _teal(picture: np.ndarray) -> int:
    return int((picture == np.array(TEAL)).all(axis=-1).sum())


def test_faults_are_ringed_and_clean_tiles_are_not(tile):
    clean = seam_picture(tile, check_seams(tile))
    broken, _ = faulty(tile, "motif cut off", "x", np.random.default_rng(1))
    shown = seam_picture(broken, check_seams(broken))
    assert shown.dtype == np.uint8
    assert _teal(shown) > _teal(clean) + 500
    assert shown.shape[1] > clean.shape[1]  # the enlargement is beside it


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("shift", [0, 1, 3])
def test_one_fault_is_ringed_in_the_middle_wherever_it_lies(tile, axis, shift):
    along = 0 if axis == "x" else 1
    broken, _ = faulty(tile, "motif cut off", axis, np.random.default_rng(1))
    broken = np.roll(broken, shift * broken.shape[along] // 4, axis=along)
    check = check_seams(broken)
    assert len((check.x if axis == "x" else check.y).faults) == 1
    picture = seam_picture(broken, check, side_px=560)
    panel = picture[14:-14, 14 : 14 + round(560 * broken.shape[1] / max(broken.shape[:2]))]
    rows, columns = np.nonzero((panel == np.array(TEAL)).all(axis=-1))
    middle = np.array([rows.min() + rows.max(), columns.min() + columns.max()]) / 2.0
    assert np.abs(middle - np.array(panel.shape[:2]) / 2.0).max() < 6.0


def test_same_bytes_every_time(tile):
    broken, _ = faulty(tile, "crop 17 %", "y", np.random.default_rng(1))
    check = check_seams(broken)
    assert np.array_equal(seam_picture(broken, check), seam_picture(broken, check))


def test_input_is_left_alone(tile):
    before = tile.copy()
    seam_picture(tile, check_seams(tile))
    assert np.array_equal(before, tile)
