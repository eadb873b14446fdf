"""Offsets: the fast cost against brute force, cleaner edges on motif tiles, no silent twins."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.fills.bareness import bareness
from kit.fills.field import Field, periodic_field
from kit.fills.offsets import Edges, choose_offsets, cut_costs, dissimilarity, edge_band
from kit.shapes import Rect, circle, rounded_rectangle
from patterns.plane import HALF_BRICK, HALF_DROP, LATTICES, STRAIGHT


def edges(width, height, border=None):
    box = Rect(0.0, 0.0, width, height)
    panels = () if border is None else (rounded_rectangle(box.grow(-border), 1.0),)
    return Edges(rounded_rectangle(box, 1.5), panels)


FULL, HALF, STRIP = edges(40.0, 52.0), edges(40.0, 26.0), edges(6.67, 52.0)
FRAMED = edges(40.0, 52.0, border=4.0)
SIDE = 60.0  # millimetres


def grid(cells=480):
    at = (np.arange(cells) + 0.5) * SIDE / cells
    return at[None, :], at[:, None]


def wrapped(x, y, cx, cy):
    """Distance to a point on the tile without end."""
    dx = (x - cx + SIDE / 2) % SIDE - SIDE / 2
    dy = (y - cy + SIDE / 2) % SIDE - SIDE / 2
    return np.hypot(dx, dy)


def dots():
    x, y = grid()
    u, v = (x + 7.5) % 15.0 - 7.5, (y + 7.5) % 15.0 - 7.5
    return (np.hypot(u, v) < 3.5).astype(float)


def flowers():
    x, y = grid()
    source = np.random.default_rng(3)
    mask = np.zeros((480, 480))
    placed = []
    while len(placed) < 12:
        cx, cy = source.uniform(0, SIDE, 2)
        if all(wrapped(cx, cy, *other[:2]) > 13 for other in placed):
            placed.append((cx, cy))
            mask[wrapped(x, y, cx, cy) < source.uniform(3.5, 5.0)] = 1.0
    return mask


def blobs():
    source = np.random.default_rng(5)
    noise = np.fft.rfft2(source.normal(size=(480, 480)))
    fy, fx = np.fft.fftfreq(480, SIDE / 480)[:, None], np.fft.rfftfreq(480, SIDE / 480)[None, :]
    smooth = np.fft.irfft2(noise * np.exp(-((fx**2 + fy**2) * 9.0**2)))
    return (smooth > np.quantile(smooth, 0.75)).astype(float)


def stripes():
    x, y = grid()
    return (((x + y) % 10.0) < 4.0).astype(float)


MOTIFS = {"dots": dots, "flowers": flowers, "blobs": blobs}


def field(mask, lattice=STRAIGHT):
    return periodic_field(mask, SIDE, SIDE * mask.shape[0] / mask.shape[1], lattice)


@pytest.mark.parametrize("name", list(LATTICES))
@pytest.mark.parametrize(
    "sticker", [edges(7.3, 5.1), edges(26.0, 19.0, 3.2)], ids=["small", "large"]
)
def test_cost_is_brute_force(name, sticker):
    """Every offset by moving the window over the plane, tile by tile, without any transform."""
    tile = np.random.default_rng(1).random((31, 37))
    mask = periodic_field(tile, 9.3, 7.7, LATTICES[name])
    costs = cut_costs(mask, sticker)
    band, first_row, first_col = edge_band(sticker, mask.pitch_mm)
    rows, cols = mask.values.shape
    at_rows = np.arange(band.shape[0]) + first_row
    at_cols = np.arange(band.shape[1]) + first_col
    brute = np.empty((rows, cols))
    for i in range(rows):
        for j in range(cols):
            window = mask.values[np.ix_((at_rows + i) % rows, (at_cols + j) % cols)]
            brute[i, j] = (window * band).sum() / band.sum()
    assert np.abs(costs - brute).max() < 1e-9


def test_band_lies_along_the_edges():
    """Weight 1 within half a millimetre, half to a millimetre inside, nothing beyond."""
    band, row, col = edge_band(edges(20.0, 30.0), (0.25, 0.25))
    assert (row, col) == (-2, -2)
    across = band[band.shape[0] // 2, :8]
    # cells from 0.5 mm outside to 1.5 mm inside, each 0.25 mm
    assert across == pytest.approx([1, 1, 1, 1, 0.5, 0.5, 0, 0], abs=1e-9)


def test_panels_edge_is_seen_from_outside():
    band, _, _ = edge_band(FRAMED, (0.25, 0.25))
    across = band[band.shape[0] // 2]
    panel = across[2 + 16 - 6 : 2 + 16 + 4]  # the border is 4 mm = 16 cells
    assert panel == pytest.approx([0, 0, 0.5, 0.5, 1, 1, 1, 1, 0, 0], abs=1e-9)


def test_a_window_around_one_motif_cuts_nothing():
    x, y = grid()
    mask = field((wrapped(x, y, 20.0, 35.0) < 4.0).astype(float))
    costs = cut_costs(mask, edges(12.0, 12.0))
    inside = costs[int((35.0 - 6.0) * 4), int((20.0 - 6.0) * 4)]
    cut = costs[int((35.0 - 6.0) * 4), int(20.0 * 4)]
    assert inside == pytest.approx(0.0, abs=1e-12)
    assert cut > 0.1


@pytest.mark.parametrize("name", list(MOTIFS))
def test_edges_come_out_clean_on_motif_tiles(name):
    """At most 0.35 of a random offset's motif on a full box's edge, looking for nothing else."""
    mask = field(MOTIFS[name]())
    chosen = choose_offsets(mask, mask, [FULL], lean=0.0)
    assert chosen.gains
    assert chosen.cut_cost_ratio <= 0.35
    assert chosen.distance == math.inf


@pytest.mark.parametrize("sticker", [FULL, HALF, STRIP], ids=["full", "half", "strip"])
def test_stripes_are_told_as_no_gain(sticker):
    mask = field(stripes())
    assert not choose_offsets(mask, mask, [sticker], lean=0.0).gains


@pytest.mark.parametrize("name", list(MOTIFS))
def test_four_stickers_differ(name):
    """The two most alike of four full boxes are at least 0.3 apart, at the default lean."""
    mask = field(MOTIFS[name]())
    chosen = choose_offsets(mask, mask, [FULL] * 4)
    assert chosen.distance > 0.3
    assert chosen.cut_cost_ratio < 1.0
    assert len(set(chosen.offsets_mm)) == 4


def crop(mask, offset, width=40.0, height=52.0):
    rows, cols = mask.values.shape
    i = np.arange(round(height / mask.pitch_mm[1])) + round(offset[1] / mask.pitch_mm[1])
    j = np.arange(round(width / mask.pitch_mm[0])) + round(offset[0] / mask.pitch_mm[0])
    return mask.values[np.ix_(i % rows, j % cols)]


def test_far_apart_is_not_different():
    """The trap: dots repeat every 15 mm, so offsets 30 mm apart show the same crop."""
    mask = field(dots())
    unlike = dissimilarity(mask)
    assert unlike[120, 120] == pytest.approx(0.0, abs=1e-6)  # 30 mm both ways, in 0.25 mm cells
    chosen = choose_offsets(mask, mask, [FULL] * 4)
    crops = [crop(mask, offset) for offset in chosen.offsets_mm]
    spread = math.sqrt(2) * mask.values.std()
    nearest = min(
        math.sqrt(((a - b) ** 2).mean()) / spread for i, a in enumerate(crops) for b in crops[:i]
    )
    assert nearest > 0.3


def test_the_same_motifs_a_little_further_on_are_no_other_picture():
    """Of five half boxes no two lie nearer than nearly a third of the repeat, along x and y."""
    mask = field(flowers())
    chosen = choose_offsets(mask, mask, [HALF] * 5)
    ways = [
        sum(min(abs(p - q), SIDE - abs(p - q)) for p, q in zip(a, b, strict=True))
        for i, a in enumerate(chosen.offsets_mm)
        for b in chosen.offsets_mm[:i]
    ]
    assert min(ways) > 0.3 * SIDE
    assert chosen.cut_cost_ratio < 0.3


def test_unlikeness_is_brute_force():
    """Every difference against every other one: no steeper than a third of the tile allows."""
    tile = np.random.default_rng(7).random((18, 24))
    made = Field(tile, (0.5, 0.5))
    rows, cols = tile.shape
    flat = tile - tile.mean()
    alike = np.array([[(flat * np.roll(flat, (i, j), (0, 1))).sum() for j in range(cols)]
                      for i in range(rows)])  # fmt: skip
    alike = np.clip(alike / alike[0, 0], 0.0, 1.0)

    def eased(reach_mm):
        out = np.empty_like(alike)
        for i in range(rows):
            for j in range(cols):
                down = np.abs((np.arange(rows) - i + rows // 2) % rows - rows // 2)
                across = np.abs((np.arange(cols) - j + cols // 2) % cols - cols // 2)
                way = 0.5 * (down[:, None] + across[None, :])
                out[i, j] = (alike - way / reach_mm).max()
        return out

    farthest = (1.0 - eased((9.0 + 12.0) / 2.0)).max()
    assert np.abs(dissimilarity(made) - (1.0 - eased(farthest * 9.0 / 3.0))).max() < 1e-8


def test_one_colour_is_reported_as_identical():
    plain = field(np.full((40, 40), 0.5))
    chosen = choose_offsets(plain, plain, [FULL] * 3)
    assert chosen.distance == 0.0
    assert not chosen.gains


def test_lean_trades_clean_edges_for_variety():
    mask = field(dots())
    clean, both, varied = (choose_offsets(mask, mask, [FULL] * 4, lean) for lean in (0.0, 0.5, 1.0))
    assert clean.cut_cost_ratio <= both.cut_cost_ratio + 1e-9
    assert clean.cut_cost_ratio < varied.cut_cost_ratio
    assert clean.distance <= both.distance <= varied.distance + 0.05
    assert clean.distance < 0.01  # the cleanest place is the same for all: reported, not hidden


def test_half_drop_plane_is_a_straight_one_of_two_tiles():
    tile = np.random.default_rng(2).random((40, 40))
    drop = periodic_field(tile, 10.0, 10.0, HALF_DROP).values
    assert drop.shape == (40, 80)
    assert np.allclose(drop[:, 40:], np.roll(drop[:, :40], 20, axis=0))
    brick = periodic_field(tile, 10.0, 10.0, HALF_BRICK).values
    assert brick.shape == (80, 40)
    assert np.allclose(brick[40:], np.roll(brick[:40], 20, axis=1))


@pytest.mark.parametrize("size", [(31, 37), (480, 480), (1800, 1800), (90, 700)])
def test_field_keeps_the_mean(size):
    tile = np.random.default_rng(4).random(size)
    made = periodic_field(tile, 19.05, 19.05 * size[0] / size[1])
    assert made.values.mean() == pytest.approx(tile.mean(), abs=1e-9)
    rows, cols = made.values.shape
    assert rows % 2 == 0
    assert cols * made.pitch_mm[0] == pytest.approx(19.05)


def test_fields_must_share_a_grid():
    with pytest.raises(ValueError, match="one grid"):
        choose_offsets(field(dots()), periodic_field(np.zeros((8, 8)), 10.0, 10.0), [FULL])


def test_choosing_is_repeatable():
    mask = field(flowers())
    stickers = [FULL] * 4 + [FRAMED] * 3 + [HALF] * 4 + [STRIP] * 12
    assert choose_offsets(mask, mask, stickers) == choose_offsets(mask, mask, stickers)


def test_a_round_sticker_has_a_round_band():
    band, _, _ = edge_band(Edges(circle(10.0, 10.0, 10.0)), (0.25, 0.25))
    # a ring 1 mm wide at weight 1, and one from 9.0 to 9.5 mm at a half
    area = band.sum() * 0.25**2
    expected = math.pi * (10.5**2 - 9.5**2) + 0.5 * math.pi * (9.5**2 - 9.0**2)
    assert area == pytest.approx(expected, rel=0.01)


def test_field_is_read_only():
    made: Field = field(dots())
    with pytest.raises(ValueError, match="read-only"):
        made.values[0, 0] = 1.0


def test_a_strip_of_scattered_motifs_is_not_left_bare() -> None:
    """Four motifs far apart: the cleanest cut of a strip would show none of them."""
    values = np.zeros((160, 160))
    for row, col in ((30, 30), (30, 110), (110, 60), (110, 140)):
        values[row - 6 : row + 6, col - 6 : col + 6] = 1.0
    mask = Field(values, (0.25, 0.25))
    strip = Edges(rounded_rectangle(Rect(0.0, 0.0, 38.0, 5.0), 0.5))
    found = choose_offsets(mask, mask, [strip] * 3)
    for x_mm, y_mm in found.offsets_mm:
        rows = (round(y_mm / 0.25) + np.arange(20)) % 160
        cols = (round(x_mm / 0.25) + np.arange(152)) % 160
        assert values[np.ix_(rows, cols)].mean() > 0.3 * values.mean()
    assert bareness(Field(np.zeros((8, 8)), (0.25, 0.25)), strip.outline).max() == 0.0
