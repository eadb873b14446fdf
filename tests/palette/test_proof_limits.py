"""Each limit of a proof, just inside and just outside: what is reported, and what is not.

Past one of these unnoticed, a maker pays for a sheet whose green came out olive, whose lines broke
up, or whose ink never dried, after the proof had said that all was well.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d

from palette.errors import ProfileError
from palette.press import AS_SEEN, HUES, LEVELS, Gamut, Press, open_press
from palette.proof import (
    HEAVY,
    MAX_PLACES,
    assess_colours,
    assess_fill,
    coverage,
    mean_coverage,
    prints_from_screen,
    repair_pixels,
    repair_plain,
    share_heavy,
    share_of_black,
    shift_map,
    thin_strokes,
)
from palette.proof.assess import grade_of
from palette.proof.repair import (
    cusp_lightness,
    draw_in,
    prints_its_prints,
    repair_colours,
    screen_gamut,
)
from palette.space import (
    de2000,
    from_polar,
    hex_to_lab,
    lab_to_oklab,
    lab_to_srgb,
    oklab_to_lab,
    srgb_to_lab,
    to_polar,
)
from palette.surfaces import DEFAULT_SURFACE, SURFACES

PROFILE = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"


@dataclass(frozen=True)
class Bins:
    lab: np.ndarray
    weight: np.ndarray


class FixedPress:
    """Shifts by as much as the colour's a*, and prints that much darker."""

    name = "fixed"
    limits = "Only for tests."
    gamut = Gamut(np.zeros((LEVELS, HUES)))
    black_l = 0.0

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return lab - lab[:, 1:2] * [1.0, 0.0, 0.0]

    def shift(self, lab: np.ndarray) -> np.ndarray:
        return lab[:, 1].copy()

    def nearest(self, lab: np.ndarray) -> np.ndarray:
        return lab + np.array([5.0, 0.0, 0.0])

    def nearest_of_hue(self, lab: np.ndarray) -> np.ndarray:
        return lab + np.array([-9.0, 0.0, 0.0])


class TruePress(FixedPress):
    """Prints what is asked for."""

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return lab

    def shift(self, lab: np.ndarray) -> np.ndarray:
        return de2000(lab, self.to_print(lab))


class DarkPress(TruePress):
    """Prints each colour at a share of its lightness."""

    def __init__(self, share: float) -> None:
        self.share = share

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return lab * [self.share, 1.0, 1.0]


class TurningPress(TruePress):
    """Prints each colour at a hue some degrees on, in OKLab."""

    def __init__(self, degrees: float) -> None:
        self.turn = np.array([0.0, 0.0, np.radians(degrees)])

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return oklab_to_lab(from_polar(to_polar(lab_to_oklab(lab)) + self.turn))


def fill(*shifts_and_weights: tuple[float, float]) -> Bins:
    lab = np.array([[50.0, shift, 0.0] for shift, _ in shifts_and_weights])
    return Bins(lab, np.array([weight for _, weight in shifts_and_weights]))


# ---- colours and fills: kitloom's choice, common practice, no published source


@pytest.mark.parametrize(
    ("shift", "grade", "in_gamut"),
    [
        (1.49, "as seen", True),
        (1.5, "borderline", True),
        (2.99, "borderline", True),
        (3.0, "borderline", False),
        (3.5, "borderline", False),
        (3.51, "will shift", False),
    ],
)
def test_a_shift_is_graded_at_its_limits(shift: float, grade: str, in_gamut: bool) -> None:
    """A colour said to print as seen that does not is a sheet printed twice."""
    (found,) = assess_colours(np.array([[50.0, shift, 0.0]]), FixedPress())
    assert (found.shift_de2000, found.grade, found.in_gamut) == (shift, grade, in_gamut)
    assert grade_of(shift) == grade
    assert AS_SEEN == 1.5


