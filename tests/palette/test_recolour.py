"""Colourways: flat areas land on their new colour, blends and grain follow, seams stay."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.planted import colours, grainy, tile
from palette.choose import Palette, Role, Swatch, match_palettes, recolour
from palette.choose.matching import KEPT_CONTRAST
from palette.errors import PaletteError
from palette.space import (
    de2000,
    hex_of,
    hex_to_lab,
    lab_to_oklab,
    lab_to_srgb8,
    srgb_to_lab,
    to_polar,
)

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


def palette_of(*hexes: str) -> Palette:
    """Return a palette of colours that cover less and less."""
    count = len(hexes)
    total = count * (count + 1) / 2
    return Palette(
        tuple(
            Swatch(text, text, tuple(hex_to_lab(text).tolist()), (count - i) / total, Role.MID, {})
            for i, text in enumerate(hexes)
        )
    )


AUTUMN = palette_of("#efe6d5", "#9dae8b", "#335a48", "#a9415c", "#c8963c", "#5a2a4c", "#b2502b")
GREENS = ["#25443a", "#345d39", "#5b8652", "#7eaa68", "#b9cd90"]


def worn(source: Palette, target: Palette, own: Sequence[tuple[str, str]] = ()) -> np.ndarray:
    return np.array([new for _, new in match_palettes(source, target, own)])


def turn_degrees(one: np.ndarray, other: np.ndarray) -> float:
    """Return the angle between two colours' hues in OKLab."""
    first, second = to_polar(lab_to_oklab(np.stack([one, other])))[:, 2]
    return float(np.degrees(abs((first - second + np.pi) % (2 * np.pi) - np.pi)))


def test_light_and_dark_of_one_hue_become_one_hue() -> None:
    """A green leaf came out with raspberry patches, navy petals with ochre."""
    new = worn(palette_of("#f7efdf", *GREENS), AUTUMN)[1:]
    assert max(turn_degrees(one, new[0]) for one in new) < 40.0
    assert (np.diff(new[:, 0]) > 0.0).all()


def test_two_hues_that_are_far_apart_stay_two() -> None:
    """A red-green tartan came out green on green."""
    red, green = worn(palette_of("#be2832", "#286e46"), AUTUMN)
    assert turn_degrees(red, green) > 60.0
    again = worn(palette_of("#286e46", "#be2832"), palette_of("#335a48", "#9dae8b", "#5a2a4c"))
    assert turn_degrees(*again) > 60.0


@st.composite
def any_palettes(draw: st.DrawFn) -> tuple[Palette, Palette]:
    """Two palettes of colours that can be told apart."""
    made = []
    for _ in range(2):
        random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
        count = draw(st.integers(2, 9))
        made.append(palette_of(*(hex_of(one) for one in colours(random, count, 8.0))))
    return made[0], made[1]


@given(any_palettes())
@settings(max_examples=60, deadline=None)
def test_lightness_keeps_its_order_and_most_of_its_contrast(pair: tuple[Palette, Palette]) -> None:
    """A dark motif on a pale ground came out pale on dark, or lost in it."""
    source, target = pair
    old, new = source.labs[:, 0], worn(source, target)[:, 0]
    darker, lighter = np.triu_indices(len(old), 1)
    swap = old[darker] > old[lighter]
    darker, lighter = np.where(swap, lighter, darker), np.where(swap, darker, lighter)
    kept = new[lighter] - new[darker]
    assert (kept >= KEPT_CONTRAST * (old[lighter] - old[darker]) - 0.05).all()


@given(any_palettes())
@settings(max_examples=40, deadline=None)
def test_every_hue_is_one_of_the_palettes(pair: tuple[Palette, Palette]) -> None:
    source, target = pair
    new = worn(source, target)
    vivid = [i for i, lab in enumerate(source.labs) if np.hypot(*lab[1:]) > 25.0 and lab[0] < 86.0]
    palette_hues = [lab for lab in target.labs if np.hypot(*lab[1:]) > 9.0]
    for i in vivid:
        if np.hypot(*new[i, 1:]) > 12.0 and palette_hues:
            assert min(turn_degrees(new[i], hue) for hue in palette_hues) < 12.0


def test_tones_are_colours_of_the_palette_where_these_fit() -> None:
    new = worn(palette_of("#f7efdf", "#25443a", "#a3b890"), AUTUMN)
    assert de2000(new, [hex_to_lab(one) for one in ("#efe6d5", "#335a48", "#9dae8b")]).max() < 1.5


def test_a_palette_worn_by_its_own_artwork_changes_nothing() -> None:
    assert de2000(worn(AUTUMN, AUTUMN), AUTUMN.labs).max() < 0.1


def test_what_somebody_asked_for_is_kept_and_its_hue_follows() -> None:
    new = worn(palette_of("#f7efdf", *GREENS[1:4]), AUTUMN, [("#5b8652", "#8a2be2")])
    assert de2000(new[2], hex_to_lab("#8a2be2")) < 1e-9
    assert all(turn_degrees(one, new[2]) < 15.0 for one in new[1:])


def test_shading_that_no_pair_names_turns_with_its_hue() -> None:
    """What is left over of a blue was added as it was: petals turned plum in their shade."""
    blue, red = (hex_to_lab(one) for one in ("#3c5496", "#a9415c"))
    shades = blue + np.linspace(-12, 12, 9)[:, None] * np.array([1.0, 0.3, -1.0])
    after = srgb_to_lab(recolour(lab_to_srgb8(shades)[None], [(blue, red)])[0])
    assert max(turn_degrees(one, red) for one in after) < 25.0
    assert (np.diff(after[:, 0]) > 1.0).all()


def test_a_smaller_palette_is_used_more_than_once() -> None:
    source, target = palette_of(*GREENS, "#be2832", "#3c5496"), palette_of("#335a48", "#efe6d5")
    assert len(match_palettes(source, target)) == len(source)
    with pytest.raises(PaletteError, match="empty palette"):
        match_palettes(source, Palette(()))


def test_nothing_to_change_and_contradictions_are_refused() -> None:
    red, teal = srgb_to_lab(np.array([[200, 30, 40], [20, 120, 130]], dtype=np.uint8))
    pixels = np.zeros((4, 4, 3), dtype=np.uint8)
    with pytest.raises(PaletteError, match="at least one pair"):
        recolour(pixels, [])
    with pytest.raises(PaletteError, match="become two"):
        recolour(pixels, [(red, teal), (red, red)])
