"""What a proof says of colours, fills and pictures, against worked values."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from palette.errors import PaletteError
from palette.press import CACHED_PRESSES, open_press, print_cube, shift_cube
from palette.proof import assess_colours, assess_fill, proof_pixels, shift_map
from palette.proof.assess import grade_of
from palette.space import de2000, lab_to_srgb8, srgb_to_lab


@dataclass(frozen=True)
class Bins:
    lab: np.ndarray
    weight: np.ndarray


class FixedPress:
    """Prints everything darker, by an L* that is the colour's a*: shifts are worked by hand."""

    name = "fixed"
    limits = "Only for tests."

    def to_print(self, lab: np.ndarray) -> np.ndarray:
        return lab - np.stack([lab[:, 1], 0 * lab[:, 1], 0 * lab[:, 1]], axis=1)

    def shift(self, lab: np.ndarray) -> np.ndarray:
        return lab[:, 1].copy()

    def nearest_of_hue(self, lab: np.ndarray) -> np.ndarray:
        return self.to_print(lab)

    def nearest(self, lab: np.ndarray) -> np.ndarray:
        return self.to_print(lab)


def fill(*shifts_and_weights: tuple[float, float]) -> Bins:
    lab = np.array([[50.0, shift, 0.0] for shift, _ in shifts_and_weights])
    return Bins(lab, np.array([weight for _, weight in shifts_and_weights]))


def test_a_fill_is_judged_by_area() -> None:
    found = assess_fill(fill((0.0, 0.5), (2.0, 0.2), (3.0, 0.1), (7.0, 0.2)), FixedPress())
    assert found.share_out_of_gamut == pytest.approx(0.3)
    assert found.share_over_6 == pytest.approx(0.2)
    assert found.mean_shift_de2000 == pytest.approx(0.4 + 0.3 + 1.4)
    assert found.p95_shift_de2000 == pytest.approx(7.0)


def test_the_worst_twentieth_does_not_set_the_95_per_cent() -> None:
    found = assess_fill(fill((1.0, 0.96), (20.0, 0.04)), FixedPress())
    assert found.p95_shift_de2000 == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("shift", "grade"),
    [
        (0.0, "as seen"),
        (1.49, "as seen"),
        (1.5, "borderline"),
        (3.5, "borderline"),
        (3.51, "will shift"),
        (30.0, "will shift"),
    ],
)
def test_grades(shift: float, grade: str) -> None:
    assert grade_of(shift) == grade


def test_colours_by_hex_and_by_lab_agree() -> None:
    texts = ["#27ae60", "#ff0000", "#3b5b7a"]
    press = open_press()
    by_text = assess_colours(texts, press)
    lab = srgb_to_lab(np.array([[0x27, 0xAE, 0x60], [255, 0, 0], [0x3B, 0x5B, 0x7A]], dtype="u1"))
    assert assess_colours(lab, press) == by_text
    assert [c.hex for c in by_text] == texts


def test_black_and_white_stay_themselves() -> None:
    for surface in ("glossy", "matt"):
        for found in assess_colours(["#000000", "#ffffff"], open_press(surface)):
            assert found.in_gamut
            assert found.grade == "as seen"
            assert found.printed_hex == found.nearest_hex == found.hex


def test_a_vivid_green_is_told() -> None:
    found = assess_colours(["#00ff00"], open_press())[0]
    assert not found.in_gamut
    assert found.grade == "will shift"
    assert found.shift_de2000 > 10
    assert found.nearest_hex != found.hex


def test_no_colours_give_no_assessments() -> None:
    assert assess_colours([], open_press()) == ()


def test_a_text_that_is_no_colour_is_refused() -> None:
    with pytest.raises(PaletteError):
        assess_colours(["reddish"], open_press())


@pytest.fixture(scope="module")
def picture() -> np.ndarray:
    return np.random.default_rng(5).integers(0, 256, (64, 96, 3), dtype=np.uint8)


@pytest.mark.parametrize("surface", ["glossy", "matt"])
def test_a_picture_is_its_colours_printed(picture: np.ndarray, surface: str) -> None:
    press = open_press(surface)
    exact = lab_to_srgb8(press.to_print(srgb_to_lab(picture.reshape(-1, 3))))
    shown = proof_pixels(picture, press)
    assert shown.shape == picture.shape
    off = de2000(srgb_to_lab(shown.reshape(-1, 3)), srgb_to_lab(exact))
    assert off.mean() < 0.3
    assert np.percentile(off, 99) < 1.5


def test_a_shift_map_is_the_shift_of_its_colours(picture: np.ndarray) -> None:
    press = open_press()
    exact = press.shift(srgb_to_lab(picture.reshape(-1, 3)))
    found = shift_map(picture, press)
    assert found.shape == picture.shape[:2]
    assert np.abs(found.reshape(-1) - np.minimum(exact, 25.5)).mean() < 0.1


def test_white_paper_stays_white_in_a_picture() -> None:
    white = np.full((4, 5, 3), 255, dtype=np.uint8)
    assert (proof_pixels(white, open_press("matt")) == 255).all()
    assert shift_map(white, open_press("matt")).max() == 0.0


def test_equal_pixels_stay_equal(picture: np.ndarray) -> None:
    twice = np.concatenate([picture, picture], axis=1)
    shown = proof_pixels(twice, open_press())
    np.testing.assert_array_equal(shown[:, :96], shown[:, 96:])


def test_a_presss_cubes_are_cached_and_bounded() -> None:
    press = open_press("glossy")
    assert print_cube(press) is print_cube(press)
    assert shift_cube(press) is not print_cube(press)
    for cached in (print_cube, shift_cube):
        assert cached.cache_info().maxsize == CACHED_PRESSES