def test_a_colour_is_shown_as_asked_for_as_printed_and_as_its_nearest() -> None:
    """Each of the figures belongs to its own colour, and no other's."""
    first, second = assess_colours(["#808080", "#c08070"], FixedPress())
    assert first.hex == first.printed_hex == "#808080"  # a* is 0: nothing moves
    grey = hex_to_lab("#808080")
    lighter = hex_to_lab(first.nearest_hex)
    assert lighter == pytest.approx(grey + np.array([5.0, 0.0, 0.0]), abs=0.3)  # 8 bits
    assert first.nearest_de2000 == pytest.approx(float(de2000(grey, lighter)), abs=1e-9)
    darker = hex_to_lab(first.same_hue_hex)
    assert darker == pytest.approx(grey + np.array([-9.0, 0.0, 0.0]), abs=0.3)
    assert first.same_hue_de2000 == pytest.approx(float(de2000(grey, darker)), abs=1e-9)
    red = hex_to_lab("#c08070")
    assert second.shift_de2000 == pytest.approx(red[1])
    assert hex_to_lab(second.printed_hex)[0] == pytest.approx(red[0] - red[1], abs=0.3)
    assert (second.hex, second.in_gamut) == ("#c08070", False)


@pytest.mark.parametrize(
    ("degrees", "kept"), [(0.0, True), (3.99, True), (4.01, False), (-3.99, True), (-4.01, False)]
)
def test_a_print_keeps_its_hue_within_4_degrees(degrees: float, kept: bool) -> None:
    """Either way round, and though hue 0 is hue 360: else a turned print is advised as it is."""
    hues = np.radians([1.0, 120.0, 359.0])
    colours = oklab_to_lab(from_polar(np.array([[60.0, 12.0, hue] for hue in hues])))
    found = assess_colours(colours, TurningPress(degrees))
    assert [one.print_keeps_hue for one in found] == [kept] * 3


@pytest.mark.parametrize(("shift", "share"), [(2.99, 0.0), (3.0, 0.25)])
def test_area_out_of_gamut_begins_at_3(shift: float, share: float) -> None:
    found = assess_fill(fill((0.0, 0.75), (shift, 0.25)), FixedPress())
    assert found.share_out_of_gamut == pytest.approx(share)


@pytest.mark.parametrize(("shift", "share"), [(6.0, 0.0), (6.01, 0.25)])
def test_area_far_off_begins_over_6(shift: float, share: float) -> None:
    found = assess_fill(fill((0.0, 0.75), (shift, 0.25)), FixedPress())
    assert found.share_over_6 == pytest.approx(share)


@pytest.mark.parametrize(("weight", "p95"), [(0.9499, 9.0), (0.9501, 1.0)])
def test_the_95_per_cent_are_of_the_area(weight: float, p95: float) -> None:
    """In whatever order the colours come, and though the shares do not quite sum to 1."""
    for scale in (1.0, 0.5, 1.001):
        bins = fill((9.0, (1 - weight) * scale), (1.0, weight * scale))
        assert assess_fill(bins, FixedPress()).p95_shift_de2000 == p95


def test_a_plain_fill_has_its_only_shift_everywhere() -> None:
    found = assess_fill(fill((4.0, 1.0)), FixedPress())
    assert found.p95_shift_de2000 == found.mean_shift_de2000 == 4.0
    assert found.share_out_of_gamut == 1.0


def test_a_shift_map_is_in_de2000() -> None:
    """Black moves by 0, every other pixel by how much darker it prints, to a tenth.

    A grey of L* 53.6 by hand: 5.36 / (1 + 0.015 * 0.91 ** 2 / sqrt(20 + 0.91 ** 2)) = 5.34.
    """
    colours = [[0, 0, 0], [128, 128, 128], [140, 125, 125], [30, 160, 90], [255, 255, 255]]
    pixels = np.array([colours], dtype=np.uint8)
    found = shift_map(pixels, DarkPress(0.9))
    assert found.dtype == np.float32
    labs = srgb_to_lab(pixels)[0]
    np.testing.assert_allclose(found[0], de2000(labs, labs * [0.9, 1.0, 1.0]), atol=0.1)
    assert found[0, :2] == pytest.approx([0.0, 5.34], abs=0.1)
    far = shift_map(pixels, DarkPress(0.5))
    assert far[0, 4] == pytest.approx(25.0, abs=0.5)  # 36.5, held at what a byte of tenths holds


# ---- ink: total area coverage, 0 to 4; half of the common grey printed black


