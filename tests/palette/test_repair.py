"""Repaired colours print, stay apart, stay in order, and stay equal where they were equal."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from palette.choose import bins_of
from palette.press import Press, open_press
from palette.proof import prints_from_screen, repair_pixels, repair_plain
from palette.proof.repair import draw_in, repair_colours, screen_gamut
from palette.space import de2000, de2000_table, lab_to_oklab, lab_to_srgb8, srgb_to_lab, to_polar
from palette.surfaces import SURFACES

PROFILE = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"


@pytest.fixture(params=SURFACES)
def press(request: pytest.FixtureRequest) -> Press:
    return open_press(request.param)


@pytest.fixture
def colours() -> np.ndarray:
    return srgb_to_lab(np.random.default_rng(11).integers(0, 256, (3000, 3), dtype=np.uint8))


def test_repaired_colours_print(press: Press, colours: np.ndarray) -> None:
    before, after = press.shift(colours), press.shift(repair_colours(colours, press))
    assert (before >= 3).mean() > 0.4
    assert (after >= 3).mean() < 0.03
    assert after.mean() < 1.0


def test_printable_colours_hardly_move(press: Press, colours: np.ndarray) -> None:
    """Of those with a fifth of their chroma to spare."""
    more = to_polar(lab_to_oklab(colours)) * [1.0, 1.2, 1.0]
    printable = colours[press.gamut.holds(more)]
    moved = de2000(printable, repair_colours(printable, press))
    assert np.median(moved) < 0.05
    assert np.percentile(moved, 95) < 1.6


def test_black_white_and_greys_stay(press: Press) -> None:
    greys = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2)
    repaired = repair_pixels(greys, press)
    assert (repaired[0, 0] == 0).all()
    assert (repaired[0, 255] == 255).all()
    # what the table of the picture leaves, next to white and black
    assert de2000(srgb_to_lab(repaired[0]), srgb_to_lab(greys[0])).max() < 1.5


def test_hue_is_kept(press: Press, colours: np.ndarray) -> None:
    was = to_polar(lab_to_oklab(colours))
    now = draw_in(was, press.gamut, screen_gamut())
    np.testing.assert_array_equal(now[:, 2], was[:, 2])
    assert (now[:, 1] <= was[:, 1] + 1e-9).all()


def test_gradients_stay_in_order_and_smooth(press: Press) -> None:
    """From grey to each corner of sRGB: no sudden step, no turning back, no flat stretch."""
    share = np.linspace(0.0, 1.0, 257)[:, None]
    for corner in ([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 1, 1], [1, 0, 1], [1, 1, 0]):
        ramp = srgb_to_lab(0.5 + share * (np.array(corner, dtype=float) - 0.5))
        repaired = repair_colours(ramp, press)
        steps = de2000(repaired[1:], repaired[:-1])
        assert steps.max() <= 1.5 * de2000(ramp[1:], ramp[:-1]).max()
        assert steps.min() > 0.002
        moves = np.diff(lab_to_oklab(repaired), axis=0)
        assert (moves[1:] * moves[:-1]).sum(axis=1).min() > 0.0


def test_no_two_colours_of_a_palette_merge(press: Press) -> None:
    """Of the most vivid neighbours on the screen, a tenth of the difference is left at least."""
    sixth = np.arange(0, 6, 0.2)
    rgb = [np.abs(sixth - 3) - 1, 2 - np.abs(sixth - 2), 2 - np.abs(sixth - 4)]
    vivid = srgb_to_lab(np.clip(np.stack(rgb, axis=1), 0.0, 1.0))
    apart = de2000_table(vivid)
    left = de2000_table(repair_colours(vivid, press))
    pairs = np.triu_indices(len(vivid), 1)
    assert (left[pairs] / apart[pairs]).min() > 0.1
    assert left[pairs].min() > 0.3


@pytest.mark.parametrize("name", [*SURFACES, "profile"])
def test_a_tile_and_a_plain_fill_match_in_print(name: str) -> None:
    """With a profile too, whose 8-bit steps would show a byte's difference as more than 1."""
    press = open_press(profile=PROFILE) if name == "profile" else open_press(name)
    colours = np.random.default_rng(11).integers(0, 256, (3000, 3), dtype=np.uint8)
    tile = repair_pixels(colours.reshape(50, 60, 3), press).reshape(-1, 3)
    fill = repair_plain(colours, press)
    printed = press.to_print(srgb_to_lab(tile)), press.to_print(srgb_to_lab(fill))
    assert de2000(*printed).max() < 1.0
    np.testing.assert_array_equal(tile, fill)


def test_how_far_a_print_lies_from_the_screen_is_that_of_its_colours(press: Press) -> None:
    """Of a flat tile by hand; and what prints as it is seen is as near repaired as plain."""
    vivid = np.full((30, 30, 3), (255, 0, 170), dtype=np.uint8)
    bins = bins_of(vivid)
    plain, repaired = prints_from_screen(bins, press)
    screen = srgb_to_lab(vivid[0, :1])
    assert plain == pytest.approx(float(press.shift(screen)[0]), abs=0.05)
    printed = press.to_print(srgb_to_lab(repair_pixels(vivid, press)[0, :1]))
    assert repaired == pytest.approx(float(de2000(screen, printed)[0]), abs=0.4)
    dull = bins_of(np.full((30, 30, 3), (150, 140, 120), dtype=np.uint8))
    assert max(prints_from_screen(dull, press)) < 1.0


def test_the_unrounded_map_is_the_same_one(press: Press, colours: np.ndarray) -> None:
    plain = srgb_to_lab(repair_plain(lab_to_srgb8(colours), press))
    assert de2000(plain, repair_colours(colours, press)).max() < 1.0  # one byte, in dark colours


def test_equal_pixels_stay_equal(press: Press) -> None:
    tile = np.random.default_rng(2).integers(0, 256, (20, 30, 3), dtype=np.uint8)
    repaired = repair_pixels(np.tile(tile, (2, 2, 1)), press)
    np.testing.assert_array_equal(repaired, np.tile(repaired[:20, :30], (2, 2, 1)))


def test_repairing_twice_changes_less(press: Press, colours: np.ndarray) -> None:
    once = repair_colours(colours, press)
    twice = repair_colours(once, press)
    assert de2000(once, twice).mean() < 0.5 * de2000(colours, once).mean()
