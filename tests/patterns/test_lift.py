"""Whole motifs out of a tile: complete over its edges, free of the ground, or a word why not."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from benchmarks.lift import score_tile
from benchmarks.lift_tiles import draw_layered
from palette.arrays import Floats, Pixels
from patterns.lift import lift_motifs
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT, Lattice

GROUND = np.array([244.0, 236.0, 220.0])
INK = np.array([60.0, 90.0, 140.0])


def _disc(shape: tuple[int, int], row: float, column: float, radius: float) -> Floats:
    """Return the share of each pixel, wrapped, that a disc covers (its edge is one pixel wide)."""
    rows, columns = shape
    y = (np.arange(rows) + 0.5 - row + rows / 2.0) % rows - rows / 2.0
    x = (np.arange(columns) + 0.5 - column + columns / 2.0) % columns - columns / 2.0
    return np.clip(radius + 0.5 - np.hypot(y[:, None], x[None]), 0.0, 1.0)


def _laid(cover: Floats, ink: Floats = INK) -> Pixels:
    return np.rint(GROUND + cover[..., None] * (ink - GROUND)).astype(np.uint8)


def test_a_motif_over_the_tiles_corner_is_lifted_whole_and_free_of_the_ground() -> None:
    cover = _disc((160, 200), 0.0, 0.0, 30.0)
    (motif,) = lift_motifs(_laid(cover)).motifs
    assert motif.alpha.shape in {(60, 60), (61, 61)}
    assert motif.area_px == pytest.approx(np.pi * 30.0**2, rel=0.005)
    seen = motif.alpha > 0
    off = np.abs(motif.colour[seen].astype(float) - INK).max()
    assert off <= 3.0, "a rim in the ground's colour would show on any other paper"


@pytest.mark.parametrize(("lattice", "moved"), [(HALF_DROP, (60, 0)), (HALF_BRICK, (0, 80))])
def test_a_motif_over_the_edge_of_a_half_drop_is_lifted_whole(
    lattice: Lattice, moved: tuple[int, int]
) -> None:
    """The half that leaves on one side comes back half a tile further: never two halves."""
    height, width = 120, 160
    plane = _disc((2 * height, 2 * width), height, width, 24.0)
    tile = np.zeros((height, width))
    # every copy of the disc, each moved as the lattice has it
    for i in (0, 1):
        for j in (0, 1):
            rolled = np.roll(plane, (-i * height - j * moved[0], -j * width - i * moved[1]), (0, 1))
            tile = np.maximum(tile, rolled[:height, :width])
    lift = lift_motifs(_laid(tile), lattice)
    assert len(lift.motifs) == 1
    assert lift.motifs[0].area_px == pytest.approx(np.pi * 24.0**2, rel=0.01)


def test_copies_count_once_and_the_unlike_come_first() -> None:
    tile = _laid(_disc((200, 400), 50.0, 60.0, 30.0))
    red = np.array([200.0, 60.0, 50.0])
    for column, ink in ((140.0, INK), (220.0, INK * 0.97), (300.0, red)):
        cover = _disc((200, 400), 120.0, column, 29.0 if ink is not INK else 30.0)[..., None]
        tile = np.rint(tile + cover * (ink - tile)).astype(np.uint8)
    motifs = lift_motifs(tile).motifs
    assert len(motifs) == 2, "the same motif twice on a sheet is a sticker wasted"
    assert motifs[1].colour[30, 30, 0] == 200


def test_a_motif_that_the_tiles_edge_cuts_is_left_out() -> None:
    cover = np.zeros((200, 200))
    cover[:, :100] = _disc((200, 100), 60.0, 60.0, 28.0)
    cover[:, 172:] = 0.0
    cut = np.roll(_disc((200, 200), 140.0, 100.0, 30.0), 0, axis=1)
    cut[:, 108:] = 0.0  # ends in a straight line at full strength …
    tile = _laid(np.roll(np.maximum(cover, cut), 92, axis=1))  # … and that is the tile's right edge
    lift = lift_motifs(tile)
    assert (len(lift.motifs), lift.cut_off) == (1, 1), "half a motif would be sold as a sticker"


def test_what_a_lossy_file_scatters_is_smoothed_along_a_motifs_edge() -> None:
    """Else a motif out of a JPEG has a ragged rim with specks of its ground."""
    cover = _disc((160, 160), 80.3, 79.8, 45.4)
    file = BytesIO()
    Image.fromarray(_laid(cover)).save(file, "JPEG", quality=90, subsampling=0)
    pixels = np.asarray(Image.open(file).convert("RGB"))
    off = {}
    for lossy in (False, True):
        (motif,) = lift_motifs(pixels, lossy=lossy).motifs
        there = np.s_[motif.top : motif.top + motif.alpha.shape[0]]
        here = np.s_[motif.left : motif.left + motif.alpha.shape[1]]
        true, alpha = cover[there, here], motif.alpha / 255.0
        edge = (true > 0.0) & (true < 1.0)
        off[lossy] = float(np.abs(alpha - true).sum() / edge.sum())
    assert off[True] <= 0.03
    assert off[True] <= 0.8 * off[False]


def _wash() -> Pixels:
    y, x = np.mgrid[:240, :240] * (2.0 * np.pi / 240.0)
    tone = 0.5 + 0.5 * np.sin(x) * np.cos(y + np.sin(x))
    return np.rint(GROUND + tone[..., None] * (INK - GROUND)).astype(np.uint8)


def _stripes() -> Pixels:
    return _laid(np.repeat([[0.0], [1.0], [0.0]], 80, axis=0).repeat(200, axis=1))


def _grain() -> Pixels:
    noise = np.random.default_rng(1).normal(0.0, 9.0, (200, 200, 1))
    return np.clip(GROUND - 30.0 + noise, 0, 255).astype(np.uint8)


def _crowd() -> Pixels:
    rng = np.random.default_rng(2)
    tile = np.full((240, 240, 3), 250, np.uint8)
    for _ in range(400):
        cover = _disc((240, 240), *rng.uniform(0.0, 240.0, 2), 16.0)[..., None]
        tile = np.rint(tile + cover * (rng.uniform(0.0, 255.0, 3) - tile)).astype(np.uint8)
    return tile


@pytest.mark.parametrize("draw", [_wash, _stripes, _grain, _crowd])
def test_nothing_is_lifted_from_washes_stripes_grain_and_crowds(draw: object) -> None:
    assert callable(draw)
    lift = lift_motifs(draw())
    assert not lift.motifs
    assert lift.why_none, "the maker would not learn why the folder stays empty"


def test_plain_tiles_hold_nothing() -> None:
    assert lift_motifs(np.full((50, 60, 3), 90, np.uint8), STRAIGHT).why_none


@pytest.mark.slow
def test_drawn_tiles_of_known_layers_are_lifted_whole() -> None:
    """95 % whole, none in part, alpha within 0.03, outline within 0.15 mm at 25 mm."""
    scores = [one for seed in (100, 104, 105) for one in score_tile(draw_layered(seed))]
    whole = [one for one in scores if one.whole]
    assert len(whole) >= 0.95 * len(scores)
    assert not [one for one in scores if 0.05 < one.found < 0.95], "a motif was cut in half"
    assert np.mean([one.alpha_off for one in whole]) <= 0.03
    far = [one.outline_mm for one in whole if one.dpi >= 300.0]
    assert far
    assert max(far) <= 0.15
