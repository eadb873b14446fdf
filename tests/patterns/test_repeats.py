"""Is the smallest repeat found, to a tenth of a pixel? On planes built here from one tile."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d

from benchmarks.repeats import plane_of, rebuilds
from learning.drawings.plain import blooms, crowded, sprigs, wash
from learning.faults import jpeg
from patterns.autocorrelation import autocorrelate
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT, parse_lattice
from patterns.repeats import check_as, find_lattice, find_repeat
from patterns.seams import check_seams


@pytest.fixture(scope="module")
def tile() -> np.ndarray:
    return sprigs(np.random.default_rng(3))


@pytest.mark.parametrize("lattice", [STRAIGHT, HALF_DROP, HALF_BRICK], ids=lambda v: v.name)
def test_repeat_of_a_noisy_swatch(tile, lattice):
    rng = np.random.default_rng(1)
    even = tile[: tile.shape[0] // 2 * 2, : tile.shape[1] // 2 * 2]
    clean = plane_of(even, lattice, 2.6, rng)
    shown = jpeg(np.clip(clean + rng.normal(0, 4, clean.shape), 0, 255).astype(np.uint8), 85)
    found = find_repeat(shown)
    assert found is not None
    assert rebuilds(found, clean, even.shape[1] * even.shape[0])
    assert abs(found.width_px * found.height_px / (even.shape[0] * even.shape[1]) - 1) < 0.01
    assert found.seen >= 1.5
    assert parse_lattice(found.lattice)


def test_period_between_pixels():
    # an analytic pattern: three waves with periods 61.37 and 48.82 px, sampled at pixel centres
    y, x = np.mgrid[0:170, 0:190]
    u, v = x / 61.37, y / 48.82
    wave = np.sin(2 * np.pi * u) + np.cos(2 * np.pi * (v + u)) + 0.7 * np.sin(4 * np.pi * v + 1)
    grey = np.rint(128 + 40 * wave).astype(np.uint8)
    found = find_repeat(np.repeat(grey[..., None], 3, axis=2))
    assert found is not None
    assert found.width_px == pytest.approx(61.37, abs=0.1)
    assert found.height_px == pytest.approx(48.82, abs=0.1)


@pytest.mark.parametrize("draw", [blooms, wash])
def test_nothing_repeats_in_a_lone_tile(draw):
    assert find_repeat(draw(np.random.default_rng(5))) is None


def test_smallest_repeat_of_a_checkerboard():
    whole = np.kron(np.indices((8, 8)).sum(0) % 2, np.ones((20, 20))) * 120 + 60
    found = find_repeat(np.repeat(whole[..., None], 3, axis=2).astype(np.uint8))
    assert found is not None
    # squares of 20 px, the colours in turn: a half-drop of 20 x 40, or its other name
    assert found.lattice in {"half-drop", "half-brick"}
    assert found.width_px * found.height_px == pytest.approx(800, rel=0.02)


def drawn_stripes(seed: int, size_px: int, wobble_px: float, length_px: float) -> np.ndarray:
    """Return stripes of one sett, each edge drawn anew with a wobble, and their period."""
    rng = np.random.default_rng(seed)
    period = int(rng.integers(size_px // 8, size_px // 3))
    edges = [0, *(np.sort(rng.choice(np.arange(1, period // 6), 3, replace=False)) * 6)]
    greys = rng.permutation([50.0, 110.0, 170.0, 230.0])
    place = np.arange(size_px)[None]
    out = np.full((size_px, size_px), greys[-1])
    for start in range(-period, size_px + period, period):
        for edge, grey in zip(edges, greys, strict=True):
            wobble = gaussian_filter1d(rng.normal(size=size_px), length_px, mode="wrap")
            at = start + edge + wobble * (wobble_px / wobble.std())
            cover = np.clip(place - at[:, None] + 0.5, 0.0, 1.0)
            out += (grey - out) * cover
    return np.rint(out).astype(np.uint8)[..., None].repeat(3, axis=2)


@pytest.mark.slow
def test_the_wobble_of_a_hand_is_no_repeat():
    """Along stripes drawn by hand nothing repeats; else mending cuts a tile that never was one."""
    for seed in range(6):
        for wobble_px, length_px in ((1.0, 8.0), (2.0, 8.0), (2.0, 60.0), (1.0, 150.0)):
            picture = drawn_stripes(seed, 800, wobble_px, length_px)
            shown = picture if seed % 2 else picture.transpose(1, 0, 2)
            found = find_repeat(shown)
            along = 800 if found is None else (found.height_px if seed % 2 else found.width_px)
            assert along == 800, (seed, wobble_px, length_px)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_drawn_stripes_that_truly_repeat_keep_their_repeat(seed):
    """A strip of the same stripes, printed again and again, differs along them just as little."""
    cell = drawn_stripes(seed, 264, 2.0, 12.0)[:, :231]
    plane = np.tile(cell, (3, 3, 1))
    for shown in (plane, jpeg(plane)):
        found = find_repeat(shown)
        assert found is not None
        assert (found.width_px, found.height_px) == (
            pytest.approx(231, abs=0.5),
            pytest.approx(264, abs=0.5),
        )


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2])
def test_noise_on_fine_stripes_is_no_second_period(seed):
    """Ridges of 4 px, the same all along, saved as JPEG: one period, and none along them."""
    rng = np.random.default_rng(seed)
    ridges = np.array([90, 120, 150, 120])[np.arange(170) % 4][:, None, None]
    noisy = np.clip(np.rint(ridges + rng.normal(0, 3, (170, 166, 3))), 0, 255).astype(np.uint8)
    found = find_repeat(jpeg(noisy, 85))
    assert found is not None
    assert (found.width_px, found.height_px) == (166, pytest.approx(4.0, abs=0.05))


@pytest.mark.slow
@pytest.mark.parametrize("lighter", [24, 60, 120])
def test_pale_dots_on_strong_stripes_keep_their_repeat(lighter):
    y, x = np.mgrid[0:700, 0:800]
    dots = (y % 97 - 48) ** 2 + (x % 60 - 30) ** 2 < 100
    grey = np.where(x // 30 % 2, 130, 60) + np.where(dots, lighter, 0)
    noisy = grey[..., None] + np.random.default_rng(1).normal(0, 2, (700, 800, 3))
    found = find_repeat(np.clip(np.rint(noisy), 0, 255).astype(np.uint8))
    assert found is not None
    assert found.width_px * found.height_px == pytest.approx(60 * 97, rel=0.01)


def test_plain_picture_has_no_repeat():
    assert find_repeat(np.full((100, 100, 3), 90, dtype=np.uint8)) is None


def test_autocorrelation_agrees_with_its_definition():
    rng = np.random.default_rng(0)
    lab = rng.normal(size=(30, 26, 3)).astype(np.float32)
    table = autocorrelate(lab, 21, 18)
    spread = 2 * np.square(lab - lab.mean(axis=(0, 1))).sum() / (30 * 26)
    for down, right in ((0, 0), (4, 7), (9, -5), (1, -12)):
        a = lab[down:, max(0, right) : 26 + min(0, right)]
        b = lab[: 30 - down, max(0, -right) : 26 - max(0, right)]
        by_hand = 1 - np.square(a - b).sum(-1).mean() / spread
        assert table.at(down, right) == pytest.approx(by_hand, abs=1e-4)


def test_lattice_of_a_lone_tile(tile):
    assert find_lattice(tile).name == "straight"


@pytest.mark.parametrize("named", ["auto", "half-brick"])
@pytest.mark.parametrize("lossy", [False, True])
def test_check_of_a_tile_is_that_of_its_lattice(tile, named, lossy):
    cut = tile[:, : tile.shape[1] // 2]  # closes in no lattice
    lattice, check = check_as(cut, named, lossy=lossy)
    assert lattice == (find_lattice(cut) if named == "auto" else HALF_BRICK)
    again = check_seams(cut, lattice, lossy=lossy)
    assert (check.x.score, check.y.score, check.lattice) == (
        again.x.score,
        again.y.score,
        lattice.name,
    )


def test_lattice_of_a_half_drop_tile():
    # a plane of two motifs a half-drop apart, cut as one half-drop tile through the motifs
    y, x = np.mgrid[0:160, 0:120]
    plane = np.full((160, 120, 3), 235, dtype=np.uint8)
    for cy, cx in ((0, 0), (80, 120), (160, 0), (0, 240), (160, 240), (80, -120), (240, 120)):
        plane[np.hypot((y - cy) * 1.2, x - cx) < 40 + 6 * np.sin(x - cx)] = (40, 90, 160)
        plane[np.hypot(y - cy - 10, x - cx - 8) < 14] = (200, 60, 40)
    assert find_lattice(plane).name == "half-drop"


def test_too_little_of_a_repeat_is_told_from_none():
    tile = crowded(np.random.default_rng(3))
    plane = plane_of(tile, STRAIGHT, 1.3, np.random.default_rng(4))
    assert find_repeat(plane) is None
    hint = find_repeat(plane, least_seen=1.15)
    assert hint is not None
    assert hint.seen == pytest.approx(1.3, abs=0.02)
    assert find_repeat(tile, least_seen=1.15) is None
