"""Each limit of roles, uses, contrasts and pairs, just inside and just outside.

Passing one unnoticed, a maker gets words that nobody reads on the sticker, an accent as a ground,
or two colours for two kinds of day that a colour-blind friend cannot tell apart.
"""

from __future__ import annotations

import numpy as np
import pytest

from palette.choose import Palette, Role, Swatch, fitness, roles_for
from palette.errors import PaletteError
from palette.pairs import LostPair, Pair, colour_pairs, lost_pairs, pairs
from palette.pairs.cvd import Sight, simulate
from palette.press import HUES, LEVELS, Gamut
from palette.space import contrast_with_pens, de2000, hex_to_lab, ratio
from palette.space.legibility import luminance

WHITE = (100.0, 0.0, 0.0)


def role_of(lab: tuple[float, float, float], share: float = 0.2, ground: float = 0.8) -> Role:
    """Return the role of a colour on a white ground."""
    return roles_for(np.array([WHITE, lab]), np.array([[ground], [share]]))[1]


# ---- roles: common practice, no published source


@pytest.mark.parametrize(
    ("lab", "role"),
    [
        ((41.99, 20.0, 0.0), Role.DEEP),
        ((42.0, 20.0, 0.0), Role.MID),
        ((73.99, 20.0, 0.0), Role.MID),
        ((74.0, 20.0, 0.0), Role.LIGHT),
        ((50.0, 8.99, 0.0), Role.NEUTRAL),
        ((50.0, 9.0, 0.0), Role.MID),
        ((50.0, 0.0, -8.99), Role.NEUTRAL),
        ((50.0, 0.0, -9.0), Role.MID),
        ((50.0, -6.4, 6.4), Role.MID),  # chroma is of both axes: 9.05
        ((20.0, 3.0, 3.0), Role.NEUTRAL),  # near black without a hue is not a deep colour
        ((95.0, 3.0, 3.0), Role.NEUTRAL),
    ],
)
def test_lightness_and_chroma_name_a_role(lab: tuple[float, float, float], role: Role) -> None:
    """A palette page that calls grey a colour, or navy a middle tone, picks the wrong fills."""
    assert role_of(lab) is role


@pytest.mark.parametrize(
    ("chroma", "share", "role"),
    [
        (30.0, 0.0499, Role.ACCENT),
        (30.0, 0.05, Role.MID),
        (29.99, 0.0499, Role.MID),
        (80.0, 0.001, Role.ACCENT),
    ],
)
def test_an_accent_is_small_and_strong(chroma: float, share: float, role: Role) -> None:
    """Otherwise the colour the eye should go to first covers whole stickers."""
    assert role_of((50.0, chroma, 0.0), share) is role
    assert role_of((50.0, 0.0, -chroma), share) is role


@pytest.mark.parametrize(
    ("shares", "role"),
    [
        ((0.2, 0.0, 0.0, 0.0, 0.0), Role.ACCENT),  # a fifth of one tile of five
        ((0.32, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0), Role.ACCENT),
        ((0.34, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0), Role.MID),  # a main colour of that tile
        ((0.3, 0.0, 0.0), Role.MID),  # a tenth of all the artwork
    ],
)
def test_an_accent_is_little_of_the_set_and_no_tiles_main_colour(
    shares: tuple[float, ...], role: Role
) -> None:
    """Held to be small in every tile, no colour of seventeen tiles was called an accent."""
    labs = np.array([WHITE, (50.0, 60.0, 0.0)])
    own = np.array(shares)
    assert roles_for(labs, np.stack([1.0 - own, own]))[1] is role


@pytest.mark.parametrize(("lighter", "role"), [(15.0, Role.MID), (15.25, Role.ACCENT)])
def test_an_accent_stands_off_from_every_other_colour(lighter: float, role: Role) -> None:
    """CIEDE2000 12: a red beside nearly the same red does not draw the eye."""
    labs = np.array([WHITE, (60.0, 50.0, 0.0), (60.0 + lighter, 50.0, 0.0)])
    assert (de2000(labs[1], labs[2]) >= 12.0) == (role is Role.ACCENT)
    found = roles_for(labs, np.array([[0.7], [0.28], [0.02]]))
    assert found == (Role.GROUND, Role.MID, role if role is Role.ACCENT else Role.LIGHT)


def test_the_ground_is_the_largest_over_all_tiles() -> None:
    """Not the largest in one tile, nor the first: motifs would be laid on a motif's colour."""
    labs = np.array([(50.0, 20.0, 0.0), WHITE, (30.0, 40.0, 0.0)])
    shares = np.array([[0.7, 0.0], [0.2, 0.6], [0.1, 0.4]])
    assert roles_for(labs, shares) == (Role.MID, Role.GROUND, Role.DEEP)
    assert roles_for(np.zeros((0, 3)), np.zeros((0, 1))) == ()
    assert roles_for(labs[2:], np.ones((1, 1))) == (Role.GROUND,)


# ---- uses: WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1)

