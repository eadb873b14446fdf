"""Coordinates: exact in every pixel, the same after each repeat, and setts read strictly.

The oracle is the eye's own rule, a pixel shows the mean light of its area: each figure is drawn
here by points alone, from its plain description, and many points are averaged to a pixel
(supersampling: common practice, no published source). Where all edges lie on sixteenths of a pixel,
16 times 16 points are exact; at a slanted or round edge so few are off by up to eleven of 255
themselves, so there 160 times 160 are taken.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from palette.arrays import Floats, Indices, Pixels
from palette.space import compand, de2000, lab_to_oklab, linear, parse_hex, srgb_to_lab
from patterns.artwork_error import ArtworkError
from patterns.coordinates import (
    ALL_OVER,
    COORDINATE_KINDS,
    TARTAN,
    Coordinate,
    draw_figure,
    parse_sett,
)
from patterns.units import MM_PER_INCH

INKS = ("#f6f0e2", "#1b2a33", "#c4503f", "#5c7854")
SETT = "A/12 C2 A4 B10 D3 B/6"
SIXTEENTH_DPI = MM_PER_INCH / 16.0  # a pixel is 16 mm wide, so millimetres are its sixteenths

Inks = Callable[[Floats, Floats], tuple[Indices, Indices]]


def stripes(at: Floats, parts: Sequence[tuple[int, int]]) -> Indices:
    """The ink at each place of bands (width, ink) that repeat."""
    ends = np.cumsum([width for width, _ in parts])
    inks = np.array([ink for _, ink in parts])
    return inks[np.searchsorted(ends, at % ends[-1], side="right")]


def down_the_sticker(parts: Sequence[tuple[int, int]]) -> Inks:
    return lambda x, y: (stripes(x, parts) + 0 * y.astype(int),) * 2


def woven(across: Sequence[tuple[int, int]], down: Sequence[tuple[int, int]]) -> Inks:
    return lambda x, y: (
        stripes(x, across) + 0 * y.astype(int),
        stripes(y, down) + 0 * x.astype(int),
    )


def laid_over(
    across: Sequence[tuple[int, int]], down: Sequence[tuple[int, int]], top: Sequence[int]
) -> Inks:
    """Lines on a ground; ``top`` says how high each ink lies."""

    def inks(x: Floats, y: Floats) -> tuple[Indices, Indices]:
        a, b = woven(across, down)(x, y)
        height = np.array(top)
        shown = np.where(height[a] >= height[b], a, b)
        return shown, shown

    return inks


def checked(side: int) -> Inks:
    def inks(x: Floats, y: Floats) -> tuple[Indices, Indices]:
        shown = ((x // side).astype(int) + (y // side).astype(int)) % 2
        return shown, shown

    return inks


TICKING = [(90, 0), (10, 1), (14, 0), (30, 1), (14, 0), (10, 1)]
HALF_SETT = [(6, 1), (12, 0), (30, 2), (9, 3)]
TARTAN_BANDS = [(36, 0), *HALF_SETT, (18, 2), *reversed(HALF_SETT)]
WOVEN: dict[str, tuple[str, str, int, int, Inks]] = {
    # name: kind, style, size, colours, what is drawn
    "even": ("stripe", "even", 159, 3, down_the_sticker([(53, 0), (53, 1), (53, 2)])),
    "ticking": ("stripe", "ticking", 168, 2, down_the_sticker(TICKING)),
    "awning": (
        *("stripe", "awning", 102, 3),
        down_the_sticker([(48, 1), (9, 0), (6, 2), (24, 0), (6, 2), (9, 0)]),
    ),
    "gingham": ("gingham", "", 74, 2, woven([(37, 1), (37, 0)], [(37, 1), (37, 0)])),
    "two-way gingham": ("gingham", "", 74, 3, woven([(37, 1), (37, 0)], [(37, 2), (37, 0)])),
    "windowpane": (
        *("windowpane", "", 85, 2),
        laid_over([(80, 0), (5, 1)], [(100, 0), (5, 1)], (0, 1)),
    ),
    "windowpane of two lines": (
        *("windowpane", "", 176, 3),
        laid_over(
            [(80, 0), (6, 2), (80, 0), (10, 1)], [(100, 0), (6, 2), (100, 0), (10, 1)], (0, 2, 1)
        ),
    ),
    "tartan": (TARTAN, "", 168, 4, woven(TARTAN_BANDS, TARTAN_BANDS)),
    "check": ("check", "", 58, 2, checked(29)),
    "grid": ("grid", "", 70, 2, laid_over([(63, 0), (7, 1)], [(63, 0), (7, 1)], (0, 1))),
}


def coordinate(kind: str, style: str, size: float, colours: int, turn: float = 0.0) -> Coordinate:
    sett = SETT if kind == TARTAN else ""
    return Coordinate(draw_figure(kind, size, colours, style, sett), INKS[:colours], turn)


def supersampled(
    inks: Inks, corner: tuple[float, float], pitch: float, shape: tuple[int, int], points: int
) -> Floats:
    """Each pixel's mean light of points x points places, as sRGB 0 to 255."""
    rows, columns = shape
    x = corner[0] + (np.arange(columns * points) + 0.5) / points * pitch
    y = corner[1] + (np.arange(rows * points)[:, None] + 0.5) / points * pitch
    light = linear(np.array([parse_hex(one) for one in INKS]) / 255.0)
    a, b = inks(x[None, :] + 0 * y, y + 0 * x[None, :])
    mean = ((light[a] + light[b]) / 2.0).reshape(rows, points, columns, points, 3).mean(axis=(1, 3))
    return 255.0 * compand(mean)


