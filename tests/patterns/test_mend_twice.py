"""What is duplicated at a tile's edges, a line or a whole strip, goes, and nothing else does."""

from __future__ import annotations

from functools import cache
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from learning.drawings.plain import SCALE, blooms, crowded
from palette.arrays import Pixels
from patterns.mend import AxisName, mend
from patterns.mend.remedies import count_double_columns, count_overlapping_columns
from patterns.plane import HALF_DROP
from patterns.seams import check_seams


@cache
def rounds(seed: int, side: int = 300) -> Pixels:
    """Return soft rounds on a ground of one colour, drawn over every edge; seamless."""
    random = np.random.default_rng(seed)
    y, x = np.mgrid[0 : side * SCALE, 0 : side * SCALE] / SCALE
    fine = np.full((side * SCALE, side * SCALE, 3), (244.0, 232.0, 214.0))
    for k in range(9):
        cy, cx = random.uniform(0, side, 2)
        dy = (y - cy + side / 2) % side - side / 2
        dx = (x - cx + side / 2) % side - side / 2
        inside = np.hypot(dx, dy * 1.4) < random.uniform(10, 27)
        fine[inside] = ((200, 70, 60), (70, 120, 90), (60, 80, 130))[k % 3]
    small = np.rint(fine.reshape(side, SCALE, side, SCALE, 3).mean(axis=(1, 3))).astype(np.uint8)
    steps = np.abs(np.diff(small.astype(int), axis=1)).sum(axis=(0, 2))
    for place in np.argsort(-steps)[::10]:  # where the join crosses something, but not a blunt edge
        tile = np.roll(small, -int(place) - 1, axis=1)
        if check_seams(tile).seamless:
            return tile
    raise AssertionError


def jpeg(pixels: Pixels) -> Pixels:
    buffer = BytesIO()
    Image.fromarray(pixels).save(buffer, "JPEG", quality=90)
    return np.asarray(Image.open(buffer).convert("RGB"))


SLOW = pytest.mark.slow


@pytest.mark.parametrize("seed", [0, *(pytest.param(seed, marks=SLOW) for seed in (1, 2, 3))])
def test_a_line_that_stands_twice_is_told_from_bare_ground(seed: int) -> None:
    tile = rounds(seed)
    assert count_double_columns(tile) == (0, 0)
    for planted, found in (
        (np.concatenate([tile, tile[:, :1]], axis=1), (0, 1)),
        (np.concatenate([tile, tile[:, -1:]], axis=1), (0, 1)),
        (np.concatenate([tile[:, :1], tile], axis=1), (1, 0)),
        (np.concatenate([tile, tile[:, :3]], axis=1), (0, 3)),
    ):
        assert count_double_columns(planted) == found
        done = mend(planted, check_seams(planted), axes=("x",))
        assert [step.kind for step in done.steps] == ["doubled-line"]
        assert done.mended
        np.testing.assert_array_equal(done.pixels, tile)


CLEAN = {
    "small rounds": lambda: rounds(1, 220),
    "rounds": lambda: rounds(1),
    "blooms": lambda: blooms(np.random.default_rng(3)),
    "crowded": lambda: crowded(np.random.default_rng(5)),
}


@pytest.mark.parametrize("share", [0.04, 0.15, 0.4])
@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize(
    "name", [*list(CLEAN)[:1], *(pytest.param(name, marks=SLOW) for name in list(CLEAN)[1:])]
)
def test_a_tile_cut_too_wide_is_cut_to_its_repeat(name: str, share: float, axis: AxisName) -> None:
    clean = CLEAN[name]()
    tile = clean if axis == "x" else np.ascontiguousarray(clean.transpose(1, 0, 2))
    more = round(share * clean.shape[1])
    wide = np.concatenate([clean, clean[:, :more]], axis=1)
    planted = wide if axis == "x" else np.ascontiguousarray(wide.transpose(1, 0, 2))
    done = mend(planted, check_seams(planted), axes=(axis,))
    assert [(s.kind, s.axis, s.width_px) for s in done.steps] == [("overlap", axis, more)]
    assert done.mended
    np.testing.assert_array_equal(done.pixels, tile)


def test_a_strip_that_stands_twice_is_seen_through_jpeg() -> None:
    tile = rounds(4)
    assert count_overlapping_columns(jpeg(np.concatenate([tile, tile[:, :40]], axis=1))) == 40


def test_a_strip_stands_twice_lowered_where_the_neighbour_is() -> None:
    tile = rounds(2)
    lowered = np.roll(tile[:, :30], -round(HALF_DROP.drop * len(tile)), axis=0)
    wide = np.concatenate([tile, lowered], axis=1)
    assert count_overlapping_columns(wide, round(HALF_DROP.drop * len(tile))) == 30
    assert count_overlapping_columns(wide) == 0


def test_a_strip_is_told_by_some_rows_of_a_tall_tile() -> None:
    tile = np.tile(rounds(3), (8, 1, 1))  # 2,400 rows
    assert count_overlapping_columns(np.concatenate([tile, tile[:, :50]], axis=1)) == 50


@pytest.mark.parametrize("seed", range(4))
def test_what_does_not_stand_twice_is_left(seed: int) -> None:
    tile = rounds(seed)
    assert count_overlapping_columns(tile) == 0
    assert count_overlapping_columns(tile[:, :-50]) == 0
    noise = np.random.default_rng(seed).integers(0, 256, (120, 160, 3), dtype=np.uint8)
    assert count_overlapping_columns(noise) == 0
    bare = np.full((120, 160, 3), 200, np.uint8)
    assert (count_overlapping_columns(bare), count_double_columns(bare)) == (0, (0, 0))
    across = np.repeat(noise[:, :1], 160, axis=1)  # stripes that run over the join
    assert (count_overlapping_columns(across), count_double_columns(across)) == (0, (0, 0))