@pytest.mark.parametrize(
    ("rgb", "total"),
    [
        # c, m, y = 1 - rgb; black is half of the least; the rest of each and the black: by hand
        ((0.2, 0.5, 0.6), 0.8 + 0.5 + 0.4 - 3 * 0.2 + 0.2),
        ((0.0, 0.0, 0.0), 2.0),
        ((1.0, 1.0, 1.0), 0.0),
        ((1.0, 0.0, 0.0), 2.0),
        ((0.5, 0.5, 0.5), 1.0),
    ],
)
def test_ink_is_estimated_as_the_docs_say(rgb: tuple[float, ...], total: float) -> None:
    """Common practice, no published source."""
    lab = srgb_to_lab(np.array([rgb, (0.0, 1.0, 1.0)]))
    assert coverage(lab, TruePress()) == pytest.approx([total, 1.0], abs=1e-6)
    assert share_of_black(total, TruePress()) == pytest.approx(total / 2.0, abs=1e-6)


class InkedPress(TruePress):
    """Knows its inks: as much of each as the colour's a*, b* and L* say."""

    name = "inked"

    def inks(self, lab: np.ndarray) -> np.ndarray:
        return np.concatenate([lab, 0 * lab[:, :1]], axis=1)


@pytest.mark.parametrize("surface", SURFACES)
def test_plain_black_is_all_of_black(surface: str) -> None:
    press = open_press(surface)
    black, grey = (float(coverage(np.array([[level, 0.0, 0.0]]), press)[0]) for level in (0, 60))
    assert share_of_black(black, press) == pytest.approx(1.0)
    assert share_of_black(grey, press) == pytest.approx(grey / black)


def test_where_a_press_knows_its_inks_they_are_counted() -> None:
    lab = np.array([[1.0, 0.5, 0.25], [0.0, 0.0, 0.1]])
    np.testing.assert_allclose(coverage(lab, InkedPress()), [1.75, 0.1])
    bins = Bins(lab, np.array([0.25, 0.75]))
    assert mean_coverage(bins, InkedPress()) == pytest.approx(0.25 * 1.75 + 0.75 * 0.1)


@pytest.mark.parametrize(("ink", "share"), [(2.4, 0.0), (2.41, 0.3)])
def test_ink_is_heavy_over_240_per_cent(ink: float, share: float) -> None:
    """Value from memory, of matt sticker paper. More than that smears before it dries."""
    bins = Bins(np.array([[ink, 0.0, 0.0], [0.1, 0.0, 0.0]]), np.array([0.3, 0.7]))
    assert share_heavy(bins, InkedPress()) == pytest.approx(share)
    assert HEAVY == 2.4
    assert share_heavy(bins, InkedPress(), limit=0.05) == pytest.approx(1.0)


# ---- thin lines: print-house guidance, common practice, no published standard


def bar(
    width: int, *, dark: bool = True, length: int = 80, grey: tuple[int, int] = (255, 0)
) -> np.ndarray:
    """Return an upright bar in an 80 x 90 tile, dark on light or light on dark."""
    ground, ink = grey if dark else grey[::-1]
    pixels = np.full((80, 90, 3), ground, dtype=np.uint8)
    pixels[:length, 30 : 30 + width] = ink
    return pixels


def kinds(pixels: np.ndarray, dpi: float) -> list[str]:
    return [stroke.kind for stroke in thin_strokes(pixels, dpi)]


MM = 25.4


@pytest.mark.parametrize(
    ("dark", "limit_mm", "kind"), [(True, 0.18, "positive"), (False, 0.35, "reversed")]
)
def test_a_line_is_thin_under_its_limit(dark: bool, limit_mm: float, kind: str) -> None:
    """Five pixels that are a little less, or just as much, as a press holds."""
    dpi = 5 * MM / limit_mm
    assert kinds(bar(5, dark=dark), dpi * 1.001) == [kind]
    assert kind not in kinds(bar(5, dark=dark), dpi)
    assert kind not in kinds(bar(5, dark=dark), dpi * 0.999)


def test_no_line_is_thinner_than_a_pixel_that_holds() -> None:
    """At 70 per inch one pixel is 0.36 mm, at 73 it is 0.348 mm: less than a light line needs."""
    assert kinds(bar(1, dark=False), 72.5) == []
    assert kinds(bar(1, dark=False), 73.0) == ["reversed"]


