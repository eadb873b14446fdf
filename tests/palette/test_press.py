"""Every press keeps the same promises, whatever it is made from."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from palette.errors import ProfileError
from palette.press import InkPress, Press, on_paper, open_press
from palette.press.builtin import REACH, BuiltinPress
from palette.press.conditions import GLOSSY, MATT
from palette.press.gamut import device_faces
from palette.press.neugebauer import demichel, with_black, without_black
from palette.space import de2000, hex_to_lab, lab_to_oklab, oklab_to_lab, srgb_to_lab, to_polar
from palette.surfaces import SURFACES

PROFILE = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"
PRESSES = [*SURFACES, "profile"]


@pytest.fixture(params=PRESSES)
def press(request: pytest.FixtureRequest) -> Press:
    if request.param == "profile":
        return open_press(profile=PROFILE)
    return open_press(request.param)


@pytest.fixture
def colours() -> np.ndarray:
    srgb = np.random.default_rng(7).integers(0, 256, (2000, 3), dtype=np.uint8)
    return srgb_to_lab(srgb)


def test_every_press_keeps_the_protocol(press: Press) -> None:
    assert isinstance(press, Press)
    assert press.name
    assert press.limits.endswith(".")


def test_black_and_white_are_never_flagged(press: Press) -> None:
    ends = np.stack([hex_to_lab("#000000"), hex_to_lab("#ffffff")])
    assert (press.shift(ends) < 3.0).all()
    assert press.shift(ends)[1] < 0.1


def test_black_on_paper_is_no_deeper_than_it_prints(press: Press) -> None:
    ends = on_paper(press, np.stack([hex_to_lab("#000000"), hex_to_lab("#ffffff")]))
    deepest = {"matt": 27.0}.get(press.name.split()[0], 9.6)  # 9.55: see test_press_accuracy
    assert abs(ends[0, 0] - deepest) < 1.0
    assert abs(ends[1, 0] - 100.0) < 0.1


def test_a_profile_that_compensates_nothing_is_not_compensated_twice() -> None:
    black = hex_to_lab("#000000")[None]
    for plain in (
        open_press(profile=PROFILE, black_point_compensation=False),
        open_press(profile=PROFILE, intent="absolute"),
    ):
        np.testing.assert_allclose(on_paper(plain, black), plain.to_print(black), atol=1e-9)
        assert plain.to_print(black)[0, 0] > 8.0


def test_builtin_greys_stay_grey() -> None:
    greys = srgb_to_lab(np.repeat(np.arange(0, 256, 5, dtype=np.uint8)[:, None], 3, axis=1))
    for surface in SURFACES:
        assert open_press(surface).shift(greys).max() < 0.7


def test_shift_is_the_distance_to_the_printed_colour(press: Press, colours: np.ndarray) -> None:
    printed = press.to_print(colours)
    np.testing.assert_allclose(press.shift(colours), de2000(colours, printed), atol=1e-9)


def test_vivid_screen_colours_are_out_of_reach(press: Press) -> None:
    for text in ("#00ff00", "#0000ff", "#ff00ff", "#00ffff", "#ff0000"):
        assert press.shift(hex_to_lab(text)[None])[0] > 3.0, text


def test_muted_colours_print_as_seen(press: Press) -> None:
    for text in ("#808080", "#8a6d5a", "#5b7a6b", "#c9b7a0", "#6a6f85"):
        assert press.shift(hex_to_lab(text)[None])[0] < 1.6, text


def test_nearest_keeps_its_hue_and_prints(press: Press, colours: np.ndarray) -> None:
    near = press.nearest_of_hue(colours)
    assert np.percentile(press.shift(near), 99) <= 3.0
    was, now = to_polar(lab_to_oklab(colours)), to_polar(lab_to_oklab(near))
    turn = np.abs((now[:, 2] - was[:, 2] + np.pi) % (2 * np.pi) - np.pi)
    coloured = now[:, 1] > 3.0
    assert np.degrees(turn[coloured]).max() <= 3.0


def test_nearest_prints_and_is_no_farther_than_the_print(press: Press) -> None:
    """#ff00c8 was told a colour that lies farther off than its own print, which prints as seen."""
    vivid = np.stack(
        [hex_to_lab(c) for c in ("#ff00c8", "#00ff00", "#8a2be2", "#2b2bff", "#d9f2e6")]
    )
    near, plain = press.nearest(vivid), press.shift(vivid)
    assert press.shift(near).max() <= 1.5
    assert (de2000(vivid, near) <= plain + 0.1).all()
    assert (de2000(vivid, near) <= de2000(vivid, press.nearest_of_hue(vivid)) + 0.1).all()


