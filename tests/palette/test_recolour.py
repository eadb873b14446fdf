"""Colourways: flat areas land on their new colour, blends and grain follow, seams stay."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from benchmarks.planted import colours, grainy, tile
from palette.choose import bins_of, choose, match_palettes, recolour
from palette.errors import PaletteError
from palette.space import de2000, srgb_to_lab

Mapping = list[tuple[np.ndarray, np.ndarray]]


def drawn(seed: int, count: int = 6, size_px: int = 300) -> tuple[np.ndarray, np.ndarray, Mapping]:
    """Return a tile, its colours, and a mapping to other colours."""
    random = np.random.default_rng(seed)
    old, new = colours(random, count, 12.0), colours(random, count, 12.0)
    pairs = list(zip(srgb_to_lab(old), srgb_to_lab(new), strict=True))
    return tile(random, old, size_px, motifs=40), old, pairs


@pytest.mark.parametrize("seed", range(5))
def test_flat_areas_become_their_new_colour(seed: int) -> None:
    pixels, old, pairs = drawn(seed)
    after = recolour(pixels, pairs)
    for colour, (_, target) in zip(old, pairs, strict=True):
        flat = (pixels == colour).all(axis=2)
        assert flat.any()
        assert de2000(srgb_to_lab(after[flat]), target).max() < 1.0


@pytest.mark.parametrize("seed", range(5))
def test_nearly_flat_areas_do_too(seed: int) -> None:
    """A little grain, as JPEG leaves it: the mean of an area still lands on its colour."""
    pixels, old, pairs = drawn(seed)
    noisy = grainy(pixels, np.random.default_rng(seed), 1.5)
    after = srgb_to_lab(recolour(noisy, pairs))
    for colour, (_, target) in zip(old, pairs, strict=True):
        flat = (pixels == colour).all(axis=2)
        assert float(de2000(after[flat].mean(axis=0), target)) < 2.0


def test_blends_of_two_colours_become_blends_of_the_new() -> None:
    """Anti-aliasing between two colours, in steps, against the same steps of the new colours."""
    ends = np.array([[20, 40, 90], [250, 230, 180]])
    new = np.array([[120, 20, 30], [225, 240, 235]])
    steps = np.linspace(0, 1, 41)[:, None]
    before = np.rint(ends[0] * (1 - steps) + ends[1] * steps).astype(np.uint8)
    expected = np.rint(new[0] * (1 - steps) + new[1] * steps).astype(np.uint8)
    pairs = list(zip(srgb_to_lab(ends / 255.0), srgb_to_lab(new / 255.0), strict=True))
    after = recolour(before[None], pairs)[0]
    assert de2000(srgb_to_lab(after), srgb_to_lab(expected)).max() < 1.5


def test_change_is_smooth() -> None:
    """Neighbouring colours stay neighbours: no step along a slow ramp through the whole cube."""
    _, _, pairs = drawn(3)
    t = np.linspace(0, 1, 2000)[:, None]
    corners = np.array([[10, 200, 30], [240, 60, 90], [40, 70, 230], [250, 250, 240]])
    ramps = [a * (1 - t) + b * t for a, b in pairwise(corners)]
    ramp = np.rint(np.concatenate(ramps)).astype(np.uint8)
    after = recolour(ramp[None], pairs)[0].astype(int)
    assert np.abs(np.diff(after, axis=0)).max() <= 40


def test_mapping_to_itself_changes_nothing_to_speak_of() -> None:
    pixels, old, _ = drawn(4)
    same = [(lab, lab) for lab in srgb_to_lab(old)]
    assert np.abs(recolour(pixels, same).astype(int) - pixels).max() <= 1


def test_equal_colours_stay_equal_so_seams_stay() -> None:
    pixels, _, pairs = drawn(5)
    noisy = grainy(pixels, np.random.default_rng(1))
    after = recolour(noisy, pairs)
    moved = np.roll(noisy, (70, 110), axis=(0, 1))
    assert (recolour(moved, pairs) == np.roll(after, (70, 110), axis=(0, 1))).all()
    assert (recolour(noisy, pairs[::-1]) == after).all()


def test_shading_is_kept() -> None:
    """A motif shaded by lightness keeps the order of its tones."""
    base = np.array([40, 110, 120])
    shades = np.clip(base + np.arange(-20, 21)[:, None], 0, 255).astype(np.uint8)
    pairs = [(srgb_to_lab(base / 255.0), srgb_to_lab(np.array([190, 60, 90]) / 255.0))]
    lightness = srgb_to_lab(recolour(shades[None], pairs)[0])[:, 0]
    assert (np.diff(lightness) > -0.2).all()
    assert lightness[-1] - lightness[0] > 10


def test_a_colour_becomes_the_same_among_very_many() -> None:
    """More colours than are taken at a time; how fast that is, ``benchmarks.palette`` measures."""
    pixels, _, pairs = drawn(6, count=8, size_px=600)
    large = grainy(pixels, np.random.default_rng(2))
    assert len(np.unique(large.reshape(-1, 3), axis=0)) > 40_000
    after = recolour(large, pairs).astype(int)
    for part in (slice(0, 7), slice(300, 307)):
        assert np.abs(recolour(large[part], pairs).astype(int) - after[part]).max() <= 1


def test_palettes_are_matched_by_role_and_lightness() -> None:
    random = np.random.default_rng(12)
    source = choose({"a": bins_of(tile(random, colours(random, 5, 15.0), 240))})
    target = choose({"b": bins_of(tile(random, colours(random, 5, 15.0), 240))})
    pairs = match_palettes(source, target)
    assert [tuple(a) for a, _ in pairs] == [swatch.lab for swatch in source.swatches]
    assert len({tuple(b) for _, b in pairs}) == 5
    assert tuple(pairs[0][1]) == target.swatches[0].lab  # ground to ground
    assert all((a == b).all() for a, b in match_palettes(source, source))


def test_a_smaller_palette_is_used_more_than_once() -> None:
    random = np.random.default_rng(13)
    source = choose({"a": bins_of(tile(random, colours(random, 5, 15.0), 240))})
    target = choose({"b": bins_of(tile(random, colours(random, 3, 15.0), 240))})
    assert len(match_palettes(source, target)) == len(source)


def test_nothing_to_change_and_contradictions_are_refused() -> None:
    red, teal = srgb_to_lab(np.array([[200, 30, 40], [20, 120, 130]], dtype=np.uint8))
    pixels = np.zeros((4, 4, 3), dtype=np.uint8)
    with pytest.raises(PaletteError, match="at least one pair"):
        recolour(pixels, [])
    with pytest.raises(PaletteError, match="become two"):
        recolour(pixels, [(red, teal), (red, red)])