def grey_of(lightness: float) -> int:
    """Return the grey, 0 to 255, that is nearest to an L*."""
    greys = np.repeat(np.arange(256, dtype=np.uint8)[:, None], 3, axis=1)
    return int(np.argmin(np.abs(srgb_to_lab(greys)[:, 0] - lightness)))


@pytest.mark.parametrize("dark", [True, False])
@pytest.mark.parametrize(("step", "found"), [(24.4, 0), (25.6, 1)])
def test_a_line_is_told_from_texture_by_25_of_lightness(
    step: float, found: int, dark: bool
) -> None:
    """Fainter ones are the grain of a watercolour, of which nobody wants a list."""
    pixels = bar(1, dark=dark, grey=(grey_of(70.0), grey_of(70.0 - step)))
    strokes = thin_strokes(pixels, 300)
    assert len(strokes) == found
    for stroke in strokes:
        assert stroke.contrast == pytest.approx(step, abs=0.7)


@pytest.mark.parametrize(("length", "found"), [(17, 0), (18, 1)])
def test_a_line_is_six_limits_long(length: int, found: int) -> None:
    """0.18 mm at 300 per inch are 3 pixels; a shorter mark is the tip of a leaf."""
    assert len(kinds(bar(2, length=length), 300)) == found
    across = np.ascontiguousarray(bar(2, length=length).transpose(1, 0, 2))
    assert len(kinds(across, 300)) == found


def test_the_longest_lines_are_told_and_twenty_at_most() -> None:
    pixels = np.full((40, 300, 3), 255, dtype=np.uint8)
    for i in range(24):
        pixels[: 18 + i % 12, 6 + 12 * i] = 0
    strokes = thin_strokes(pixels, 300)
    heights = [stroke.height_px for stroke in strokes]
    assert len(strokes) == MAX_PLACES == 20
    assert heights == sorted(heights, reverse=True)
    assert min(heights) == 20  # the four of 18 and 19 pixels are left out
    assert [s.x_px for s in strokes if s.height_px == 29] == [6 + 12 * 11, 6 + 12 * 23]


def test_a_place_is_where_its_line_is_darkest() -> None:
    """The close-up that a maker is shown must have the line in it."""
    pixels = np.full((60, 90, 3), 255, dtype=np.uint8)
    pixels[10:50, 40:42] = 120
    pixels[33, 41] = 0
    (stroke,) = thin_strokes(pixels, 300)
    assert (stroke.x_px, stroke.y_px, stroke.width_px, stroke.height_px) == (40, 10, 2, 40)
    assert stroke.at_px == (41, 33)
    assert stroke.contrast == pytest.approx(100.0, abs=0.1)
    light = 255 - pixels
    (stroke,) = [one for one in thin_strokes(light, 300) if one.kind == "reversed"]
    assert stroke.at_px == (41, 33)


def test_two_lines_that_touch_at_a_corner_are_one() -> None:
    """A slanted hairline is a stair of single pixels, and long."""
    pixels = np.full((60, 60, 3), 255, dtype=np.uint8)
    at = np.arange(20)
    pixels[10 + at, 10 + at] = 0
    assert [(s.width_px, s.height_px) for s in thin_strokes(pixels, 300)] == [(20, 20)]


@pytest.mark.parametrize("dpi", [2399.0, 2400.0, 3600.0])
def test_a_tile_finer_than_any_printer_is_measured_reduced(dpi: float) -> None:
    """The place is told in the tile's own pixels, and a line as thin is still thin."""
    pixels = np.full((720, 96, 3), 255, dtype=np.uint8)
    pixels[120:600, 48:60] = 0  # 12 pixels: 0.127 mm at 2,400, 0.085 mm at 3,600
    (stroke,) = thin_strokes(pixels, dpi)
    assert (stroke.x_px, stroke.y_px, stroke.width_px, stroke.height_px) == (48, 120, 12, 480)
    assert (48 <= stroke.at_px[0] < 60, 120 <= stroke.at_px[1] < 600) == (True, True)


