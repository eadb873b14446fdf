"""Does each pixel of a smaller picture show the mean of what it covers, however it is made?"""

from __future__ import annotations

import numpy as np
import pytest

from patterns.plane import reduce_blocks, reduce_by, reduce_in_bands, reduce_to, to_srgb8
from patterns.plane.reduction import BAND_PX, reduce_light


@pytest.fixture
def noise() -> np.ndarray:
    return np.random.default_rng(2).integers(0, 256, (120, 90, 3), dtype=np.uint8)


def means(pixels: np.ndarray, step: int) -> np.ndarray:
    rows, columns = pixels.shape[0] // step, pixels.shape[1] // step
    whole = pixels[: rows * step, : columns * step].astype(float)
    return whole.reshape(rows, step, columns, step, 3).mean(axis=(1, 3))


def test_whole_pixels_are_averaged(noise: np.ndarray) -> None:
    expected = means(noise, 3)
    for small in (
        reduce_to(noise, 40, 30),
        reduce_to(noise, 40, 30, gap=1.0),
        reduce_by(noise, 3.0),
        reduce_in_bands(noise, 40, 30),
        reduce_blocks(noise, 3),
    ):
        assert small.shape == expected.shape
        assert small.dtype == np.uint8
        assert np.abs(small - expected).max() <= 1.0


def test_a_side_never_vanishes(noise: np.ndarray) -> None:
    assert reduce_by(noise[:, :2], 40.0).shape == (3, 1, 3)
    assert reduce_by(noise[:, :2], 40.0, least_px=4).shape == (4, 4, 3)


def test_blocks_at_the_far_edges_are_of_what_is_there(noise: np.ndarray) -> None:
    small = reduce_blocks(noise[:100, :80], 7)
    assert small.shape == (15, 12, 3)
    assert np.abs(small[-1, -1] - noise[98:100, 77:80].mean(axis=(0, 1))).max() <= 1.0


def test_bands_join_and_follow_a_roll() -> None:
    tall = np.random.default_rng(3).integers(0, 256, (4000, 600, 3), dtype=np.uint8)
    assert tall[..., 0].size > 2 * BAND_PX
    small = reduce_in_bands(tall, 400, 60)
    assert np.abs(small - means(tall, 10)).max() <= 1.0
    rolled = reduce_in_bands(tall, 400, 60, down_px=1234)
    assert np.array_equal(rolled, reduce_in_bands(np.roll(tall, 1234, axis=0), 400, 60))


@pytest.mark.parametrize("rows", [40, 37])
def test_light_is_mixed_as_paper_mixes_it(rows: int) -> None:
    """Half black and half white gives back half the light, which is sRGB 188."""
    stripes = np.zeros((120, 90, 3), dtype=np.uint8)
    stripes[:, ::2] = 255
    assert np.abs(to_srgb8(reduce_light(stripes, rows, 9)).astype(int) - 188).max() <= 1