def farthest(pixels: Pixels, wanted: Floats) -> float:
    return float(np.abs(pixels.astype(np.float64) - wanted).max())


@pytest.mark.parametrize("case", WOVEN)
def test_a_woven_pattern_equals_sixteen_times_oversampling(case: str) -> None:
    """Else edges are heavier or lighter than they should be, and stripes uneven in print."""
    kind, style, size, colours, inks = WOVEN[case]
    drawn = coordinate(kind, style, size, colours).sample(
        -531.0, 217.0, 1.0, 1.0, SIXTEENTH_DPI, shape=(23, 31)
    )
    assert farthest(drawn, supersampled(inks, (-531.0, 217.0), 16.0, (23, 31), 16)) <= 1.0


def dots(size: float, radius: float, places: Sequence[tuple[float, float, int]]) -> Inks:
    def inks(x: Floats, y: Floats) -> tuple[Indices, Indices]:
        shown = np.zeros(x.shape, dtype=int)
        for across, down, ink in places:
            dx = (x - across * size + size / 2.0) % size - size / 2.0
            dy = (y - down * size + size / 2.0) % size - size / 2.0
            shown[np.hypot(dx, dy) < radius * size] = ink
        return shown, shown

    return inks


def zigzag(size: float, colours: int) -> Inks:
    def inks(x: Floats, y: Floats) -> tuple[Indices, Indices]:
        along = x % size
        fall = 0.9 * np.minimum(along, size - along)
        shown = np.floor((y - fall) / (0.36 * size)).astype(int) % colours
        return shown, shown

    return inks


def scales(size: float, rings: Sequence[tuple[float, int]]) -> Inks:
    """Rows of arches painted from the back to the front, each over all that lies behind it."""

    def inks(x: Floats, y: Floats) -> tuple[Indices, Indices]:
        shown = np.zeros(x.shape, dtype=int)
        radius = size / 2.0
        first, last = (int(np.floor(edge / radius)) for edge in (y.min(), y.max()))
        for row in range(first - 2, last + 3):
            dx = (x - row % 2 * radius + radius) % size - radius
            for share, ink in rings:
                own = share * radius
                rise = np.sqrt(np.maximum(own**2 - dx**2, 0.0))
                shown[(np.abs(dx) < own) & (y >= row * radius - rise)] = ink
        return shown, shown

    return inks