def test_a_place_on_a_reduced_tile_is_on_its_line() -> None:
    """Where it is darkest: else the close-up shows bare ground beside the line."""
    pixels = np.full((720, 96, 3), 255, dtype=np.uint8)
    pixels[120:600, 48:60] = 120
    pixels[300:306, 51:54] = 0
    (stroke,) = thin_strokes(pixels, 3600.0)
    assert (pixels[stroke.at_px[1], stroke.at_px[0]] == 0).all()


def test_a_tile_that_does_not_divide_is_reduced_by_less() -> None:
    """97 pixels would leave a part of one, and the tile would no longer repeat."""
    for side, dpi, start, length in (
        (97, 3600.0, 52, 12),  # by 3 and 2 it does not: told to the pixel
        (400, 7200.0, 50, 15),  # by 6 it does not, by 5 it does: told to 5 pixels
        (402, 7200.0, 48, 18),
    ):
        pixels = np.full((3600, side, 3), 255, dtype=np.uint8)
        pixels[:, 52:64] = 0
        (stroke,) = thin_strokes(pixels, dpi)
        assert (stroke.x_px, stroke.width_px) == (start, length)
        (stroke,) = thin_strokes(np.ascontiguousarray(pixels.transpose(1, 0, 2)), dpi)
        assert (stroke.y_px, stroke.height_px) == (start, length)


@pytest.mark.parametrize(("width", "found"), [(48, 1), (51, 0)])
def test_a_light_line_is_as_thin_on_a_reduced_tile(width: int, found: int) -> None:
    """At 3,600 per inch 0.35 mm are 49.6 pixels, which are told in threes: 48 or 51."""
    pixels = np.zeros((720, 600, 3), dtype=np.uint8)
    pixels[:, 300 : 300 + width] = 255
    assert len(thin_strokes(pixels, 3600.0)) == found


def test_a_large_tile_is_measured_as_a_small_one() -> None:
    """It is worked through in bands: a line beyond the first is found too."""
    pixels = np.full((700, 400, 3), 255, dtype=np.uint8)
    pixels[600:660, 200] = 0
    (stroke,) = thin_strokes(pixels, 300)
    assert (stroke.x_px, stroke.y_px, stroke.height_px) == (200, 600, 60)


# ---- which press


def test_a_chart_wins_over_a_profile_and_a_profile_over_a_surface(tmp_path: Path) -> None:
    """A maker who measured the printer must not get a stand-in's forecast."""
    by_profile = open_press("matt", PROFILE)
    assert by_profile.name != open_press("matt").name
    missing = tmp_path / "mine.txt"
    with pytest.raises(ProfileError, match=r"mine\.txt"):
        open_press("matt", PROFILE, chart=missing)


def test_the_surface_is_glossy_unless_another_is_named() -> None:
    assert open_press() is open_press(DEFAULT_SURFACE) is open_press("glossy")
    assert open_press("matt") is not open_press("glossy")
    assert {open_press(name).name.split()[0] for name in SURFACES} == set(SURFACES)


def test_an_unknown_surface_says_what_where_and_how_to_mend() -> None:
    with pytest.raises(ProfileError) as refused:
        open_press("velvet")
    assert str(refused.value) == (
        'press.surface: "velvet" is not a surface. Write one of glossy, matt, or name a printer '
        "profile."
    )


def test_a_print_is_drawn_only_through_a_profile_that_a_driver_can_be_sent() -> None:
    """Ink numbers sent as a picture print as a garish sheet."""
    assert open_press("matt", PROFILE).name
    with pytest.raises(ProfileError, match="no home printer's driver can be sent"):
        open_press("matt", PROFILE, convert=True)


@pytest.mark.parametrize(
    "other", [{"intent": "absolute"}, {"intent": "perceptual"}, {"black_point_compensation": False}]
)
def test_a_profiles_intent_and_black_point_are_the_ones_asked_for(other: dict[str, object]) -> None:
    """The default is relative, with black point compensation, as a print dialogue's."""
    colours = srgb_to_lab(np.random.default_rng(2).integers(0, 256, (60, 3), dtype=np.uint8))
    plain = open_press(profile=PROFILE).to_print(colours)
    named = open_press(profile=PROFILE, intent="relative", black_point_compensation=True)
    np.testing.assert_array_equal(named.to_print(colours), plain)
    changed = open_press(profile=PROFILE, **other).to_print(colours)  # type: ignore[arg-type]
    assert de2000(plain, changed).max() > 1.0


