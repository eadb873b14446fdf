"""What is motif, how large it is, and at what size a pattern is printed."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from palette.arrays import Pixels
from patterns.motifs import auto_repeat, motif_mask
from patterns.motifs.motif import measure_motifs
from patterns.units import MM_PER_INCH


def dots(side: int, across: int, radius: float, *, start: float = 0.0) -> tuple[Pixels, np.ndarray]:
    """Return a tile of across x across round dots on cream, and where they are."""
    step = side / across
    y, x = np.mgrid[0:side, 0:side] + 0.5
    dy, dx = ((v - start + step / 2) % step - step / 2 for v in (y, x))
    inside = np.hypot(dy, dx) < radius
    tile = np.where(inside[..., None], [40, 90, 120], [244, 236, 220]).astype(np.uint8)
    return tile, inside


@pytest.mark.parametrize("start", [0.0, 17.0, 30.0])
@pytest.mark.parametrize("side", [180, 900])
def test_dots_on_a_plain_ground(side: int, start: float) -> None:
    tile, inside = dots(side, 3, side / 15, start=start * side / 180)
    assert (motif_mask(tile) == inside).mean() > 0.98
    size = measure_motifs(tile)
    assert size.count == 9
    assert size.spacing_px == pytest.approx(side / 3, rel=0.02)
    assert size.motif_px == pytest.approx(np.sqrt(np.pi) * side / 15, rel=0.15)


def test_motifs_over_the_edges_are_counted_once() -> None:
    tile, _ = dots(200, 2, 30.0, start=0.0)  # four quarters at the corners, halves at the sides
    assert measure_motifs(tile).count == 4


def test_small_companions_are_not_motifs_of_their_own() -> None:
    tile, _ = dots(240, 2, 40.0, start=60.0)
    tile[118:122, 118:122] = [40, 90, 120]
    assert measure_motifs(tile).count == 4


def test_stripes_are_measured_across() -> None:
    tile = np.full((200, 200, 3), 240, dtype=np.uint8)
    for start in range(0, 200, 50):
        tile[:, start : start + 15] = [150, 30, 60]
    size = measure_motifs(tile)
    assert size.spacing_px == pytest.approx(50.0, rel=0.05)
    assert size.motif_px == pytest.approx(15.0, rel=0.1)


def test_a_tile_without_plain_ground_has_motifs_too() -> None:
    """Blobs of tone on a ground that wanders through many colours."""
    y, x = np.mgrid[0:240, 0:240] / 240.0
    wander = 60 * np.sin(2 * np.pi * x) + 50 * np.cos(2 * np.pi * y)
    ground = np.stack([128 + wander, 128 - wander, 120 + 0.5 * wander], axis=2)
    spots = (np.sin(10 * np.pi * x) * np.sin(10 * np.pi * y))[..., None] > 0.6
    tile = np.clip(ground + np.where(spots, 45, 0), 0, 255).astype(np.uint8)
    mask = motif_mask(tile)
    assert mask[spots[..., 0]].mean() > 0.6
    assert mask[~spots[..., 0]].mean() < 0.45


def test_a_plain_tile_has_none() -> None:
    size = measure_motifs(np.full((50, 80, 3), 120, dtype=np.uint8))
    assert (size.count, size.motif_px) == (0, 0.0)
    assert not motif_mask(np.full((50, 80, 3), 120, dtype=np.uint8)).any()


@pytest.mark.parametrize("shape", [(1, 1), (1, 300), (300, 2), (7, 9)])
def test_tiny_and_thin_tiles(shape: tuple[int, int]) -> None:
    tile = np.random.default_rng(0).integers(0, 256, (*shape, 3), dtype=np.uint8)
    assert motif_mask(tile).shape == shape
    assert auto_repeat(tile, 40.0, 26.0, 300.0).repeat_mm > 0.0


def test_three_whole_motifs_across_a_half_box() -> None:
    tile, _ = dots(1800, 3, 200.0)
    found = auto_repeat(tile, 40.0, 26.0, 300.0)
    assert found.repeat_mm == pytest.approx(26.0, rel=0.03)
    larger, chosen, smaller = found.considered
    assert chosen.motifs_across == pytest.approx(3.0, rel=0.03)
    assert larger.repeat_mm > chosen.repeat_mm > smaller.repeat_mm
    assert chosen.repeat_mm == found.repeat_mm


@pytest.mark.parametrize("side", [40, 150, 300, 700, 2000])
@pytest.mark.parametrize("across", [1, 2, 5])
def test_never_under_the_dpi_asked_for(side: int, across: int) -> None:
    tile, _ = dots(side, across, side / across / 4)
    found = auto_repeat(tile, 40.0, 26.0, 300.0)
    assert side * MM_PER_INCH / found.repeat_mm >= 300.0 - 1e-6


def test_few_pixels_are_printed_small_rather_than_soft() -> None:
    tile, _ = dots(160, 2, 27.0)
    found = auto_repeat(tile, 40.0, 26.0, 300.0)
    assert 26.0 / 3 * 2 <= found.suits_mm < 26.0  # two to three across, two to a tile
    assert found.chosen.effective_dpi == pytest.approx(300.0)
    assert found.considered[0].repeat_mm == found.repeat_mm  # none larger is crisp


def test_a_wash_has_no_motifs_and_is_printed_large() -> None:
    at = np.arange(400) * 2.0 * np.pi / 400
    tone = 150.0 + 40.0 * np.sin(at)[:, None] * np.cos(2.0 * at)[None, :]
    wash = np.repeat(tone[..., None], 3, axis=2).astype(np.uint8)
    assert measure_motifs(wash).count == 0
    assert measure_motifs(wash[: len(wash) * 3 // 5]).count == 0, "cropped, it is a wash still"
    assert auto_repeat(wash, 40.0, 26.0, 150.0).repeat_mm == pytest.approx(
        400 * MM_PER_INCH / 150.0
    )
    inked = wash.copy()
    inked[100:140, 100:140] = 20  # one hard edge makes a motif of it
    assert measure_motifs(inked).count > 0


def grain(side: int, fineness: float, seed: int) -> Pixels:
    """Return a texture whose strength falls with frequency, as in photographs of surfaces."""
    noise = np.random.default_rng(seed).normal(size=(side, side))
    across = np.fft.fftfreq(side)
    frequency = np.maximum(np.hypot(across[:, None], across[None]), 1.0 / side)
    tone = np.fft.ifft2(np.fft.fft2(noise) * frequency**-fineness).real
    tone = 128.0 + 30.0 * tone / tone.std()
    return np.repeat(np.clip(tone, 0, 255)[..., None], 3, axis=2).astype(np.uint8)


@pytest.mark.parametrize("fineness", [0.5, 1.0, 1.8])
def test_a_texture_is_no_crowd_of_specks(fineness: float) -> None:
    """Printed small, its tiles would look like the squares of a chessboard on a sticker."""
    found = auto_repeat(grain(600, fineness, 3), 40.0, 26.0, 300.0)
    assert found.repeat_mm == pytest.approx(600 * MM_PER_INCH / 300.0)  # as large as is crisp
    assert found.repeat_mm >= 40.0


def test_the_largest_motifs_decide_not_the_specks_between_them() -> None:
    """Two large flowers in a tile scattered with specks are not a confetti on a sticker."""
    side = 480
    y, x = np.mgrid[0:side, 0:side]
    tile = np.full((side, side, 3), (32, 52, 74), dtype=np.uint8)
    tile[np.hypot(y % 40 - 20, x % 40 - 20) < 4] = (240, 228, 200)
    for place in (120, 360):
        angle = np.arctan2(y - place, x - place)
        away = np.hypot(y - place, x - place)
        tile[away < 75 + 20 * np.cos(8 * angle)] = (200, 80, 100)
        tile[away < 22] = (240, 210, 90)
    size = measure_motifs(tile)
    assert size.count == 2
    assert size.motif_px == pytest.approx(75 * np.sqrt(np.pi), rel=0.1)
    found = auto_repeat(tile, 40.0, 26.0, 100.0)
    assert found.chosen.motif_mm > 5.0


def test_outlines_are_as_large_as_what_they_enclose() -> None:
    tile = np.full((600, 600, 3), 250, dtype=np.uint8)
    y, x = np.mgrid[0:300, 0:300]
    ring = np.abs(np.hypot(y - 150, x - 150) - 80) < 5
    tile[np.tile(ring, (2, 2))] = 40
    size = measure_motifs(tile)
    assert size.count == 4
    assert size.motif_px == pytest.approx(np.sqrt(np.pi) * 83, rel=0.1)


def test_what_is_rich_in_detail_is_printed_larger_than_what_is_plain() -> None:
    plain, _ = dots(900, 2, 160.0)
    y, x = np.mgrid[0:900, 0:900]
    rich = plain.copy()
    rich[(plain[..., 0] < 100) & (np.sin(x / 9.0) * np.sin(y / 9.0) > 0)] = (250, 200, 90)
    sizes = [auto_repeat(tile, 40.0, 26.0, 300.0).repeat_mm for tile in (plain, rich)]
    assert sizes[0] == pytest.approx(26.0 / 3 * 2, rel=0.15)
    assert sizes[1] > 1.5 * sizes[0]
    assert sizes[1] <= 40.0 + 1e-9  # one tile across the box is large enough


@pytest.mark.parametrize("kind", ["dots", "rich", "grain"])
def test_a_box_slightly_larger_changes_a_repeat_slightly(kind: str) -> None:
    """A box 5 % larger once gave a repeat 62 % larger."""
    tile = grain(240, 1.0, 1) if kind == "grain" else dots(240, 2, 45.0)[0]
    if kind == "rich":
        tile = tile.copy()
        tile[::12, :, :] = 250
    boxes = [30.0 * 1.05**step for step in range(10)]
    sizes = [auto_repeat(tile, box, 0.65 * box, 150.0).repeat_mm for box in boxes]
    assert all(1.0 <= after / before <= 1.1 for before, after in pairwise(sizes))


def test_ruled_artwork_is_printed_by_its_sett_and_smaller_than_what_is_rich_in_detail() -> None:
    """A plaid came out twice as large as two pairs of eyes wrote down. Common practice."""
    inks = np.array([[40, 60, 95], [205, 190, 160], [150, 45, 40], [90, 120, 80]], dtype=np.float64)
    sett = np.tile(np.repeat([0, 1, 2, 1, 3], [90, 30, 20, 70, 60]), 4)
    plaid = ((inks[sett][None] + inks[sett][:, None]) / 2.0).astype(np.uint8)
    size = measure_motifs(plaid)
    assert size.is_ruled
    assert size.spacing_px > 0.6 * 270
    sett_mm = auto_repeat(plaid, 38.0, 24.0, 300.0).repeat_mm / 4
    assert 24.0 / 4 <= sett_mm <= 24.0 / 2  # two to four setts across the shorter side
    assert not measure_motifs(dots(900, 4, 40.0)[0]).is_ruled
    assert not measure_motifs(grain(240, 1.0, 1)).is_ruled
