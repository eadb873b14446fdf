"""Colour bins: exact where few colours stand, means where many do, and fringe told from body."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from benchmarks.planted import grainy, planted_kit
from palette.choose import ColourBins, bins_of, pool_bins
from palette.choose.histogram import sample
from palette.space import srgb_to_lab

RED, TEAL, CREAM = (
    np.array(c, dtype=np.uint8) for c in ([200, 30, 40], [20, 120, 130], [250, 240, 220])
)


def flat(*colours: np.ndarray, side: int = 40) -> np.ndarray:
    """Return stripes of equal width."""
    return np.repeat(np.repeat(np.stack(colours)[None], side, 0), side, 1)


@given(arrays(np.uint8, st.tuples(st.integers(1, 9), st.integers(1, 9), st.just(3))))
def test_small_tiles_are_counted_exactly(pixels: np.ndarray) -> None:
    bins = bins_of(pixels)
    exact, counts = np.unique(pixels.reshape(-1, 3), axis=0, return_counts=True)
    assert len(bins) == len(exact)
    ours = {tuple(c): w for c, w in zip(bins.rgb8.tolist(), bins.weight, strict=True)}
    for colour, count in zip(exact.tolist(), counts, strict=True):
        assert ours[tuple(colour)] == pytest.approx(count / counts.sum())
    assert np.allclose(bins.lab, srgb_to_lab(bins.rgb8), atol=1e-9)


def test_weights_add_up_and_arrays_are_read_only() -> None:
    bins = bins_of(planted_kit(1, 200)[1][2])
    assert bins.weight.sum() == pytest.approx(1.0)
    assert bins.body.sum() == pytest.approx(1.0)
    with pytest.raises(ValueError, match="read-only"):
        bins.lab[0] = 0.0


def test_many_colours_go_into_bins_of_two_codes_with_their_mean() -> None:
    noise = np.random.default_rng(1).integers(0, 256, (400, 400, 3)).astype(np.uint8)
    bins = bins_of(noise)
    seven_bit = {tuple(c) for c in (noise.reshape(-1, 3) >> 1).tolist()}
    assert len(bins) == len(seven_bit)
    members = noise.reshape(-1, 3)[((noise.reshape(-1, 3) >> 1) == bins.rgb8[0] >> 1).all(axis=1)]
    assert np.allclose(bins.lab[0], srgb_to_lab(members.mean(axis=0) / 255.0))
    assert bins.weight[0] == pytest.approx(len(members) / 160_000)
    held = {tuple(c) for c in noise.reshape(-1, 3).tolist()}
    assert all(tuple(c) in held for c in bins.rgb8.tolist())


def _pattern(name: str, side: int) -> np.ndarray:
    y, x = np.mgrid[0:side, 0:side]
    return {
        "rows": y % 2 == 0,
        "columns": x % 2 == 0,
        "checks": (x + y) % 2 == 0,
        "dots": (x % 4 == 0) & (y % 4 == 0),
        "lines of 2 in 64": y % 64 // 2 == 5,
        "columns of 2 in 64": x % 64 // 2 == 5,
        "lines of 3 in 120": y % 120 // 3 == 7,
    }[name]


@pytest.mark.parametrize("side", [1000, 1801])
@pytest.mark.parametrize(
    "name",
    [
        "rows",
        "columns",
        "checks",
        "dots",
        "lines of 2 in 64",
        "columns of 2 in 64",
        "lines of 3 in 120",
    ],
)
def test_no_lattice_hides_from_the_sample(name: str, side: int) -> None:
    """Every second row and column, taken plainly, sees one colour of the first three of these."""
    which = _pattern(name, side)
    bins = bins_of(np.stack([RED, TEAL])[which.astype(int)])
    share = {tuple(c): w for c, w in zip(bins.rgb8.tolist(), bins.weight, strict=True)}
    assert share[tuple(TEAL)] == pytest.approx(which.mean(), rel=0.15)


def test_sampling_thins_large_tiles_and_moves_with_wrap() -> None:
    pixels = np.random.default_rng(4).integers(0, 256, (808, 801, 3)).astype(np.uint8)
    planes = np.ascontiguousarray(pixels.transpose(2, 0, 1))
    assert sample(planes).shape[1] == pytest.approx(808 * 801 / 4, rel=0.01)
    moved = np.ascontiguousarray(np.roll(pixels, (-3, 1), axis=(0, 1)).transpose(2, 0, 1))
    assert (sample(planes, 3, -1) == sample(moved)).all()
    huge = np.zeros((3, 3000, 3000), dtype=np.uint8)
    assert sample(huge).shape[1] <= 520_000


def test_antialiased_edges_are_fringe_and_thin_lines_are_not() -> None:
    tile = flat(RED, TEAL)
    half = ((RED.astype(int) + TEAL) // 2).astype(np.uint8)
    tile[:, 40] = half
    tile[:, 10] = CREAM  # a line one pixel wide of a colour of its own
    bins = bins_of(tile)
    fringe = {tuple(c): f for c, f in zip(bins.rgb8.tolist(), bins.fringe, strict=True)}
    assert fringe[tuple(half)] == 1.0
    assert fringe[tuple(CREAM)] == 0.0
    assert fringe[tuple(RED)] < 0.1
    assert fringe[tuple(TEAL)] < 0.1


def test_a_wide_band_between_its_neighbours_is_body() -> None:
    """A gingham's middle tone is a mixture too, but it fills areas."""
    half = ((RED.astype(int) + TEAL) // 2).astype(np.uint8)
    bins = bins_of(flat(RED, half, TEAL))
    fringe = {tuple(c): f for c, f in zip(bins.rgb8.tolist(), bins.fringe, strict=True)}
    assert fringe[tuple(half)] < 0.2


def test_grain_is_no_fringe() -> None:
    bins = bins_of(grainy(flat(RED, side=200), np.random.default_rng(2)))
    assert float(bins.weight @ bins.fringe) < 0.02


def test_pooled_gives_every_tile_equal_say_in_any_order() -> None:
    small, large = bins_of(flat(RED, side=10)), bins_of(flat(TEAL, CREAM, side=300))
    pool = pool_bins([small, large])
    weight = {tuple(c): w for c, w in zip(pool.rgb8.tolist(), pool.weight, strict=True)}
    assert weight[tuple(RED)] == pytest.approx(0.5)
    assert weight[tuple(TEAL)] == pytest.approx(0.25)
    tiles = [bins_of(t) for t in planted_kit(2, 200)[1]]
    assert _equal(pool_bins(tiles, 500), pool_bins(tiles[::-1], 500))
    assert len(pool_bins(tiles, 500)) <= 500


def _equal(a: ColourBins, b: ColourBins) -> bool:
    return all(
        np.array_equal(getattr(a, name), getattr(b, name))
        for name in ("lab", "rgb8", "weight", "fringe")
    )


def test_all_fringe_still_has_a_body() -> None:
    """Stripes one pixel wide are nothing but transitions; they must not vanish."""
    ramp = np.array([0, 60, 120, 180, 240, 180, 120, 60], dtype=np.uint8)
    tile = np.repeat(np.tile(ramp, 8)[None, :, None], 64, 0).repeat(3, axis=2)
    assert bins_of(tile).body.sum() == pytest.approx(1.0)
