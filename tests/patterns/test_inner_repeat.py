"""A plaid is never stopped for its own lines, and a fault in it is never excused by them.

No published source: tiles drawn exactly, with and without a fault.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from learning.faults import jpeg
from patterns.plane import HALF_DROP
from patterns.seams import check_seams
from patterns.seams.inner_repeat import (
    breaks_inner_repeat,
    inner_repeats,
    obeys_inner_repeat,
    runs_through_repeats,
)

INKS = np.array([[38, 61, 92], [205, 190, 160], [150, 44, 40], [70, 110, 74]], np.float64)
SETT = np.repeat([0, 1, 2, 1, 0, 3], [24, 10, 6, 14, 30, 18])  # 102 threads


def plaid(times: int, roll: int = 0) -> NDArray[np.float64]:
    """A tile of several setts both ways, which begins at any place of one."""
    threads = np.roll(np.tile(SETT, times), roll)
    return (INKS[threads][None] + INKS[threads][:, None]) / 2.0


def pixels(tile: NDArray[np.float64]) -> NDArray[np.uint8]:
    return np.clip(np.rint(tile), 0, 255).astype(np.uint8)


@pytest.mark.parametrize(
    ("times", "roll"),
    [
        *((times, roll) for times in (2, 3) for roll in range(0, 102, 6)),
        *((5, roll) for roll in range(0, 102, 24)),
    ],
)
def test_a_plaid_is_seamless_wherever_it_begins(times: int, roll: int) -> None:
    """Else a maker is told to mend bought artwork that is sound."""
    check = check_seams(pixels(plaid(times, roll)))
    assert (check.x.verdict, check.y.verdict) == ("seamless", "seamless")


@pytest.mark.parametrize("roll", [0, 13, 40])
def test_noise_and_a_weave_leave_the_proof_standing(roll: int) -> None:
    random = np.random.default_rng(roll)
    noisy = plaid(3, roll) + random.normal(0.0, 3.0, (306, 306, 1))
    assert all(obeys_inner_repeat(pixels(noisy), axis) for axis in (0, 1))


def test_the_repeats_inside_are_found() -> None:
    assert set(inner_repeats(pixels(plaid(4)))) == {102, 204}
    assert inner_repeats(pixels(plaid(1))) == []
    assert inner_repeats(pixels(plaid(3)[:-1])) == []


def pale_edge(tile: NDArray[np.float64]) -> None:
    tile[:, -1] += (255.0 - tile[:, -1]) * 0.4


def drift(tile: NDArray[np.float64]) -> None:
    tile += np.linspace(-10.0, 10.0, tile.shape[1])[None, :, None]


def other_stripe(tile: NDArray[np.float64]) -> None:
    tile[:, -9:] = INKS[2]


def cut_motif(tile: NDArray[np.float64]) -> None:
    y, x = np.mgrid[0 : tile.shape[0], 0 : tile.shape[1]]
    tile[(x > tile.shape[1] - 20) & (abs(y - 150) < 15)] = INKS[2]


def shade_beside(tile: NDArray[np.float64]) -> None:
    tile[:, :6] += 12.0


@pytest.mark.parametrize("fault", [pale_edge, drift, other_stripe, cut_motif, shade_beside])
@pytest.mark.parametrize("times", [2, 3])
@pytest.mark.parametrize("roll", [0, 40])
def test_a_fault_at_the_join_is_not_excused(fault, times: int, roll: int) -> None:
    """Else spoiled paper tells the maker."""
    tile = plaid(times, roll)
    fault(tile)
    assert not obeys_inner_repeat(pixels(tile), 0)
    if fault is not shade_beside:  # so soft a step is excused by other rules
        assert check_seams(pixels(tile)).x.verdict != "seamless"
    assert obeys_inner_repeat(pixels(plaid(times, roll)), 0)


@pytest.mark.parametrize("off", [-4, 5, 12])
@pytest.mark.parametrize("roll", [0, 40])
def test_a_plaid_that_holds_no_whole_setts_is_a_seam(off: int, roll: int) -> None:
    """However well its edges agree; of two setts it is asked, since a pair may be meant.

    Where the tile holds the same sett whole the other way, it is sure.
    """
    for times, high, sure in ((3, 400, 1.0), (2, 250, 0.5), (2, 204, 1.0)):
        tile = plaid(4, roll)[:high, : 102 * times + off]
        assert breaks_inner_repeat(pixels(tile), 0) == sure
        check = check_seams(pixels(tile)).x
        assert check.verdict in ("unsure", "seam")[int(sure) :]
        (fault,) = check.faults
        assert (fault.kind, fault.from_px, fault.to_px) == ("rhythm", 0, len(check.strength))
        assert fault.shift_de2000 == round(float(check.strength.mean()), 2)


@pytest.mark.parametrize("times", [2, 3])
def test_whole_setts_and_two_lines_break_nothing(times: int) -> None:
    assert breaks_inner_repeat(pixels(plaid(times)), 0) == 0.0
    lines = np.broadcast_to(INKS[1], (120, 106, 3)).copy()
    lines[:, 26:32] = lines[:, 76:82] = INKS[0]
    assert breaks_inner_repeat(pixels(lines), 0) == 0.0


def dots(count: int, times: int) -> NDArray[np.float64]:
    """Rows of soft dots whose repeat is no whole number of pixels."""
    y, x = np.mgrid[0:count, 0:count] * (times / count)
    near = np.hypot((x % 1.0) - 0.45, (y % 1.0) - 0.3) * count / times
    inside = np.clip(12.5 - near, 0.0, 1.0)[..., None]
    return INKS[1] * (1.0 - inside) + INKS[2] * inside


@pytest.mark.parametrize(("count", "times"), [(160, 3), (161, 2)])
def test_a_repeat_between_two_pixels_proves_a_join_and_excuses_no_fault(
    count: int, times: int
) -> None:
    """A program that draws smoothly lays motifs anywhere between pixels."""
    tile = dots(count, times)
    assert all(obeys_inner_repeat(pixels(np.roll(tile, by, axis=1)), 0) for by in (0, 17, 40))
    for fault in (pale_edge, drift, cut_motif):
        spoiled = tile.copy()
        fault(spoiled)
        assert not obeys_inner_repeat(pixels(spoiled), 0)
    for lines in (1, 3):  # doubled, or cropped off the repeat
        longer = np.concatenate([tile, np.repeat(tile[:, -1:], lines, axis=1)], axis=1)
        assert not obeys_inner_repeat(pixels(np.roll(tile, 9, axis=1)[:, :-lines]), 0)
        assert lines == 1 or not obeys_inner_repeat(pixels(longer), 0)


@pytest.mark.parametrize("quality", [60, 90])
@pytest.mark.parametrize("roll", [0, 40])
def test_a_lossy_file_proves_its_join_and_excuses_no_fault(quality: int, roll: int) -> None:
    """At the edge of the file colours are not mixed as they are at a line inside."""
    tile = plaid(3, roll)
    saved = jpeg(pixels(tile), quality)
    assert all(obeys_inner_repeat(saved, axis, lossy=True) for axis in (0, 1))
    for fault in (pale_edge, drift, other_stripe, cut_motif):
        spoiled = tile.copy()
        fault(spoiled)
        assert not obeys_inner_repeat(jpeg(pixels(spoiled), quality), 0, lossy=True)


def test_what_is_nowhere_else_is_asked_about() -> None:
    """A pale line at the join of a plaid that is exact everywhere else."""
    tile = plaid(3, 30)
    tile[:, -1] += (255.0 - tile[:, -1]) * 0.3
    assert breaks_inner_repeat(pixels(tile), 0) == 0.5
    assert breaks_inner_repeat(pixels(plaid(3, 30)), 0) == 0.0


# ---- limits, each on both sides; all common practice, no published source


def tiled(lines: int, times: int) -> NDArray[np.uint8]:
    """Noise of so many lines, several times; the first axis runs across the join."""
    one = np.random.default_rng(1).integers(0, 256, (lines, 40, 3)).astype(np.uint8)
    return np.tile(one, (times, 1, 1))


@pytest.mark.parametrize(
    ("lines", "times", "repeats"),
    [
        (16, 7, {16}),  # sixteen lines at the least
        (15, 7, set()),
        (16, 24, {16, 32, 48, 64, 96, 128, 192}),
        (16, 25, {80}),  # two dozen times at the most
        (40, 2, {40}),
        (40, 1, set()),
    ],
)
def test_repeats_of_sixteen_lines_up_to_two_dozen_times(lines, times, repeats) -> None:
    assert set(inner_repeats(tiled(lines, times))) == repeats


def test_the_repeat_that_a_tile_is_most_like_comes_first() -> None:
    tile = tiled(20, 4).astype(float)
    tile[20:40] = tile[60:] = tile[20:40] * 0.8 + 20.0
    assert inner_repeats(pixels(tile)) == [40, 20]
    assert inner_repeats(np.full((64, 40, 3), 90, np.uint8)) == []


def test_a_neighbour_that_is_moved_along_is_compared_where_it_lies() -> None:
    """A half drop of two setts is what it is without the drop; a quarter is not."""
    whole, broken = plaid(2, 13), plaid(4, 13)[:102, :318]
    smooth = waves(161, 161 / 3.0, down=40.0)
    for axis in (0, 1):
        moved = [obeys_inner_repeat(pixels(whole), axis, shift) for shift in (0.0, 0.5, 0.25)]
        assert moved == [True, True, False]
    soft = [obeys_inner_repeat(pixels(smooth), 0, shift) for shift in (0.0, 0.5, 0.25)]
    assert soft == [True, True, False]
    assert breaks_inner_repeat(pixels(broken), 0, 0.5) == 1.0
    one_way = plaid(2, 13)[:150]  # down it is cropped
    assert [obeys_inner_repeat(pixels(one_way), axis) for axis in (0, 1)] == [True, False]


def test_a_half_drop_is_proven_as_it_is_laid() -> None:
    """Dropped by a sett and a half, a plaid of three does not meet its neighbour."""
    whole, half = (check_seams(pixels(plaid(times, 13)), HALF_DROP) for times in (2, 3))
    assert (whole.x.verdict, whole.y.verdict) == ("seamless", "seamless")
    assert half.x.verdict != "seamless"
    assert half.y.verdict == "seamless"


def greys(times: int) -> NDArray[np.float64]:
    """Upright stripes whose repeat is 96 px, 128 px high."""
    line = np.full(96, 150.0)
    line[10:30], line[50:58] = 90.0, 200.0
    return np.tile(line[None, :, None], (128, times, 3))


@pytest.mark.parametrize("side", [np.s_[:, :48], np.s_[:, -48:]])
@pytest.mark.parametrize(("tone", "sound"), [(1, True), (3, False)])
def test_a_tone_that_nobody_sees_is_told_by_the_whole_edge(side, tone: int, sound: bool) -> None:
    """L* 0.4 beside the join is nothing, L* 1.1 all along it is a step."""
    tile = greys(3)
    tile[side] += tone
    assert obeys_inner_repeat(pixels(tile), 0) == sound


@pytest.mark.parametrize(("tone", "sound"), [(3, True), (6, False), (60, False)])
@pytest.mark.parametrize("at", [4, 60, 100])
def test_a_small_motif_cut_off_is_found_anywhere_along_the_edge(at, tone: int, sound: bool) -> None:
    tile = greys(2)
    tile[at : at + 22, -12:] += tone
    assert obeys_inner_repeat(pixels(tile), 0) == sound


@pytest.mark.parametrize(
    ("first", "second", "sound"),
    [(5, 0, True), (5, 2, False), (13, 0, True), (15, 0, False)],
)
def test_of_three_repeats_drawn_by_hand_the_join_may_differ_as_two_do(
    first: int, second: int, sound: bool
) -> None:
    """By a quarter more than two inside do, and by 5 (CIE76) at the most."""
    tile = greys(3)
    tile[40:64, 64:96] += first
    tile[40:64, 160:192] += second
    assert obeys_inner_repeat(pixels(tile), 0) == sound


def waves(count: int, repeat: float, down: float = 80.0) -> NDArray[np.float64]:
    """Soft slanting waves, of which a line too many is hardly seen."""
    y, x = np.mgrid[0:80, 0:count]
    tone = 120.0 + 40.0 * np.sin(2.0 * np.pi * (x / repeat + y / down))
    return np.repeat(tone[..., None], 3, axis=2)


@pytest.mark.parametrize(
    ("count", "whole", "sound"),
    [(161, 161, True), (160, 161, False), (163, 163, True), (163, 162, False)],
)
def test_a_line_too_many_or_too_few_is_not_spread_over_all_repeats(count, whole, sound) -> None:
    """Else a tile that was cropped a line short passes, and shows at each repeat."""
    assert obeys_inner_repeat(pixels(waves(count, whole / 3.0)), 0) == sound


def bars(count: int, width: int) -> NDArray[np.uint8]:
    """Lines 40 px apart on a plain ground."""
    tile = np.full((64, width, 3), 200.0)
    for at in range(10, 10 + 40 * count, 40):
        tile[:, at : at + 4] = 60.0
    return pixels(tile)


@pytest.mark.parametrize(
    ("count", "width", "sure"),
    [
        *((4, 157, 1.0), (4, 158, 0.0), (4, 162, 0.0), (4, 163, 1.0)),
        *((3, 117, 1.0), (3, 118, 0.0), (3, 122, 0.0), (3, 123, 1.0)),
        *((2, 79, 0.0), (2, 88, 0.0)),  # two lines may be a pair
    ],
)
def test_a_rhythm_is_broken_by_more_than_rounding(count: int, width: int, sure: float) -> None:
    """A line, and half a line a repeat, is what a program rounds off; less where two are seen."""
    assert breaks_inner_repeat(bars(count, width), 0) == sure
    assert breaks_inner_repeat(bars(count, width).transpose(1, 0, 2), 1) == sure


@pytest.mark.parametrize(("at", "sure"), [(5, 1.0), (15, 1.0), (30, 1.0), (60, 0.0)])
def test_a_repeat_that_differs_from_itself_away_from_the_join_proves_nothing(at, sure) -> None:
    """Beside the join, as far as half a repeat, a difference is the fault's own."""
    tile = plaid(4, 13)[:64, :302]
    tile[16:48, at : at + 8] += 30.0
    assert breaks_inner_repeat(pixels(tile), 0) == sure


@pytest.mark.parametrize("wider", [4, 6, 11])
def test_a_last_gap_that_is_wider_breaks_thin_lines(wider: int) -> None:
    """One line that is not there spoils such a tile's likeness to itself; stickers show the gap."""
    tile = np.tile(INKS[np.repeat([1, 0], [32, 2])], (60, 5, 1))
    tile = np.roll(tile, 11, axis=1)
    wide = np.concatenate([tile, tile[:, -1:].repeat(wider, axis=1)], axis=1)
    assert check_seams(pixels(tile)).x.verdict == "seamless"
    assert check_seams(pixels(wide)).x.verdict == "seam"


def test_a_slow_tone_runs_through_two_repeats() -> None:
    """It jumps back at each edge of the tile, whatever line of the plaid lies there."""
    tile = plaid(2, 24)
    slope = np.linspace(-10.0, 10.0, tile.shape[1])[None, :, None]
    assert runs_through_repeats(pixels(tile + slope), 0)
    assert not runs_through_repeats(pixels(tile), 0)
    assert check_seams(pixels(tile + slope)).x.verdict == "seam"