# ---- what every press's nearest colour promises


@pytest.mark.parametrize("way", ["of all", "of its hue"])
@pytest.mark.parametrize("name", [*SURFACES, "profile"])
def test_the_nearest_of_what_prints_is_itself_and_of_the_rest_prints(name: str, way: str) -> None:
    """The remedy's colour: it prints as seen (under 1.5), and no further off than needed."""
    press: Press = open_press(profile=PROFILE) if name == "profile" else open_press(name)
    colours = srgb_to_lab(np.random.default_rng(9).integers(0, 256, (400, 3), dtype=np.uint8))
    near = press.nearest(colours) if way == "of all" else press.nearest_of_hue(colours)
    assert np.mean(press.shift(near) < AS_SEEN) > 0.98
    still = press.shift(colours) < 0.5
    assert np.median(de2000(colours[still], near[still])) < 0.05
    assert np.all(colours[:, 0] >= 0.0)


# ---- drawing into the gamut, in hand-made gamuts


def cylinder(chroma: float) -> Gamut:
    """Return a bound of the same chroma at every lightness and hue."""
    return Gamut(np.full((LEVELS, HUES), chroma))


def double_cone(chroma: float, cusp: float = 50.0) -> Gamut:
    """Return a bound that is widest at one lightness and closed at black and white."""
    light = np.linspace(0.0, 100.0, LEVELS)[:, None]
    share = np.where(light <= cusp, light / cusp, (100.0 - light) / (100.0 - cusp))
    return Gamut(np.repeat(chroma * share, HUES, axis=1))


SMALL, LARGE = cylinder(20.0), cylinder(40.0)
EDGE = 0.97 * 20.0  # what is aimed at


def drawn(chroma: np.ndarray, light: float = 50.0) -> np.ndarray:
    lch = np.stack([np.full_like(chroma, light), chroma, np.full_like(chroma, 1.0)], axis=1)
    return draw_in(lch, SMALL, LARGE)


def test_what_lies_well_inside_stays_and_the_outermost_meets_the_edge() -> None:
    """Else a maker's printable colours change with the unprintable ones."""
    chroma = np.array([0.0, 5.0, 0.799 * EDGE, 0.8 * EDGE])
    np.testing.assert_allclose(drawn(chroma)[:, 1], chroma, atol=1e-3)
    assert drawn(np.array([0.85 * EDGE]))[0, 1] < 0.85 * EDGE - 0.01
    assert drawn(np.array([40.0]))[0, 1] == pytest.approx(EDGE, abs=1e-3)


def test_the_knee_is_smooth_and_a_hyperbola() -> None:
    """It leaves the knee at slope 1; the middle of the way, worked by hand."""
    knee, room = 0.8 * EDGE, 0.2 * EDGE
    step = 0.02
    slope = (drawn(np.array([knee + step]))[0, 1] - knee) / step
    assert slope == pytest.approx(1.0, abs=0.01)
    squeeze = (40.0 - knee) / room
    for share in (0.25, 0.5, 0.75):
        there = drawn(np.array([knee + share * (40.0 - knee)]))[0, 1]
        by_hand = knee + room * squeeze * share / (1.0 + (squeeze - 1.0) * share)
        assert there == pytest.approx(by_hand, abs=2e-3)
    ramp = drawn(np.linspace(0.0, 40.0, 200))[:, 1]
    assert (np.diff(ramp) > 0).all()  # never turns back, keeps different colours different


def test_a_gamut_as_large_as_the_screens_changes_nothing() -> None:
    lch = np.array([[50.0, 30.0, 1.0], [30.0, 12.0, 4.0], [90.0, 25.0, 6.0]])
    np.testing.assert_allclose(draw_in(lch, cylinder(60.0), cylinder(40.0)), lch, atol=1e-9)


