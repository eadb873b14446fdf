"""The plane: exact places, staggered lattices, turning, and nothing that a join could show."""

from __future__ import annotations

import tracemalloc
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from palette.arrays import Pixels
from patterns.artwork_error import ArtworkError
from patterns.plane import (
    HALF_BRICK,
    HALF_DROP,
    LATTICES,
    STRAIGHT,
    Axis,
    Lattice,
    Plane,
    enlarge,
    to_srgb8,
)
from patterns.plane.array_cache import ArrayCache
from patterns.plane.linear_light import to_light
from patterns.units import MM_PER_INCH

ALL = list(LATTICES.values())


def noise(height: int, width: int, seed: int = 3) -> Pixels:
    return np.random.default_rng(seed).integers(0, 256, (height, width, 3), dtype=np.uint8)


def explicit(tile: Pixels, lattice: Lattice, across: int, down: int) -> Pixels:
    """Lay tiles out one by one; sides must be even where the lattice halves them."""
    height, width = tile.shape[:2]
    columns = [
        np.vstack([tile] * down)
        if not lattice.drop
        else np.roll(np.vstack([tile] * down), i % 2 * height // 2, axis=0)
        for i in range(across)
    ]
    laid = np.hstack(columns)
    if lattice.slide:
        laid = np.vstack(
            [
                np.roll(laid[j * height : (j + 1) * height], j % 2 * width // 2, axis=1)
                for j in range(down)
            ]
        )
    return laid


@pytest.mark.parametrize("lattice", ALL, ids=lambda lattice: lattice.name)
def test_one_to_one_is_the_artwork_laid_out(lattice: Lattice) -> None:
    tile = noise(10, 14)
    plane = Plane(tile, 14.0 * MM_PER_INCH / 300.0, lattice)
    laid = explicit(tile, lattice, 4, 4)
    side_mm = plane.repeat_mm * 4, plane.height_mm * 4
    assert np.array_equal(plane.sample(0.0, 0.0, *side_mm, 300.0), laid)


@pytest.mark.parametrize("dpi", [61.0, 137.0, 290.0, 433.3, 1200.0])
@pytest.mark.parametrize("lattice", ALL, ids=lambda lattice: lattice.name)
def test_a_staggered_lattice_is_its_own_doubled_cell(lattice: Lattice, dpi: float) -> None:
    tile = noise(20, 16)
    plane = Plane(tile, 3.0, lattice)
    doubled = explicit(tile, lattice, 2, 2)
    ours = plane.sample(-7.7, 4.31, 9.0, 8.0, dpi)
    theirs = Plane(doubled, 6.0).sample(-7.7, 4.31, 9.0, 8.0, dpi)
    assert np.abs(ours.astype(int) - theirs).max() <= 1


def test_odd_sides_are_halved_exactly() -> None:
    """Half of 15 px is not a whole pixel; enlarging by two, every pixel doubled, makes it one."""
    tile = noise(15, 9)
    fine = Plane(np.repeat(np.repeat(tile, 2, axis=0), 2, axis=1), 3.0, HALF_DROP)
    window = (1.1, 0.7, 8.0, 11.0, 70.0)
    coarse = Plane(tile, 3.0, HALF_DROP)
    assert np.abs(coarse.sample(*window).astype(int) - fine.sample(*window)).max() <= 1


@settings(max_examples=60, deadline=None)
@given(
    x=st.floats(-500, 500),
    y=st.floats(-500, 500),
    repeat_mm=st.floats(0.4, 90),
    dpi=st.floats(40, 700),
    lattice=st.sampled_from(ALL),
    turn_deg=st.sampled_from([0.0, 90.0, 180.0, 270.0, 33.0, -0.5]),
    colour=st.tuples(*[st.integers(0, 255)] * 3),
)
def test_a_flat_colour_stays_exactly_that_colour(
    x: float, y: float, dpi: float, colour: tuple[int, int, int], **plane: Any
) -> None:
    tile = np.full((31, 47, 3), colour, dtype=np.uint8)
    out = Plane(tile, **plane).sample(x, y, 3.0, 2.0, dpi, shape=(13, 17))
    assert out.shape == (13, 17, 3)
    assert (out == np.array(colour)).all()


@pytest.mark.parametrize("lattice", ALL, ids=lambda lattice: lattice.name)
@pytest.mark.parametrize("size", [(300, 300), (41, 77)])
def test_windows_of_one_plane_agree_where_they_overlap(
    lattice: Lattice, size: tuple[int, int]
) -> None:
    plane = Plane(noise(*size), 11.3, lattice)
    pixel = MM_PER_INCH / 300.0
    wide = plane.sample(5.0, 6.0, 30.0, 30.0, 300.0)
    part = plane.sample(5.0 + 100 * pixel, 6.0 + 57 * pixel, 8.0, 8.0, 300.0)
    other = wide[57 : 57 + len(part), 100 : 100 + part.shape[1]]
    assert np.abs(part.astype(int) - other).max() <= 1


def test_the_period_holds_far_from_the_corner() -> None:
    plane = Plane(noise(120, 90), 17.3, HALF_BRICK)
    near = plane.sample(1.0, 2.0, 10.0, 10.0, 300.0)
    far = plane.sample(1.0 + 40 * 17.3, 2.0 - 6 * plane.height_mm, 10.0, 10.0, 300.0)
    assert np.abs(near.astype(int) - far).max() <= 1


def test_quarter_turns_turn_the_pixels() -> None:
    tile = noise(24, 36)
    upright = Plane(tile, 5.0)
    for quarter in (1, 2, 3):
        turned = Plane(tile, 5.0, turn_deg=90.0 * quarter)
        block = upright.sample(0.0, 0.0, 8.0, 6.0, 300.0, shape=(70, 94))
        pixel = MM_PER_INCH / 300.0
        rows, columns = (94, 70) if quarter % 2 else (70, 94)
        corner = {1: (-70, 0), 2: (-94, -70), 3: (0, -94)}[quarter]
        window = turned.sample(
            corner[0] * pixel, corner[1] * pixel, 1.0, 1.0, 300.0, shape=(rows, columns)
        )
        assert np.abs(window.astype(int) - np.rot90(block, -quarter)).max() <= 1


def test_a_small_turn_is_near_no_turn_and_follows_its_sense() -> None:
    """A dot at 10 mm to the right goes down the page when the pattern is turned clockwise."""
    tile = np.full((400, 400, 3), 255, dtype=np.uint8)
    tile[195:205, 195:205] = 0  # 10 mm right of 0, 0 and 10 mm below, at 20 mm to 400 px
    turned = Plane(tile, 20.0, turn_deg=30.0).sample(-10.0, 5.0, 20.0, 20.0, 200.0)
    dark = np.argwhere(turned[..., 0] < 128).mean(axis=0) + 0.5
    y_mm, x_mm = dark * MM_PER_INCH / 200.0 + np.array([5.0, -10.0])
    turn = np.radians(30.0)
    assert x_mm == pytest.approx(10.0 * np.cos(turn) - 10.0 * np.sin(turn), abs=0.05)
    assert y_mm == pytest.approx(10.0 * np.sin(turn) + 10.0 * np.cos(turn), abs=0.05)


def test_sharp_edges_get_no_halo() -> None:
    """Larger or smaller, turned or not: nothing lighter or darker than the drawing's two greys."""
    tile = np.full((40, 40, 3), 200, dtype=np.uint8)
    tile[10:30, 12:27] = 60
    for repeat in (1.0, 3.3, 6.0, 20.0):
        for turn in (0.0, 12.0):
            for lattice in ALL:
                out = Plane(tile, repeat, lattice, turn).sample(0.3, 0.2, 15.0, 15.0, 300.0)
                assert out.min() >= 60
                assert out.max() <= 200


def test_enlarging_is_the_same_whichever_axis_comes_first() -> None:
    """So a half-drop is drawn as its half-brick, turned over, is."""
    tile = np.random.default_rng(4).integers(0, 256, (24, 30, 3), dtype=np.uint8)
    turned = np.ascontiguousarray(tile.transpose(1, 0, 2))
    window = Plane(tile, 12.0, HALF_DROP).sample(3.0, 2.0, 11.0, 9.0, 300.0)
    other = Plane(turned, 12.0 * 24 / 30, HALF_BRICK).sample(2.0, 3.0, 9.0, 11.0, 300.0)
    off = np.abs(window.astype(int) - other.transpose(1, 0, 2))
    assert off.max() <= 1
    across, down = Axis(30, 0.4, 0.37, 90), Axis(24, 1.3, 0.41, 70)
    first = enlarge(tile, down, across)
    assert np.abs(first - enlarge(turned, across, down).transpose(1, 0, 2)).max() < 1.0
    assert first.min() >= 0.0  # Keys' weights alone go under black here


def test_light_round_trips_every_code() -> None:
    codes = np.arange(256, dtype=np.uint8)
    assert np.array_equal(to_srgb8(to_light(codes)), codes)


def test_a_huge_tile_needs_no_whole_copy_as_light() -> None:
    tile = np.zeros((6000, 6000, 3), dtype=np.uint8)
    plane = Plane(tile, 50.0)
    tracemalloc.start()
    plane.sample(0.0, 0.0, 40.0, 40.0, 300.0)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 0.6 * tile.nbytes  # as float32 light it would be 4 times the tile


@pytest.mark.parametrize("repeat", [0.0, -3.0, float("nan"), float("inf")])
def test_a_repeat_must_be_a_length(repeat: float) -> None:
    with pytest.raises(ArtworkError, match="repeat"):
        Plane(noise(4, 4), repeat)


def test_a_tile_must_have_colours() -> None:
    with pytest.raises(ArtworkError, match="tile"):
        Plane(np.zeros((4, 4), dtype=np.uint8), 10.0)


def test_the_tile_inside_a_plane_cannot_be_written() -> None:
    plane = Plane(noise(4, 4), 10.0, STRAIGHT)
    with pytest.raises(ValueError, match="read-only"):
        plane.pixels[0, 0] = 0


def test_proportions_and_resolution() -> None:
    plane = Plane(noise(30, 60), 25.4)
    assert plane.height_mm == pytest.approx(12.7)
    assert plane.effective_dpi == pytest.approx(60.0)


@pytest.mark.parametrize("size", [(1, 1), (1, 500), (500, 1), (2, 3)])
def test_tiny_and_thin_tiles(size: tuple[int, int]) -> None:
    for lattice in ALL:
        for repeat in (0.05, 3.0, 40.0):
            out = Plane(noise(*size), repeat, lattice, 7.0).sample(0.0, 0.0, 5.0, 5.0, 100.0)
            assert out.shape == (20, 20, 3)


def test_a_cache_keeps_what_was_used_last_and_its_bound() -> None:
    cache, made = ArrayCache(250), []

    def make(name: str) -> np.ndarray:
        return cache.get(name, lambda: made.append(name) or np.zeros(100, np.uint8))

    for name in ("one", "two", "one", "three", "one", "two"):
        assert not make(name).flags.writeable
    assert made == ["one", "two", "three", "two"]
    assert cache.get("large", lambda: np.zeros(1000, np.uint8)).size == 1000
    make("large")
    assert "large" not in made