FULL, PANEL, LIST, TEXT = "full fill", "behind a white panel", "checklist", "text"


@pytest.mark.parametrize(
    ("colour", "uses"),
    [
        ("#ffffff", [FULL]),
        ("#e6e6e6", [FULL]),  # 1.248 on white: common practice, no published source
        ("#e5e5e5", [FULL, PANEL]),  # 1.260
        ("#959595", [FULL, PANEL]),  # 2.995
        ("#949494", [FULL, PANEL, LIST]),  # 3.033
        ("#828282", [FULL, PANEL, LIST]),  # 4.529 under a black pen
        ("#818181", [PANEL, LIST]),  # 4.468
        ("#777777", [PANEL, LIST]),  # 4.478 on white
        ("#767676", [PANEL, LIST, TEXT]),  # 4.542
        ("#000000", [PANEL, LIST, TEXT]),
    ],
)
def test_a_use_ends_where_it_can_no_longer_be_read(colour: str, uses: list[str]) -> None:
    """Else a checklist is printed whose boxes and words nobody sees, on paid sticker paper."""
    (found,) = fitness(hex_to_lab(colour)[None])
    assert [str(use) for use in found.uses] == uses
    assert found.hex == colour


def test_a_colours_best_pen_is_the_one_that_shows_most() -> None:
    """The advice which pen to take: a grey pencil on black is bad, the others are worse."""
    black, white = fitness(np.stack([hex_to_lab("#000000"), hex_to_lab("#ffffff")]))
    assert (white.best_pen, black.best_pen) == ("black pen", "grey pencil")
    assert white.best_pen_ratio == pytest.approx(max(contrast_with_pens("#ffffff").values()))
    assert white.white_ratio == 1.0
    assert black.white_ratio == pytest.approx(21.0)


# ---- contrast: WCAG 2.2, definitions of relative luminance and contrast ratio


def by_the_definition(colour: str) -> float:
    """Return the relative luminance as the standard's text reads, with its older threshold."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


@pytest.mark.parametrize("colour", ["#ff0000", "#00ff00", "#0000ff", "#0a0b0a", "#157a80", "#fff"])
def test_luminance_and_contrast_are_the_standards(colour: str) -> None:
    plain = "#ffffff" if colour == "#fff" else colour
    there = by_the_definition(plain)
    assert luminance(colour) == pytest.approx(there, abs=1e-6)
    assert ratio(colour, "#ffffff") == pytest.approx(1.05 / (there + 0.05), abs=1e-5)
    assert ratio("#ffffff", colour) == ratio(colour, "#ffffff")
    assert ratio("#000000", colour) == pytest.approx((there + 0.05) / 0.05, abs=1e-4)


def test_the_pens_are_those_that_the_docs_speak_of() -> None:
    """Their colours are from memory of common inks, no published source."""
    on_white = {"black pen": 17.40, "blue-black pen": 14.26, "grey pencil": 6.90}
    assert contrast_with_pens("#ffffff") == pytest.approx(on_white, abs=0.02)


def test_what_is_no_colour_has_no_contrast() -> None:
    for text in ("reddish", "#12345", ""):
        with pytest.raises(PaletteError):
            ratio(text, "#ffffff")


# ---- pairs on screen and on paper


class GreyPress:
    """Everything prints at its lightness, without colour, and black as a grey of L* 20."""

    name = "grey"
    limits = "Only for tests."
    gamut = Gamut(np.zeros((LEVELS, HUES)))
    black_l = 20.0

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return lab * [1.0, 0.0, 0.0]

    def shift(self, lab: np.ndarray) -> np.ndarray:
        return de2000(lab, self.to_print(lab))

    def nearest(self, lab: np.ndarray) -> np.ndarray:
        return self.to_print(lab)

    def nearest_of_hue(self, lab: np.ndarray) -> np.ndarray:
        return self.to_print(lab)


def grey_on_paper(lightness: float) -> list[float]:
    """Return what a lightness is beside paper when black is L* 20, by the definition of L*.

    Light is shared out evenly between that black and the paper (ISO 18619:2015).
    """
    black, light = (((one + 16.0) / 116.0) ** 3 for one in (20.0, lightness))
    return [116.0 * (light * (1.0 - black) + black) ** (1 / 3) - 16.0, 0.0, 0.0]


def expected(a: str, b: str) -> Pair:
    """Return what a pair must be, colour by colour; in print as both lie on the paper."""
    screen = hex_to_lab(a), hex_to_lab(b)
    printed = [np.array(grey_on_paper(lab[0])) for lab in screen]
    there = [pytest.approx(float(de2000(*two)), abs=1e-3) for two in (screen, printed)]
    return Pair(a, b, there[0], there[1])  # type: ignore[arg-type]


def test_a_palettes_pairs_are_told_on_screen_and_with_a_press_in_print() -> None:
    """Two fills that look different and print alike: only the second figure says so."""
    palette = Palette((swatch("#c0392b"), swatch("#537a37"), swatch("#2347b8")))
    of_all = [("#c0392b", "#537a37"), ("#c0392b", "#2347b8"), ("#537a37", "#2347b8")]
    assert pairs(palette, GreyPress()) == tuple(expected(*two) for two in of_all)
    plain = pairs(palette)
    assert [(one.a, one.b) for one in plain] == of_all
    assert {one.de2000_printed for one in plain} == {None}
    assert [one.de2000 for one in plain] == [expected(*two).de2000 for two in of_all]


def test_pairs_of_colours_are_each_with_each_once() -> None:
    """A pair left out is two fills that print alike without a word."""
    red, green, blue = "#c0392b", "#537a37", "#2347b8"
    found = colour_pairs([red, green, red, blue, green], GreyPress())
    assert found == (expected(red, green), expected(red, blue), expected(green, blue))
    assert colour_pairs([red, green], GreyPress()) == (expected(red, green),)


@pytest.mark.parametrize("colours", [[], ["#c0392b"], ["#c0392b", "#c0392b"]])
def test_fewer_than_two_colours_are_no_pair(colours: list[str]) -> None:
    assert colour_pairs(colours, GreyPress()) == ()


def test_a_pair_of_what_is_no_colour_is_refused() -> None:
    with pytest.raises(PaletteError):
        colour_pairs(["#c0392b", "reddish"], GreyPress())


# ---- other sights: Machado, Oliveira, Fernandes 2009


@pytest.mark.parametrize("sight", list(Sight))
def test_a_sight_is_that_of_another_implementation(sight: Sight) -> None:
    """Coloraide's, which takes its matrices from the same paper; greys are seen by everyone."""
    coloraide = pytest.importorskip("coloraide")
    rgb8 = np.random.default_rng(3).integers(0, 256, (12, 3), dtype=np.uint8)
    for colour, seen in zip(rgb8, simulate(rgb8, sight), strict=True):
        there = coloraide.Color("srgb", [float(v) / 255 for v in colour])
        there = there.filter(str(sight), method="machado").convert("srgb")
        there = there.clip().coords()
        np.testing.assert_allclose(seen / 255.0, there, atol=0.51 / 255)
    greys = np.repeat(np.arange(256, dtype=np.uint8)[:, None], 3, axis=1)
    np.testing.assert_array_equal(simulate(greys, sight), greys)