SHAPES: dict[str, tuple[str, str, float, int, Inks]] = {
    "dots": ("dots", "grid", 2.03, 2, dots(2.03, 0.24, [(0.5, 0.5, 1)])),
    "dots of two colours": (
        *("dots", "grid", 3.1, 3),
        dots(3.1, 0.12, [(0.25, 0.25, 1), (0.75, 0.25, 2), (0.25, 0.75, 2), (0.75, 0.75, 1)]),
    ),
    "half-drop": (
        *("dots", "half-drop", 2.7, 3),
        dots(2.7, 0.155, [(0.25, 0.25, 1), (0.75, 0.75, 2)]),
    ),
    "chevron": ("chevron", "", 1.9, 2, zigzag(1.9, 2)),
    "chevron of four": ("chevron", "", 1.3, 4, zigzag(1.3, 4)),
    "scallop": ("scallop", "", 2.2, 2, scales(2.2, [(1.0, 1), (0.86, 0)])),
    "scallop with arches": (
        *("scallop", "", 1.7, 3),
        scales(1.7, [(1.0, 1), (0.86, 0), (0.58, 2), (0.34, 0)]),
    ),
}


@pytest.mark.parametrize("case", SHAPES)
def test_a_round_or_slanted_pattern_equals_oversampling(case: str) -> None:
    """Else dots are not discs, and zigzags and scales have steps in print."""
    kind, style, size, colours, inks = SHAPES[case]
    drawn = coordinate(kind, style, size, colours).sample(
        -3.21, 517.13, 1.0, 1.0, 150.0, shape=(6, 6)
    )
    pitch = MM_PER_INCH / 150.0
    assert farthest(drawn, supersampled(inks, (-3.21, 517.13), pitch, (6, 6), 160)) <= 1.0


ALL = {name: case[:4] for name, case in (WOVEN | SHAPES).items()}
ALL["gradient"] = ("gradient", "", 9.7, 3)
ALL["gradient across"] = ("gradient", "across", 4.1, 2)
IN_MM = {name: (kind, style, 7.3, n) for name, (kind, style, _, n) in ALL.items()}


@pytest.mark.parametrize("case", IN_MM)
def test_a_pixel_is_the_mean_light_of_its_sixteen_times_finer_ones(case: str) -> None:
    drawn = coordinate(*IN_MM[case])
    coarse = drawn.sample(1.234, -7.89, 1.0, 1.0, 150.0, shape=(13, 17))
    fine = drawn.sample(1.234, -7.89, 1.0, 1.0, 16 * 150.0, shape=(16 * 13, 16 * 17))
    light = linear(fine / 255.0).reshape(13, 16, 17, 16, 3).mean(axis=(1, 3))
    assert farthest(coarse, 255.0 * compand(light)) <= 1.0


@settings(max_examples=12, deadline=None)
@given(
    case=st.sampled_from(sorted(ALL)),
    size=st.floats(0.7, 60.0),
    across=st.integers(-1000, 1000),
    down=st.integers(-1000, 1000),
)
def test_it_is_the_same_after_every_repeat(case: str, size: float, across: int, down: int) -> None:
    """Else a large sticker's far edge no longer matches its near one."""
    kind, style, _, colours = ALL[case]
    drawn = coordinate(kind, style, size, colours)
    here = drawn.sample(0.31, 0.17, 1.0, 1.0, 300.0, shape=(20, 20))
    there = drawn.sample(
        0.31 + across * drawn.repeat_mm,
        0.17 + down * drawn.height_mm,
        *(1.0, 1.0, 300.0),
        shape=(20, 20),
    )
    assert farthest(there, here.astype(np.float64)) <= 1.0


@pytest.mark.parametrize("case", IN_MM)
def test_one_tile_closes_on_every_side(case: str) -> None:
    """A picture of it is artwork without a seam: what follows on its last pixel is its first."""
    drawn = coordinate(*IN_MM[case])
    tile = drawn.one_tile(41, 37)
    twice = drawn.one_tile(82, 74, repeats=(2, 2))
    assert farthest(twice, np.tile(tile, (2, 2, 1)).astype(np.float64)) <= 1.0