def test_printing_twice_changes_little(press: Press, colours: np.ndarray) -> None:
    once = press.to_print(colours)
    assert press.shift(once).mean() < 1.2


def test_order_and_number_of_colours_do_not_matter(press: Press, colours: np.ndarray) -> None:
    whole = press.to_print(colours)
    np.testing.assert_array_equal(press.to_print(colours[::-1]), whole[::-1])
    np.testing.assert_array_equal(press.to_print(colours[5:6]), whole[5:6])


def test_no_colours_are_no_trouble(press: Press) -> None:
    empty = np.empty((0, 3))
    assert press.to_print(empty).shape == (0, 3)
    assert press.shift(empty).shape == (0,)
    assert press.nearest(empty).shape == (0, 3)
    assert press.nearest_of_hue(empty).shape == (0, 3)


def test_matt_holds_less_than_glossy(colours: np.ndarray) -> None:
    glossy, matt = open_press("glossy"), open_press("matt")
    assert (matt.shift(colours) >= 3).mean() > (glossy.shift(colours) >= 3).mean()


def test_a_profile_in_cmyk_knows_its_inks() -> None:
    press = open_press(profile=PROFILE)
    assert isinstance(press, InkPress)
    inks = press.inks(np.stack([hex_to_lab("#ffffff"), hex_to_lab("#000000")]))
    assert inks[0].max() == 0.0
    assert inks[1, 3] > 0.8


def test_an_unknown_surface_names_the_known_ones() -> None:
    with pytest.raises(ProfileError, match="glossy, matt"):
        open_press("velvet")


def test_two_presses_of_one_condition_agree_to_the_bit(colours: np.ndarray) -> None:
    a, b = BuiltinPress(GLOSSY, "a", "."), BuiltinPress(GLOSSY, "b", ".")
    np.testing.assert_array_equal(a.to_print(colours), b.to_print(colours))


def test_demichel_shares_sum_to_one_and_pick_solids() -> None:
    area = np.random.default_rng(1).random((50, 4))
    np.testing.assert_allclose(demichel(area).sum(axis=1), 1.0, atol=1e-12)
    # cyan and yellow solid: row 1 + 4
    assert np.argmax(demichel(np.array([[1.0, 0.0, 1.0, 0.0]]))) == 5


def test_black_point_compensation_undoes_itself(colours: np.ndarray) -> None:
    np.testing.assert_allclose(without_black(with_black(colours, 27.0), 27.0), colours, atol=1e-8)
    assert abs(with_black(np.zeros((1, 3)), 12.0)[0, 0] - 12.0) < 1e-9


def test_the_bound_is_where_inks_reach() -> None:
    """Random mixtures of inks lie inside the table of the outermost chroma."""
    from palette.press.neugebauer import paper_relative, print_lab

    for condition in (GLOSSY, MATT):
        press = BuiltinPress(condition, "", "")
        inks = np.random.default_rng(3).random((3000, 4)) ** 2
        lab = without_black(paper_relative(condition, print_lab(condition, inks)), press.black_l)
        polar = to_polar(lab_to_oklab(lab[lab[:, 0] > 5.0]))
        polar[:, 1] *= REACH  # the share that is promised
        assert press.gamut.holds(polar, slack=0.3).mean() >= 0.998


def test_faces_of_the_device_cube() -> None:
    assert device_faces(4).shape[0] == 24
    assert device_faces(3).shape[0] == 6
    assert len(device_faces(1)) == 0


def test_oklab_against_a_published_implementation(colours: np.ndarray) -> None:
    """Coloraide's OKLab; it is given the same XYZ, so only the matrices are compared."""
    coloraide = pytest.importorskip("coloraide")
    from palette.space import lab_to_xyz

    for lab in colours[:20]:
        there = coloraide.Color("xyz-d50", [float(v) for v in lab_to_xyz(lab)]).convert("oklab")
        np.testing.assert_allclose(lab_to_oklab(lab) / 100.0, there.coords(), atol=2e-5)
    np.testing.assert_allclose(oklab_to_lab(lab_to_oklab(colours)), colours, atol=1e-8)
