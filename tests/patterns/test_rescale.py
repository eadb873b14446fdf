"""A tile at its printed size still repeats, and says at which dpi its repeat is exact."""

from __future__ import annotations

import numpy as np
import pytest

from patterns.artwork_error import ArtworkError
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT, Lattice, Plane, rescale
from patterns.units import MM_PER_INCH


def noise(height: int, width: int) -> np.ndarray:
    return np.random.default_rng(8).integers(0, 256, (height, width, 3), dtype=np.uint8)


@pytest.mark.parametrize("columns", [7, 40, 64, 96, 131, 400])
def test_rescaling_then_repeating_is_repeating_then_rescaling(columns: int) -> None:
    tile = noise(72, 96)
    repeat_mm = columns * MM_PER_INCH / 300.0
    once = rescale(tile, repeat_mm, 300.0).pixels
    thrice = rescale(np.tile(tile, (3, 3, 1)), 3.0 * repeat_mm, 300.0).pixels
    rows = once.shape[0]
    if thrice.shape[0] != 3 * rows:  # the height was rounded in one and not in the other
        thrice = Plane(np.tile(tile, (3, 3, 1)), 3.0 * repeat_mm).one_tile(3 * rows, 3 * columns)
    assert np.abs(np.tile(once, (3, 3, 1)).astype(int) - thrice).max() <= 1


def test_the_dpi_that_makes_the_repeat_exact() -> None:
    done = rescale(noise(300, 600), 17.3, 300.0)
    assert done.pixels.shape == (102, 204, 3)
    assert 204 * MM_PER_INCH / done.dpi_x == pytest.approx(17.3)
    assert 102 * MM_PER_INCH / done.dpi_y == pytest.approx(17.3 / 2)
    assert done.effective_dpi == pytest.approx(600 / (17.3 / MM_PER_INCH))


@pytest.mark.parametrize("lattice", [STRAIGHT, HALF_DROP, HALF_BRICK], ids=lambda each: each.name)
def test_a_staggered_tile_stays_staggered(lattice: Lattice) -> None:
    """The plane of the rescaled tile is the plane of the artwork, at whole pixels."""
    tile = noise(150, 150)
    repeat_mm = 50 * MM_PER_INCH / 300.0
    done = rescale(tile, repeat_mm, 300.0, lattice)
    window = (0.0, 0.0, 4 * repeat_mm, 4 * repeat_mm, 300.0)
    before = Plane(tile, repeat_mm, lattice).sample(*window)
    after = Plane(done.pixels, repeat_mm, lattice).sample(*window)
    assert np.abs(before.astype(int) - after).max() <= 1


def test_sides_that_are_halved_are_even() -> None:
    assert rescale(noise(99, 99), 8.3, 300.0, HALF_DROP).pixels.shape[0] % 2 == 0
    assert rescale(noise(99, 99), 8.3, 300.0, HALF_BRICK).pixels.shape[1] % 2 == 0


def test_a_tile_too_large_to_make() -> None:
    with pytest.raises(ArtworkError, match="12000 px"):
        rescale(noise(9, 9), 2000.0, 600.0)