@pytest.mark.parametrize("turns", [1, 2, 3])
@pytest.mark.parametrize("case", ["awning", "scallop"])
def test_a_quarter_turn_moves_whole_pixels(case: str, turns: int) -> None:
    corner = -24 * MM_PER_INCH / 300.0
    upright = coordinate(*IN_MM[case]).sample(corner, corner, 1, 1, 300.0, shape=(48, 48))
    turned = coordinate(*IN_MM[case], 90.0 * turns).sample(
        corner, corner, 1, 1, 300.0, shape=(48, 48)
    )
    assert farthest(turned, np.rot90(upright, -turns).astype(np.float64)) <= 1.0


def turned_inks(inks: Inks, degrees: float, scale: float) -> Inks:
    """What is drawn, turned clockwise and at a share of its size."""
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return lambda x, y: inks((x * cos + y * sin) / scale, (y * cos - x * sin) / scale)


@pytest.mark.parametrize("degrees", [45.0, -20.0, 187.0])
@pytest.mark.parametrize("case", ["gingham", "tartan", "awning"])
def test_stripes_and_cloth_are_exact_at_any_turn(case: str, degrees: float) -> None:
    """Else a gingham on the bias has steps along its edges."""
    kind, style, size, colours, inks = WOVEN[case]
    drawn = coordinate(kind, style, 3.0, colours, degrees)
    corner, pitch = (1.1, -6.3), MM_PER_INCH / 300.0
    pixels = drawn.sample(*corner, 1.0, 1.0, 300.0, shape=(6, 6))
    wanted = supersampled(turned_inks(inks, degrees, 3.0 / size), corner, pitch, (6, 6), 160)
    assert farthest(pixels, wanted) <= 1.0


@pytest.mark.parametrize("degrees", [45.0, -20.0])
@pytest.mark.parametrize("case", ["check", "chevron", "dots"])
def test_what_is_turned_otherwise_stays_near_to_oversampling(case: str, degrees: float) -> None:
    """Such a pixel is the mean of sixteen parts: off at edges by a few of 255, never more."""
    kind, style, size, colours, inks = (WOVEN | SHAPES)[case]
    drawn = coordinate(kind, style, 3.0, colours, degrees)
    corner, pitch = (1.1, -6.3), MM_PER_INCH / 300.0
    pixels = drawn.sample(*corner, 1.0, 1.0, 300.0, shape=(24, 24))
    wanted = supersampled(turned_inks(inks, degrees, 3.0 / size), corner, pitch, (24, 24), 16)
    off = np.abs(pixels.astype(np.float64) - wanted)
    assert off.mean() < 1.5
    assert off.max() < 40.0


def test_a_plain_sett_is_one_repeat_as_it_stands() -> None:
    sett = parse_sett("B24 W4 R8")
    assert sett.stripes == (("B", 24), ("W", 4), ("R", 8))
    assert (sett.letters, sett.threads) == (("B", "W", "R"), 36)


def test_half_a_sett_turns_at_its_pivots_which_stand_once() -> None:
    """Common practice, no published source: counts at pivots, marked by /, are whole ones."""
    sett = parse_sett("B/24 W4 R/8")
    assert sett.stripes == (("B", 24), ("W", 4), ("R", 8), ("W", 4))


def test_a_tartan_of_half_a_sett_is_the_same_both_ways() -> None:
    drawn = Coordinate(draw_figure(TARTAN, 21.0, 4, "", SETT), INKS)
    x, y = drawn.figure.centre_mm
    middle = 94.5 * MM_PER_INCH / 300.0
    around = drawn.sample(x - middle, y - middle, 16.0, 16.0, 300.0, shape=(189, 189))
    assert farthest(around, around[::-1, ::-1].astype(np.float64)) <= 1.0
    assert farthest(around, around.transpose(1, 0, 2).astype(np.float64)) <= 1.0


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("B24", "only one colour"),
        ("24B W4", '"24B" is not a stripe'),
        ("B24, W4", '"B24," is not a stripe'),
        ("B24 W", '"W" is not a stripe'),
        ("B24 W-4", '"W-4" is not a stripe'),
        ("B24 W0 R2", '"W0" has 0 threads'),
        ("B24 W4000", '"W4000" has 4000 threads'),
        ("B24 B4 W2", 'two stripes of "B" side by side'),
        ("B24 W4 B8", 'begins and ends in "B"'),
        ("B/24 W4 R8", "two pivots at its ends"),
        ("B24 W/4 R8", "two pivots at its ends"),
        ("B/24 W/4 R/8", "two pivots at its ends"),
        (" ".join(["B2 W2"] * 60), "has 120 stripes"),
    ],
)
def test_a_sett_that_cannot_be_read_is_refused(text: str, said: str) -> None:
    with pytest.raises(ArtworkError) as caught:
        parse_sett(text)
    assert said in caught.value.line()
    assert caught.value.remedy