def test_colours_are_drawn_to_the_grey_of_the_cusp() -> None:
    """Lighter ones down, darker ones up, and those of its own lightness straight in."""
    light = np.array([30.0, 50.0, 70.0])
    lch = np.stack([light, np.full(3, 38.0), np.full(3, 2.0)], axis=1)
    found = draw_in(lch, double_cone(20.0), cylinder(40.0))
    assert found[0, 0] > 30.0
    assert found[1, 0] == pytest.approx(50.0, abs=0.2)
    assert found[2, 0] < 70.0
    np.testing.assert_array_equal(found[:, 2], lch[:, 2])
    # on a straight line towards that grey: lightness and chroma shrink by one share
    cusp = cusp_lightness(double_cone(20.0), np.array([2.0]))[0]
    share = found[:, 1] / 38.0
    np.testing.assert_allclose(found[:, 0] - cusp, share * (light - cusp), atol=1e-9)


def test_a_dark_colour_stays_dark() -> None:
    """It is drawn to a grey of twice its lightness at most, not to the middle."""
    lch = np.array([[8.0, 38.0, 2.0]])
    found = draw_in(lch, cylinder(4.0), cylinder(40.0))
    share = found[0, 1] / 38.0
    assert found[0, 0] == pytest.approx(16.0 - share * 8.0, abs=1e-6)


@pytest.mark.parametrize(("cusp", "focus"), [(55.0, 55.0), (80.0, 60.0 + 0.3 * 20.0)])
def test_light_hues_are_drawn_to_a_grey_below_their_cusp(cusp: float, focus: float) -> None:
    """Above a lightness of 60 a cusp counts for three tenths: else yellow turns to cream."""
    light = np.linspace(0.0, 100.0, LEVELS)[:, None]
    gamut = Gamut(np.repeat(20.0 * np.exp(-(((light - cusp) / 15.0) ** 2)), HUES, axis=1))
    at = cusp_lightness(gamut, np.array([0.5]))[0]
    assert at == pytest.approx(cusp, abs=0.1)
    lch = np.array([[70.0, 38.0, 0.5]])
    found = draw_in(lch, gamut, cylinder(40.0))
    share = found[0, 1] / 38.0
    there = (found[0, 0] - share * 70.0) / (1.0 - share)  # where the line meets the greys
    assert there == pytest.approx(focus + (at - cusp) * (0.3 if cusp > 60 else 1.0), abs=0.05)


