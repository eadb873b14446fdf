"""A plaid is never stopped for its own lines, and a fault in it is never excused by them.

No published source: tiles drawn exactly, with and without a fault.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from learning.faults import jpeg
from patterns.seams import check_seams
from patterns.seams.inner_repeat import (
    breaks_inner_repeat,
    inner_repeats,
    obeys_inner_repeat,
)

INKS = np.array([[38, 61, 92], [205, 190, 160], [150, 44, 40], [70, 110, 74]], np.float64)
SETT = np.repeat([0, 1, 2, 1, 0, 3], [24, 10, 6, 14, 30, 18])  # 102 threads


def plaid(times: int, roll: int = 0) -> NDArray[np.float64]:
    """A tile of several setts both ways, which begins at any place of one."""
    threads = np.roll(np.tile(SETT, times), roll)
    return (INKS[threads][None] + INKS[threads][:, None]) / 2.0


def pixels(tile: NDArray[np.float64]) -> NDArray[np.uint8]:
    return np.clip(np.rint(tile), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("roll", range(0, 102, 6))
@pytest.mark.parametrize("times", [2, 3, 5])
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
        assert check_seams(pixels(tile)).x.verdict in ("unsure", "seam")[int(sure) :]


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