def swatch(colour: str) -> Swatch:
    lightness, a, b = (float(v) for v in hex_to_lab(colour))
    return Swatch(colour, colour, (lightness, a, b), 0.5, Role.MID, {})


def lost(*colours: str) -> tuple[LostPair, ...]:
    return lost_pairs(Palette(tuple(swatch(colour) for colour in colours)))


@pytest.mark.parametrize(
    ("a", "b", "sight", "apart", "seen", "is_lost"),
    [
        # told apart by most from 10 on: common practice, no published source
        ("#13b627", "#78b300", Sight.PROTAN, 10.34, 0.45, True),
        ("#45b8e8", "#7fb2ed", Sight.PROTAN, 9.59, 1.44, False),
        ("#3d7d0a", "#647403", Sight.DEUTAN, 9.90, 0.98, False),
        ("#4c9b45", "#439c71", Sight.TRITAN, 10.03, 3.34, True),
        # lost under 5
        ("#5f82c2", "#ab86c4", Sight.PROTAN, 22.15, 4.75, True),
        ("#d7d982", "#4ff272", Sight.PROTAN, 21.52, 5.03, False),
        ("#d7d982", "#6df79a", Sight.DEUTAN, 21.61, 4.66, True),
        ("#d7d982", "#f3ad7f", Sight.DEUTAN, 25.31, 5.13, False),
        ("#5f82c2", "#31899f", Sight.TRITAN, 15.87, 4.81, True),
        ("#45b8e8", "#49cfcd", Sight.TRITAN, 16.51, 5.04, False),
    ],
)
def test_a_pair_is_lost_between_two_limits(
    a: str, b: str, sight: Sight, apart: float, seen: float, is_lost: bool
) -> None:
    """Else a friend who sees colours differently takes one kind of day for another, unwarned."""
    there = de2000(*(hex_to_lab(colour) for colour in (a, b)))
    assert there == pytest.approx(apart, abs=0.006)
    found = {one.sight: one for one in lost(a, b)}
    assert (sight in found) == is_lost
    if is_lost:
        one = found[sight]
        assert (one.a, one.b) == (a, b)
        assert (one.de2000, one.de2000_seen) == pytest.approx((apart, seen), abs=0.006)


def test_a_lost_pair_is_told_once_and_no_colour_is_lost_to_itself() -> None:
    twice = lost("#13b627", "#2347b8", "#78b300")
    assert [(one.a, one.b) for one in twice if one.sight is Sight.PROTAN] == [
        ("#13b627", "#78b300")
    ]
    assert lost("#13b627") == ()
    assert lost() == ()
    assert pairs(Palette(())) == ()