def test_a_cusp_changes_smoothly_from_hue_to_hue() -> None:
    """A step there would be an edge in a gradient; and hue 0 is hue 360."""
    light = np.linspace(0.0, 100.0, LEVELS)[:, None]
    tops = np.where(np.arange(HUES) < HUES // 2, 40.0, 70.0)
    reach = np.where(light < tops, 8.0, 20.0)  # it falls more slowly towards white
    widest = np.where(np.arange(HUES) < HUES // 2, 40.0, 4.0)  # a dull hue has a cusp as well
    gamut = Gamut(widest * np.exp(-(((light - tops) / reach) ** 2)))
    hue = np.linspace(0.0, 2.0 * np.pi, 721)
    cusp = cusp_lightness(gamut, hue)
    assert cusp[0] == pytest.approx(cusp[-1], abs=1e-9)
    assert np.abs(np.diff(cusp)).max() < 1.0
    # scipy's Gaussian over the hues, of the mean lightness with each level's chroma to the 16th
    weight = gamut.chroma**16
    plain = (light * weight).sum(axis=0) / weight.sum(axis=0)
    smooth = gaussian_filter1d(plain, 4.0, mode="wrap", truncate=2.5)
    columns = cusp_lightness(gamut, np.arange(HUES) * (2.0 * np.pi / HUES))
    np.testing.assert_allclose(columns, smooth, atol=1e-9)
    assert (columns.min(), columns.max()) == pytest.approx((40.0, 70.0), abs=2.0)


def test_a_notch_in_the_bound_is_not_fallen_into() -> None:
    """A line that leaves the gamut and comes in again is held to where it leaves."""
    chroma = np.full((LEVELS, HUES), 20.0)
    notch = slice(round(0.60 * (LEVELS - 1)), round(0.64 * (LEVELS - 1)))
    chroma[notch] = 5.0
    chroma[round(0.5 * (LEVELS - 1))] = 20.5  # the cusp
    lch = np.array([[80.0, 18.0, 1.0]])
    found = draw_in(lch, Gamut(chroma), cylinder(40.0))
    assert 59.0 < found[0, 0] < 61.5  # where the notch begins
    dark = np.array([[30.0, 15.0, 1.0]])
    below = draw_in(dark, Gamut(chroma), cylinder(40.0))
    np.testing.assert_allclose(below, dark, atol=1e-3)  # on the other side there is none
    turned = draw_in(dark, Gamut(chroma[::-1].copy()), cylinder(40.0))
    assert 38.5 < turned[0, 0] < 41.0


class NarrowPress(TruePress):
    """Prints everything grey, and says that it reaches a chroma of 10 at any lightness."""

    gamut = cylinder(10.0)

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return lab * [1.0, 0.0, 0.0]


@pytest.mark.parametrize("keep_hue", [False, True])
def test_pixels_colours_and_bins_are_drawn_in_by_one_map(keep_hue: bool) -> None:
    """Else a plain fill no longer matches the tile beside it, or the advice is of another print.

    The press's own map gives the colours of its print; with hues kept they are drawn in.
    """
    press = NarrowPress()
    rgb8 = np.random.default_rng(4).integers(0, 256, (40, 3), dtype=np.uint8)
    labs = srgb_to_lab(rgb8)
    lch = to_polar(lab_to_oklab(labs))
    drawn_in = oklab_to_lab(from_polar(draw_in(lch, press.gamut, screen_gamut())))
    by_hand = drawn_in if keep_hue else press.to_print(labs)
    colours = repair_colours(labs, press, keep_hue=keep_hue)
    assert np.median(de2000(colours, by_hand)) < 0.5  # what the table of the picture leaves
    one = repair_colours(labs[0], press, keep_hue=keep_hue)
    assert colours.shape == one.repeat(40, axis=0).shape
    pixels = repair_pixels(rgb8.reshape(5, 8, 3), press, keep_hue=keep_hue)
    assert pixels.shape == (5, 8, 3)
    np.testing.assert_allclose(pixels.reshape(-1, 3) / 255.0, lab_to_srgb(colours), atol=0.01)
    plain = repair_plain(rgb8, press, keep_hue=keep_hue)
    np.testing.assert_array_equal(plain, pixels.reshape(-1, 3))
    np.testing.assert_array_equal(repair_plain(rgb8[:1], press, keep_hue=keep_hue), pixels[0, :1])
    assert repair_plain(rgb8[:0], press, keep_hue=keep_hue).shape == (0, 3)
    bins = Bins(labs[:2], np.array([0.25, 0.75]))
    off, repaired = prints_from_screen(bins, press, keep_hue=keep_hue)
    prints = press.to_print(labs[:2]), press.to_print(colours[:2])
    assert off == pytest.approx(de2000(labs[:2], prints[0]) @ [0.25, 0.75])
    assert repaired == pytest.approx(de2000(labs[:2], prints[1]) @ [0.25, 0.75])


class ShiftingPress(NarrowPress):
    """Says of every colour that it shifts by so much."""

    def __init__(self, shift: float) -> None:
        self.by = shift

    def shift(self, lab: np.ndarray) -> np.ndarray:
        return np.full(len(lab), self.by)


@pytest.mark.parametrize(("shift", "own"), [(1.49, True), (1.5, False)])
def test_a_press_has_a_map_of_its_own_while_its_prints_print_as_seen(
    shift: float, own: bool
) -> None:
    """Else the repaired file is printed off a second time, by what the first print was off."""
    press = ShiftingPress(shift)
    assert prints_its_prints(press) is own
    vivid = np.array([[[255, 0, 170], [0, 255, 120]]], dtype=np.uint8)
    greys = np.ptp(repair_pixels(vivid, press).astype(int), axis=2).max() <= 3
    assert greys == own


def test_the_screens_bound_holds_the_screens_colours() -> None:
    rgb8 = np.random.default_rng(1).integers(0, 256, (3000, 3), dtype=np.uint8)
    polar = to_polar(lab_to_oklab(srgb_to_lab(rgb8)))
    assert screen_gamut().holds(polar, slack=0.5).mean() > 0.98  # all but near black
    wider = polar * [1.0, 1.5, 1.0]
    assert screen_gamut().holds(wider, slack=0.0).mean() < 0.8
