"""Mending: each kind of planted fault goes, the rest of the artwork stays, failure is reported."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from palette.arrays import Pixels
from palette.space import lab_to_srgb8, srgb_to_lab
from patterns.lab32 import lab32
from patterns.mend import before_after_picture, mend
from patterns.mend.axis import unfold
from patterns.mend.before_after import GAP_PX
from patterns.mend.cut_out import cut_out
from patterns.mend.remedies import (
    continue_tile,
    count_double_columns,
    is_paper,
    let_in,
    level_drift,
    level_slope,
    measure_slope,
    patch_join,
    rank_overlaps,
    redraw_clamped,
    redraw_fringe,
    unmix_edges,
)
from patterns.mend.remedies.blending import blend_layers
from patterns.mend.remedies.boundary_cut import find_cuts
from patterns.mend.remedies.quilting import find_rhythm_px
from patterns.mend.score import Interior, join_excess_de
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT, Lattice, Plane
from patterns.repeats import Repeat
from patterns.seams import check_seams


def blooms(height: int = 160, width: int = 200, seed: int = 2, grain: float = 0.0) -> Pixels:
    """Return soft-edged round blooms scattered on cream, drawn over every edge: seamless."""
    random = np.random.default_rng(seed)
    y, x = np.mgrid[0:height, 0:width] + 0.5
    tile = np.full((height, width, 3), [244.0, 236.0, 220.0])
    for _ in range(9):
        cy, cx, radius = random.uniform(0, height), random.uniform(0, width), random.uniform(9, 16)
        dy = (y - cy + height / 2) % height - height / 2
        dx = (x - cx + width / 2) % width - width / 2
        inside = np.clip(radius - np.hypot(dy, dx) + 0.5, 0.0, 1.0)[..., None]
        tile = tile * (1.0 - inside) + random.uniform(20, 160, 3) * inside
    tile += random.normal(0.0, grain, (height, width, 1)) if grain else 0.0
    return np.rint(np.clip(tile, 0, 255)).astype(np.uint8)


def orient(pixels: Pixels, axis: str) -> Pixels:
    return np.ascontiguousarray(pixels if axis == "x" else pixels.transpose(1, 0, 2))


def worst(a: Pixels, b: Pixels) -> float:
    return float(np.linalg.norm(srgb_to_lab(a) - srgb_to_lab(b), axis=-1).max())


def test_a_doubled_column_goes_and_nothing_else() -> None:
    tile = blooms(grain=2.0)
    for planted, found in (
        (np.concatenate([tile, tile[:, -1:]], axis=1), (0, 1)),
        (np.concatenate([tile, tile[:, :1]], axis=1), (0, 1)),
        (np.concatenate([tile[:, :1], tile], axis=1), (1, 0)),
    ):
        assert count_double_columns(planted) == found
    assert count_double_columns(tile) == (0, 0)


def test_a_doubled_column_on_a_half_drop() -> None:
    tile = blooms(grain=2.0)
    # the column that follows the last one is the first, lowered
    planted = np.concatenate([tile, np.roll(tile[:, :1], 80, axis=0)], axis=1)
    assert count_double_columns(planted, 80) == (0, 1)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_drift_is_levelled(sign: float) -> None:
    tile = blooms(grain=1.0)
    lab = srgb_to_lab(tile)
    lab[..., 0] = lab[..., 0] * 0.9 + 4.0
    level = lab_to_srgb8(lab)
    lab[..., 0] += sign * np.linspace(-4.0, 4.0, tile.shape[1])
    mended = level_drift(lab_to_srgb8(lab))
    assert mended is not None
    assert np.linalg.norm(srgb_to_lab(mended) - srgb_to_lab(level), axis=2).mean() < 0.6
    assert level_drift(level) is None


def test_a_vignette_is_followed_along_the_edge() -> None:
    lab = srgb_to_lab(blooms())
    lab[..., 0] = lab[..., 0] * 0.9 + 4.0
    along = 3.0 + 2.0 * np.cos(np.arange(160) / 160 * 2 * np.pi)
    lab[..., 0] += along[:, None] * np.linspace(-1.0, 1.0, 200)
    mended = level_drift(lab_to_srgb8(lab))
    assert mended is not None
    lab = srgb_to_lab(mended)
    step = (lab[:, :2].mean(axis=1) - lab[:, -2:].mean(axis=1))[:, 0]
    assert np.median(np.abs(step)) < 1.2


def test_a_crop_is_not_taken_for_a_drift() -> None:
    assert level_drift(blooms()[:, :-30]) is None


@pytest.mark.parametrize("where", ["right", "left"])
@pytest.mark.parametrize("count", [1, 2])
def test_a_white_fringe_is_drawn_anew(where: str, count: int) -> None:
    tile = blooms()
    planted = tile.copy()
    planted[:, :count] = 255 if where == "left" else planted[:, :count]
    planted[:, -count:] = 255 if where == "right" else planted[:, -count:]
    found = redraw_fringe(planted)
    assert found is not None
    assert found[1] == count
    off = np.linalg.norm(srgb_to_lab(found[0]) - srgb_to_lab(tile), axis=2)
    assert off[:, 5:-5].max() == 0.0  # nothing else is touched
    edge = np.concatenate([off[:, :count], off[:, -count:]])
    assert np.percentile(edge, 90) < 6.0


def test_a_half_transparent_fringe_is_unmixed() -> None:
    tile = blooms(grain=1.0)
    planted = tile.copy()
    planted[:, -1] = (tile[:, -1].astype(int) + 255) // 2
    found = redraw_fringe(planted)
    assert found is not None
    assert np.abs(found[0][:, -1].astype(int) - tile[:, -1]).max() <= 4


@pytest.mark.parametrize("factor", [3, 4, 6])
@pytest.mark.parametrize("seed", [1, 3])
def test_edges_that_enlarging_left_flat_are_drawn_anew(factor: int, seed: int) -> None:
    """Pillow's bilinear enlarging of the tile alone, against that of the tile laid out thrice."""
    small = blooms(60, 80, seed=seed)
    size = 80 * factor, 60 * factor
    tall = np.tile(small, (3, 1, 1))
    box = (0, 60, 80, 120)
    planted = np.asarray(Image.fromarray(tall).resize(size, Image.Resampling.BILINEAR, box=box))
    wide, box = np.tile(small, (3, 3, 1)), (80, 60, 160, 120)
    true = np.asarray(Image.fromarray(wide).resize(size, Image.Resampling.BILINEAR, box=box))
    found = redraw_clamped(planted)
    assert found is not None
    mended, columns = found
    assert abs(columns - factor) <= 2
    ends = np.r_[0 : columns // 2, planted.shape[1] - columns // 2 : planted.shape[1]]
    before, after = (
        np.linalg.norm(srgb_to_lab(each[:, ends]) - srgb_to_lab(true[:, ends]), axis=2).mean()
        for each in (planted, mended)
    )
    assert after < 0.6 * before
    assert np.array_equal(np.delete(mended, ends, axis=1), np.delete(planted, ends, axis=1))


def test_sound_and_cropped_tiles_have_no_flat_edges() -> None:
    for seed in range(4):
        for tile in (blooms(seed=seed), blooms(seed=seed, grain=2.0), blooms(seed=seed)[:, :-20]):
            assert redraw_clamped(tile) is None


def test_sound_tiles_have_no_fringe() -> None:
    for seed in range(4):
        assert redraw_fringe(blooms(seed=seed)) is None
        assert redraw_fringe(blooms(seed=seed)[:, :-20]) is None  # a crop is none either


@pytest.mark.parametrize("slope", [-8.0, 5.0])
def test_a_slope_is_found_where_a_line_of_the_design_lies_on_the_join(slope: float) -> None:
    """The slope is known; nothing can be compared across a join that lies on a contour."""
    tile = blooms(grain=1.0)
    tile[:, :6] = [40, 60, 110]
    lab = srgb_to_lab(tile)
    lab[..., 0] = lab[..., 0] * 0.9 + 4.0
    level = lab_to_srgb8(lab)
    lab[..., 0] += slope * ((np.arange(200) + 0.5) / 200 - 0.5)
    drifting = lab_to_srgb8(lab)
    assert abs(measure_slope(drifting) - slope) <= 0.5
    mended = level_slope(drifting)
    assert mended is not None
    assert np.linalg.norm(srgb_to_lab(mended) - srgb_to_lab(level), axis=2).mean() < 0.6


def test_no_slope_is_found_in_sound_cropped_or_endlessly_rising_tiles() -> None:
    for seed in range(4):
        assert measure_slope(blooms(seed=seed)) == 0.0
        assert measure_slope(blooms(seed=seed)[:, :-30]) == 0.0
    lab = srgb_to_lab(blooms())
    lab[..., 0] = 50.0 + np.linspace(-30.0, 30.0, 200)  # steeper than what is looked for
    assert measure_slope(lab_to_srgb8(lab)) == 0.0


def test_a_mixed_column_is_undone_and_a_sound_one_is_not() -> None:
    tile = blooms(grain=1.0)
    planted = tile.copy()
    planted[:, -1] = (tile[:, -1].astype(int) + 255) // 2
    (restored,) = unmix_edges(planted)
    assert np.array_equal(restored[:, :-1], tile[:, :-1])
    assert np.abs(restored[:, -1].astype(int) - tile[:, -1]).mean() < 6.0
    assert unmix_edges(tile) == []


def test_a_cut_off_motif_is_covered_with_the_tiles_own_pixels() -> None:
    """The clean tile is the truth: nothing else may differ, and no colour may be made up."""
    tile = blooms()
    clear = np.abs(np.arange(160) - 80) < 14
    tile[np.ix_(clear, np.r_[0:40, 160:200])] = [244, 236, 220]
    y, x = np.mgrid[0:160, 0:200]
    motif = np.hypot(y - 80, x - 196) < 9
    planted = tile.copy()
    planted[motif] = [30, 90, 60]
    found = patch_join(planted, Interior(planted))
    assert found is not None
    mended, reach, worst_de = found
    assert mended.shape == tile.shape
    assert not (mended[motif] == [30, 90, 60]).all(axis=1).any()
    assert worst_de < 6.0
    assert np.array_equal(mended[:, reach:-reach], planted[:, reach:-reach])
    known = {tuple(colour) for colour in planted.reshape(-1, 3).tolist()}
    assert {tuple(colour) for colour in mended.reshape(-1, 3).tolist()} <= known


def test_a_motif_cut_off_where_columns_meet_is_covered_from_further_along() -> None:
    """The two colours that meet at the join meet nowhere else, but above and below they do."""
    y, x = np.mgrid[0:120, 0:120]
    shade = np.array([0, 2, 4, 1, 3, 5])[(x + 10) // 20 % 6]
    tile = np.stack([150 + 12 * shade, 200 - 10 * shade, 120 + 20 * (shade % 3)], axis=2)
    tile = np.where((y % 20 < 10)[..., None], tile, tile - 20).astype(np.uint8)
    planted = tile.copy()
    planted[np.hypot(y - 62, x - 117) < 7] = (30, 30, 60)
    found = patch_join(planted, Interior(planted))
    assert found is not None
    np.testing.assert_array_equal(found[0], tile)


@pytest.mark.parametrize("lost", [5, 27])
def test_a_cropped_strip_that_stands_elsewhere_is_put_back(lost: int) -> None:
    """Each row of scallops goes on as the one above or below, half a scallop further."""
    y, x = np.mgrid[0:160, 0:192]
    row, down = np.divmod(y, 20)
    across = (x + row * 16) % 32 - 15.5
    tile = np.full((160, 192, 3), (244, 236, 220), dtype=np.uint8)
    tile[np.hypot(across, down) < 15] = (60, 90, 120)
    tile[np.hypot(across, down) < 8] = (190, 60, 80)
    whole = [wider for wider, _ in continue_tile(tile[:, :-lost])]
    assert any(np.array_equal(wider, tile) for wider in whole)
    turned = np.ascontiguousarray(tile[:-lost].transpose(1, 0, 2))
    whole = [wider for wider, _ in continue_tile(turned)]
    assert any(wider.shape[1] % 40 == 0 for wider in whole)
    assert list(continue_tile(blooms()[:, :-lost])) == []


def test_what_is_strange_to_the_artwork_scores_over_one() -> None:
    tile = blooms(180, 220, seed=5)
    planted = tile.copy()
    planted[:, -1] = 255
    interior = Interior(planted)
    assert interior.score(planted, 0) > 1.5
    assert interior.score(tile, 0) < interior.score(planted, 0)


def test_stripes_are_cut_back_to_their_rhythm() -> None:
    """The period is known: 30 px; the cheapest cut alone would join any ground to any ground."""
    line = np.repeat(
        np.array([[240, 235, 220], [60, 120, 70], [240, 235, 220], [200, 60, 60]]), 8, 0
    )
    period = np.concatenate([line[:24], line[24:30]]).astype(np.uint8)
    stripes = np.tile(period, (7, 1))[None].repeat(64, axis=0)
    found = list(rank_overlaps(stripes[:, 4 : 4 + 30 * 5 + 17]))
    assert found[0][0] == 17
    assert find_rhythm_px(lab32(stripes)) == 30
    assert find_rhythm_px(lab32(np.full((20, 60, 3), 90, np.uint8))) is None


def test_a_watercolour_is_mixed_without_a_step_or_a_change_elsewhere() -> None:
    """The steps of a smooth field at the cut are no greater than inside it; the ends stay."""
    y, x = np.mgrid[0:96, 0:150]
    soft = 128 + 50 * np.sin(2 * np.pi * y / 96 + 1.0) * np.cos(2 * np.pi * x / 170)
    tile = np.repeat(soft[..., None], 3, axis=2).astype(np.uint8)
    column = np.full(96, 20)
    out = blend_layers(tile, 40, 0, column)
    assert out.shape == (96, 110, 3)
    assert np.array_equal(out[:, :70], tile[:, 40:110])
    steps = np.abs(np.diff(out[..., 0].astype(int), axis=1))
    hard = np.abs(tile[:, 129].astype(int) - tile[:, 20]).max()
    assert hard > 20
    assert steps.max() < 0.4 * hard
    flat = np.full((20, 60, 3), 77, np.uint8)
    assert np.array_equal(blend_layers(flat, 24, 0, np.full(20, 9)), flat[:, :36])


def test_paper_is_told_from_a_line_of_the_artwork() -> None:
    tile = blooms(grain=1.0)
    for opacity in (0.0, 0.5):
        pale = tile.copy()
        pale[:, -1] = np.rint(255 - opacity * (255 - tile[:, -1].astype(float)))
        assert is_paper(pale, tile)
    pink = tile.copy()
    pink[:, -1] = [240, 150, 230]
    assert not is_paper(pink, tile)
    assert not is_paper(tile, tile)


def test_a_mend_never_leaves_a_new_seam_on_the_other_join() -> None:
    tile = blooms(180, 220, seed=5, grain=1.5)
    planted = np.ascontiguousarray(tile[:, :-37])
    done = mend(planted, check_seams(planted), axes=("x",))
    assert done.mended
    assert check_seams(done.pixels).y.verdict != "seam"


def test_two_repeats_that_differ_are_not_blended_into_a_ghost() -> None:
    tile = blooms(60, 70, seed=3)
    picture = np.tile(tile, (1, 2, 1))
    picture[20:34, 128:140] = [250, 20, 20]
    found = cut_out(picture, Repeat(70.0, 60.0, "straight", 0.9, 2.0))
    assert found.repeats == 1
    assert np.array_equal(found.pixels, tile)


def brute_force(right: np.ndarray, left: np.ndarray) -> float:
    """Return the least cost of all closed paths of a tiny overlap, by trying every one."""
    rows, overlap = right.shape[:2]
    differs = np.linalg.norm(right.astype(float) - left, axis=2)
    padded = np.pad(differs, ((0, 0), (1, 1)), mode="edge")
    across = ((padded[:, :-1] + padded[:, 1:]) / 2) ** 2
    between = ((differs + np.roll(differs, -1, axis=0)) / 2) ** 2
    along = np.pad(np.cumsum(between, axis=1), ((0, 0), (1, 0)))
    best = np.inf
    for path in np.ndindex(*(overlap + 1,) * rows):
        cost = sum(across[y, x] for y, x in enumerate(path))
        cost += sum(abs(along[y, path[y]] - along[y, path[(y + 1) % rows]]) for y in range(rows))
        best = min(best, cost)
    return best


def test_the_cut_is_the_cheapest_closed_path(monkeypatch: pytest.MonkeyPatch) -> None:
    """Against exhaustive search where the closing column is right; never below it elsewhere."""
    monkeypatch.setattr("patterns.mend.remedies.boundary_cut.CLEAR_PX", 1)
    random, met = np.random.default_rng(3), 0
    for _ in range(12):
        right, left = random.uniform(0, 50, (2, 4, 3, 3)).astype(np.float32)
        column = find_cuts([(right, left)], 3)[0].column
        differs = np.linalg.norm(right.astype(float) - left, axis=2)
        padded = np.pad(differs, ((0, 0), (1, 1)), mode="edge")
        across = ((padded[:, :-1] + padded[:, 1:]) / 2) ** 2
        between = ((differs + np.roll(differs, -1, axis=0)) / 2) ** 2
        along = np.pad(np.cumsum(between, axis=1), ((0, 0), (1, 0)))
        cost = sum(across[y, x] for y, x in enumerate(column))
        cost += sum(abs(along[y, column[y]] - along[y, column[(y + 1) % 4]]) for y in range(4))
        least = brute_force(right, left)
        assert cost >= least - 1e-6
        met += cost <= least + 1e-6
    assert met >= 9


@pytest.mark.parametrize("lost", [6, 34])
def test_a_crop_is_let_in_without_ghosts(lost: int) -> None:
    """Every colour of the result is one of the artwork's: nothing is blended."""
    tile = blooms()
    cropped = np.ascontiguousarray(tile[:, :-lost])
    found = let_in(cropped)
    assert found is not None
    narrower, overlap, worst_de = found
    assert narrower.shape == (160, 200 - lost - overlap, 3)
    assert worst_de < 3.0
    assert join_excess_de(narrower).max() < 3.0 < join_excess_de(cropped).max()
    known = {tuple(colour) for colour in tile.reshape(-1, 3).tolist()}
    strange = [tuple(c) not in known for c in narrower.reshape(-1, 3).tolist()]
    assert np.mean(strange) < 0.01


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("kind", ["fringe", "drift", "crop"])
def test_the_whole_way(kind: str, axis: str) -> None:
    tile = orient(blooms(180, 220, seed=5, grain=1.5), axis)
    planted = tile.copy()
    if kind == "fringe":
        planted[:, -1] = 255
    elif kind == "drift":
        lab = srgb_to_lab(tile)
        lab[..., 0] = lab[..., 0] * 0.88 + 5.0 + np.linspace(-5.0, 5.0, tile.shape[1])
        planted = lab_to_srgb8(lab)
    else:
        planted = planted[:, :-37]
    planted = orient(planted, axis)
    check = check_seams(planted)
    done = mend(planted, check, axes=(axis,))
    # a crop that cuts off single motifs may be covered where they end, or let in
    wanted = {"crop": {"let-in", "patched"}}.get(kind, {kind})
    assert len(done.steps) == 1
    assert done.steps[0].kind in wanted
    assert done.mended
    assert all(step.axis == axis for step in done.steps)
    again = check_seams(done.pixels)
    assert (done.check.x.score, done.check.y.score) == (again.x.score, again.y.score)
    assert join_excess_de(orient(done.pixels, axis)).max() < 6.0
    assert not done.pixels.flags.writeable


def test_a_sound_tile_is_left_alone() -> None:
    tile = blooms(180, 220, seed=5)
    check = check_seams(tile)
    assert check.seamless
    done = mend(tile, check)
    assert (done.steps, done.mended) == ((), False)
    assert np.array_equal(done.pixels, tile)


def test_what_cannot_be_mended_says_so() -> None:
    """A photograph-like ramp with strong detail: no path hides its join."""
    random = np.random.default_rng(0)
    steps = np.kron(random.integers(0, 256, (12, 9, 3)), np.ones((12, 16, 1)))
    ramp = np.linspace(0.1, 1.0, steps.shape[1])[None, :, None]
    tile = (steps * ramp).astype(np.uint8)
    check = check_seams(tile)
    done = mend(tile, check, axes=("x",))
    assert not done.mended
    assert [doubt.axis for doubt in done.doubts] == ["x"]


@pytest.mark.parametrize("lattice", [HALF_DROP, HALF_BRICK], ids=lambda each: each.name)
def test_unfolding_keeps_the_plane(lattice: Lattice) -> None:
    tile = blooms(60, 80)
    staggered = Plane(tile, 20.0, lattice)
    plain = unfold(tile, lattice)
    straight = Plane(plain, 20.0 * plain.shape[1] / 80, STRAIGHT)
    window = (3.0, 7.0, 50.0, 50.0, 4.0 * 25.4)
    off = np.abs(staggered.sample(*window).astype(int) - straight.sample(*window))
    assert off.max() <= 1


def test_a_tile_is_cut_out_at_a_whole_repeat_without_loss() -> None:
    tile = blooms(48, 60, seed=7)
    found = cut_out(np.tile(tile, (3, 4, 1)), Repeat(60.0, 48.0, "straight", 1.0, 3.0))
    assert np.array_equal(found.pixels, tile)


def test_a_tile_is_cut_out_at_a_repeat_between_pixels() -> None:
    """Laid out at its exact repeat it follows the picture; cut at whole pixels it runs away."""
    plane = Plane(blooms(240, 300, seed=7), 61.3)
    height = plane.height_mm
    picture = plane.sample(0.0, 0.0, 1.0, 1.0, 25.4, shape=(250, 310))  # a millimetre to a pixel
    found = cut_out(picture, Repeat(61.3, height, "straight", 1.0, 5.0)).pixels
    naive = picture[: round(height), :61]
    shifts = []
    for tile, repeat in ((found, 61.3), (naive, 61.0)):
        again = Plane(tile, repeat).sample(0.0, 0.0, 1.0, 1.0, 25.4, shape=(250, 310))
        shifts.append(abs(shift_px(again[180:, 240:], picture[180:, 240:])))
    assert shifts[0] < 0.1
    assert shifts[1] > 0.5


def shift_px(seen: Pixels, true: Pixels) -> float:
    """Return by how many columns one picture lies beside another, by least squares."""
    slope = np.gradient(true.astype(float), axis=1)
    return float(((true.astype(float) - seen) * slope).sum() / (slope**2).sum())


@pytest.mark.parametrize("lattice", [HALF_DROP, HALF_BRICK], ids=lambda each: each.name)
def test_a_staggered_tile_is_cut_out_with_its_lattice(lattice: Lattice) -> None:
    tile = blooms(60, 80)
    picture = Plane(tile, 80.0, lattice).sample(0.0, 0.0, 1.0, 1.0, 25.4, shape=(260, 330))
    found = cut_out(picture, Repeat(80.0, 60.0, lattice.name, 1.0, 3.0))
    assert found.lattice is lattice
    assert found.repeats > 3
    assert np.array_equal(found.pixels, tile)


def test_averaging_takes_noise_away_and_a_spoilt_motif_too() -> None:
    clean = np.tile(blooms(60, 70, seed=3), (3, 3, 1))
    noisy = np.clip(clean + np.random.default_rng(1).normal(0, 8, clean.shape), 0, 255)
    noisy[70:90, 80:100] = 255
    found = cut_out(noisy.astype(np.uint8), Repeat(70.0, 60.0, "straight", 0.9, 3.0))
    assert found.repeats == 9
    error = np.abs(found.pixels.astype(int) - clean[:60, :70])
    assert error.mean() < 0.6 * 8 * np.sqrt(2 / np.pi)
    assert np.percentile(error, 99.5) < 20


def test_before_and_after_stand_side_by_side() -> None:
    tile = blooms(40, 60)
    picture = before_after_picture(tile, tile, HALF_DROP)
    assert picture.shape == (80, 120 + GAP_PX + 120, 3)
    assert np.array_equal(picture[:, :120], picture[:, -120:])
    # the corner of four tiles is in the middle
    assert np.array_equal(picture[40:, 60:120], tile)


def test_a_tile_of_a_few_pixels_can_be_judged_by_a_long_thin_one() -> None:
    """A stripe's smallest repeat may be one pixel high; the picture it was cut from is not."""
    picture = np.tile(blooms(60, 70), (6, 1, 1))
    stripe = np.ascontiguousarray(picture[:1])
    for tile in (stripe, orient(stripe, "y"), stripe[:, :3]):
        assert Interior(picture).score(tile, 0) >= 0.0
