"""Repaired colours print, stay apart, stay in order, and stay equal where they were equal."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from palette.choose import bins_of
from palette.press import Press, open_press
from palette.proof import prints_from_screen, repair_pixels, repair_plain
from palette.proof.repair import draw_in, prints_its_prints, repair_colours, screen_gamut
from palette.space import de2000, de2000_table, lab_to_oklab, lab_to_srgb8, srgb_to_lab, to_polar
from palette.surfaces import SURFACES

PROFILE = Path(__file__).parents[1] / "standards" / "data" / "FOGRA39L_coated.icc"


@pytest.fixture(params=SURFACES)
def press(request: pytest.FixtureRequest) -> Press:
    return open_press(request.param)


@pytest.fixture
def colours() -> np.ndarray:
    return srgb_to_lab(np.random.default_rng(11).integers(0, 256, (3000, 3), dtype=np.uint8))


BOTH = pytest.mark.parametrize("keep_hue", [False, True])


@BOTH
def test_repaired_colours_print(press: Press, colours: np.ndarray, keep_hue: bool) -> None:
    before = press.shift(colours)
    after = press.shift(repair_colours(colours, press, keep_hue=keep_hue))
    assert (before >= 3).mean() > 0.4
    assert (after >= 3).mean() < 0.03
    assert after.mean() < 1.0


@BOTH
def test_printable_colours_hardly_move(press: Press, colours: np.ndarray, keep_hue: bool) -> None:
    """Of those with a fifth of their chroma to spare."""
    more = to_polar(lab_to_oklab(colours)) * [1.0, 1.2, 1.0]
    printable = colours[press.gamut.holds(more)]
    moved = de2000(printable, repair_colours(printable, press, keep_hue=keep_hue))
    assert np.median(moved) < 0.05
    assert np.percentile(moved, 95) < 1.6


def test_a_repair_prints_no_farther_from_the_screen_than_the_plain_tile(
    press: Press, colours: np.ndarray
) -> None:
    """Else a maker repairs a tile, and her print is farther from her artwork than before."""
    off = de2000(colours, press.to_print(colours))
    drawn, kept = (
        de2000(colours, press.to_print(repair_colours(colours, press, keep_hue=keep_hue)))
        for keep_hue in (False, True)
    )
    assert drawn.mean() < off.mean() + 0.1
    assert np.percentile(drawn - off, 99) < 1.5  # what the table for pictures rounds by
    assert drawn.mean() < kept.mean() - 0.5


def test_a_press_that_shifts_its_own_prints_has_hues_kept(press: Press) -> None:
    """A driver that darkens all it is sent would darken the repaired file a second time."""

    class Darker:
        name, limits, black_l, gamut = "darker", "Only for tests.", 0.0, press.gamut

        def to_print(self, lab: np.ndarray) -> np.ndarray:
            return press.to_print(lab * [0.85, 1.0, 1.0])

        def shift(self, lab: np.ndarray) -> np.ndarray:
            return de2000(lab, self.to_print(lab))

    vivid = np.array([[[255, 0, 170], [0, 255, 120], [90, 90, 200]]], dtype=np.uint8)
    assert prints_its_prints(press)
    assert not prints_its_prints(Darker())
    np.testing.assert_array_equal(
        repair_pixels(vivid, Darker()), repair_pixels(vivid, press, keep_hue=True)
    )


@BOTH
def test_black_white_and_greys_stay(press: Press, keep_hue: bool) -> None:
    greys = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2)
    repaired = repair_pixels(greys, press, keep_hue=keep_hue)
    assert (repaired[0, 0] == 0).all()
    assert (repaired[0, 255] == 255).all()
    # what the table of the picture leaves, next to white and black
    assert de2000(srgb_to_lab(repaired[0]), srgb_to_lab(greys[0])).max() < 1.5


def test_hue_is_kept(press: Press, colours: np.ndarray) -> None:
    was = to_polar(lab_to_oklab(colours))
    now = draw_in(was, press.gamut, screen_gamut())
    np.testing.assert_array_equal(now[:, 2], was[:, 2])
    assert (now[:, 1] <= was[:, 1] + 1e-9).all()


@BOTH
def test_gradients_stay_in_order_and_smooth(press: Press, keep_hue: bool) -> None:
    """From grey to each corner of sRGB: no sudden step, no turning back.

    With hues kept no flat stretch either; a print has those, beyond what it reaches.
    """
    share = np.linspace(0.0, 1.0, 257)[:, None]
    for corner in ([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 1, 1], [1, 0, 1], [1, 1, 0]):
        ramp = srgb_to_lab(0.5 + share * (np.array(corner, dtype=float) - 0.5))
        repaired = repair_colours(ramp, press, keep_hue=keep_hue)
        steps = de2000(repaired[1:], repaired[:-1])
        assert steps.max() <= 1.5 * de2000(ramp[1:], ramp[:-1]).max()
        moves = np.diff(lab_to_oklab(repaired), axis=0)
        turns = (moves[1:] * moves[:-1]).sum(axis=1)
        if keep_hue:
            assert steps.min() > 0.002
            assert turns.min() > 0.0
        else:
            assert turns.min() > -0.05  # two steps of 0.22 in OKLab times 100: nobody sees it


def test_no_two_colours_of_a_palette_merge(press: Press) -> None:
    """Of the most vivid neighbours on the screen, a tenth of the difference is left at least."""
    sixth = np.arange(0, 6, 0.2)
    rgb = [np.abs(sixth - 3) - 1, 2 - np.abs(sixth - 2), 2 - np.abs(sixth - 4)]
    vivid = srgb_to_lab(np.clip(np.stack(rgb, axis=1), 0.0, 1.0))
    apart = de2000_table(vivid)
    left = de2000_table(repair_colours(vivid, press, keep_hue=True))
    pairs = np.triu_indices(len(vivid), 1)
    assert (left[pairs] / apart[pairs]).min() > 0.1
    assert left[pairs].min() > 0.3


@BOTH
@pytest.mark.parametrize("name", [*SURFACES, "profile"])
def test_a_tile_and_a_plain_fill_match_in_print(name: str, keep_hue: bool) -> None:
    """With a profile too, whose 8-bit steps would show a byte's difference as more than 1."""
    press = open_press(profile=PROFILE) if name == "profile" else open_press(name)
    colours = np.random.default_rng(11).integers(0, 256, (3000, 3), dtype=np.uint8)
    tile = repair_pixels(colours.reshape(50, 60, 3), press, keep_hue=keep_hue).reshape(-1, 3)
    fill = repair_plain(colours, press, keep_hue=keep_hue)
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
    once = repair_colours(colours, press, keep_hue=True)
    twice = repair_colours(once, press, keep_hue=True)
    assert de2000(once, twice).mean() < 0.5 * de2000(colours, once).mean()
