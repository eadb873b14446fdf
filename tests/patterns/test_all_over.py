"""An all-over of one motif: the same after each repeat, and no copy is cut or meets another."""

from __future__ import annotations

import numpy as np
import pytest

from palette.arrays import Pixels
from patterns.coordinates import AllOver, Coordinate, all_over
from patterns.lift import lift_motifs

GROUND, STEP_MM, SPACING_MM = "#e8efe0", 9.0, 1.5
STYLES = pytest.mark.parametrize(("tossed", "copies"), [(False, 2), (True, 8)])


def motif() -> Pixels:
    """A leaf that differs on all its sides: half an ellipse with a stalk, edges anti-aliased."""
    y, x = np.mgrid[:80, :61] + 0.5
    inside = np.clip(20.5 - np.hypot((x - 30.0) * 20.0 / 26.0, (y - 32.0) * 20.0 / 31.0), 0.0, 1.0)
    inside[:, 40:] *= 0.0
    inside[60:78, 27:33] = 1.0
    colour = np.broadcast_to(np.array([60, 110, 80], np.uint8), (80, 61, 3))
    return np.dstack([colour, np.rint(inside * 255.0).astype(np.uint8)])


def laid(*, tossed: bool) -> AllOver:
    return all_over(motif(), GROUND, STEP_MM, SPACING_MM, tossed=tossed)


@STYLES
def test_it_is_the_same_after_its_repeat(tossed: bool, copies: int) -> None:
    del copies
    one = Coordinate(laid(tossed=tossed), (GROUND,))
    here = one.sample(1.3, 2.1, 12.0, 8.0, 300.0).astype(int)
    for across, down in ((1, 0), (0, 1), (-2, 3)):
        x, y = 1.3 + across * one.repeat_mm, 2.1 + down * one.height_mm
        there = one.sample(x, y, 12.0, 8.0, 300.0).astype(int)
        assert np.abs(here - there).max() <= 1, "a join would show where repeats meet"


@STYLES
def test_every_copy_is_whole_and_apart_from_the_others(tossed: bool, copies: int) -> None:
    """Read back by lifting, which knows nothing of how they were laid."""
    tile = laid(tossed=tossed).plane.pixels
    own = motif()[..., 3].sum() / 255.0
    away = np.abs(tile.astype(float) - tile[0, 0]).max(axis=2)
    ink = (away / away.max()).sum()
    assert ink == pytest.approx(copies * own, rel=0.02), "some of a copy is missing"
    lifted = lift_motifs(np.tile(tile, (2, 2, 1)))
    assert lifted.cut_off == 0
    if tossed:
        assert len(lifted.motifs) == copies, "copies are not each turned another way"
    areas = [one.area_px for one in lifted.motifs]
    assert areas == pytest.approx([own] * len(areas), rel=0.03), "copies touch or are cut"


def test_upright_copies_are_the_artworks_own_pixels() -> None:
    tile, own = laid(tossed=False).plane.pixels, motif()
    column = np.flatnonzero((tile[..., 0] == 60).any(axis=0))[0]
    inside = own[..., 3] == 255
    first = np.flatnonzero(inside.any(axis=0))[0]
    heights = (tile[:, column] == (60, 110, 80)).all(axis=1).sum()
    assert heights == inside[:, first].sum()


def test_copies_are_as_far_apart_as_asked() -> None:
    """The circle about one and that about the next leave the spacing free, whatever the size."""
    for step_mm, spacing_mm in ((9.0, 1.5), (20.0, 0.0), (6.5, 3.0)):
        one = all_over(motif(), GROUND, step_mm, spacing_mm, tossed=True)
        assert one.size_mm == pytest.approx((4 * step_mm * 0.75**0.5, 2 * step_mm), rel=0.01)
        assert one.across_mm == pytest.approx(step_mm - spacing_mm)