@pytest.mark.parametrize("kind", [kind for kind in COORDINATE_KINDS if kind != ALL_OVER])
def test_every_kind_is_drawn_in_all_its_numbers_of_colours(kind: str) -> None:
    """Its middle looks the same on both sides, so that a sticker's two edges match."""
    part = COORDINATE_KINDS[kind]
    setts = {2: "A/5 B/3", 3: "A/5 B2 C/4"}
    for style in part.styles or {"": None}:
        for colours in range(2, min(part.most_colours, 3) + 1):
            figure = draw_figure(kind, 5.0, colours, style, setts[colours])
            drawn = Coordinate(figure, INKS[:colours])
            left = figure.centre_mm[0] - 25.5 * 0.2
            across = drawn.sample(left, 1.0, 1.0, 1.0, 127.0, shape=(9, 51))
            if colours == 2 and kind != "gradient":  # that begins and ends in other colours
                assert farthest(across, across[:, ::-1].astype(np.float64)) <= 1.0, style
            assert 0.0 < figure.narrowest_mm <= 5.0


def test_a_gradient_goes_evenly_from_colour_to_colour_without_a_visible_step() -> None:
    """Else a sticker shows bands where it should pass from colour to colour.

    Over a box's height a row differs from the next by one level of 255 at most, the least that a
    file can hold, and by about 1 in CIEDE2000 (just seen side by side: common practice, no
    published source).
    """
    pitch = MM_PER_INCH / 300.0
    for pair in itertools.permutations(INKS, 2):
        high = 48.0
        drawn = Coordinate(draw_figure("gradient", 2.0 * high, 2), pair)
        rows = round(high / pitch)
        line = drawn.sample(3.0, 0.0, pitch, high, 300.0, shape=(rows, 1))[:, 0]
        ends = [parse_hex(one) for one in pair]
        assert farthest(line[[0, -1]], np.array(ends, dtype=np.float64)) <= 1.0
        labs = srgb_to_lab(line)
        assert np.abs(np.diff(line.astype(int), axis=0)).max() <= 1
        assert de2000(labs[:-1], labs[1:]).max() < 1.1
        ok = lab_to_oklab(labs)
        even = np.linspace(ok[0], ok[-1], rows)
        assert np.abs(ok - even).max() < 1.0
    across = Coordinate(draw_figure("gradient", 20.0, 3, "across"), INKS[:3])
    shown = across.sample(-5.0, 2.0, 30.0, 3.0, 300.0)
    assert (shown == shown[:1]).all()
    middle = across.one_tile(1, 2000)[0, [0, 499, 999, 1499]]
    wanted = np.array([parse_hex(INKS[i]) for i in (0, 1, 2, 1)], dtype=np.float64)
    assert farthest(middle, wanted) <= 1.0


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("gingham", 5.0, 4), 'colours: "gingham" does not take 4 colours'),
        (("stripe", 5.0, 4, "ticking"), 'colours: "ticking" does not take 4 colours'),
        (("dots", 5.0, 2, "third-drop"), '"third-drop" is not a style of kind "dots"'),
        ((TARTAN, 5.0, 3, "", "A4 B2"), "colours: has 3 colours, and its sett 2"),
    ],
)
def test_what_a_kind_cannot_be_is_refused(given: tuple, said: str) -> None:
    with pytest.raises(ArtworkError) as caught:
        draw_figure(*given)
    assert said in caught.value.line()
