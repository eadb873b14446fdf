"""Ruled artwork of one repeat is never stopped for its own lines; what is no line of it still is.

No published source: tiles drawn exactly. A maker would mend bought artwork that is sound, or print
a line through every sticker.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from learning.faults import jpeg
from patterns.plane import STRAIGHT
from patterns.seams import check_seams
from patterns.seams.joins import Joins, Stack, build_joins
from patterns.seams.rhythm import is_seen_thrice
from patterns.seams.stripes import place_in_stripes, run_evenly

INKS = np.array([[38, 61, 92], [205, 190, 160], [150, 44, 40]], np.float64)
SIDE = 120


def stripes(*widths: int, roll: int = 0) -> NDArray[np.float64]:
    """Return upright stripes of the inks by turns; the first begins ``roll`` after the left."""
    threads = np.repeat(np.arange(len(widths)) % len(INKS), widths)
    line = INKS[np.roll(threads, roll)]
    return np.broadcast_to(line[None], (SIDE, *line.shape)).copy()


def pixels(tile: NDArray[np.float64]) -> NDArray[np.uint8]:
    return np.clip(np.rint(tile), 0, 255).astype(np.uint8)


def place(tile: NDArray[np.float64], *, lossy: bool = False) -> str | None:
    return place_in_stripes(build_joins(pixels(tile), STRAIGHT)[0], lossy=lossy)


@pytest.mark.parametrize(("roll", "where"), [(0, "between"), (1, "inside"), (-1, "inside")])
@pytest.mark.parametrize("noise", [0.0, 3.0])
def test_a_join_lies_inside_a_stripe_or_between_two(roll: int, where: str, noise: float) -> None:
    grain = np.random.default_rng(1).normal(0.0, noise, (SIDE, SIDE, 1))
    tile = stripes(50, 30, 40, roll=roll) + grain
    assert place(tile) == where
    check = check_seams(pixels(tile)).x
    assert check.verdict == "seamless" if where == "inside" else check.verdict != "seam"


def test_what_is_no_stripe_is_other_artwork() -> None:
    """A pale edge, a motif cut off; and a tone that drifts to a hard line of the design."""
    pale, motif, drift = (stripes(50, 30, 40, roll=r) for r in (20, 20, 0))
    pale[:, -1] += (255.0 - pale[:, -1]) * 0.5
    y, x = np.mgrid[0:SIDE, 0:SIDE]
    motif[np.hypot(x - SIDE, y - 60) < 14] = INKS[1]
    drift += np.linspace(-10.0, 10.0, SIDE)[None, :, None]
    assert (place(pale), place(drift)) == (None, "drift")
    assert [check_seams(pixels(tile)).x.verdict for tile in (pale, motif)] == ["seam", "seam"]


def test_a_line_of_its_own_on_the_boundary_is_asked_about() -> None:
    """The steps at the join are as loud as those inside: a person must say."""
    check = check_seams(pixels(stripes(50, 30, 40))).x
    assert check.verdict != "seam"
    if check.verdict == "unsure":
        assert check.question == "line-part-of-design"


def bars(*places: int, width: int) -> NDArray[np.float64]:
    tile = np.broadcast_to(INKS[1], (SIDE, width, 3)).copy()
    for at in places:
        tile[:, at : at + 6] = INKS[0]
    return tile


@pytest.mark.parametrize("first", [24, 30, 36])
def test_two_lines_are_a_pair_and_no_rhythm(first: int) -> None:
    """They may stand nearer to each other than to the next pair: 40 px and 60 px by turns."""
    assert check_seams(pixels(bars(first, first + 40, width=100))).x.verdict == "seamless"


def test_three_lines_at_equal_distances_are_a_rhythm() -> None:
    even = bars(10, 50, 90, 130, width=155).astype(np.float32)
    across = np.ascontiguousarray(even.transpose(1, 0, 2))
    assert is_seen_thrice(across, 40)
    assert not is_seen_thrice(across[:88], 40)
    assert not is_seen_thrice(across, 0)
    check = check_seams(pixels(even)).x
    assert (check.verdict, check.faults[0].kind) == ("seam", "rhythm")


def broad(*widths: int) -> NDArray[np.float64]:
    """Return upright stripes, each of a colour of its own."""
    own = np.random.default_rng(3).integers(30, 230, (len(widths), 3)).astype(np.float64)
    line = own[np.repeat(np.arange(len(widths)), widths)]
    return np.broadcast_to(line[None], (SIDE, *line.shape)).copy()


@pytest.mark.parametrize("quality", [60, 85])
def test_stripes_of_one_width_go_on_across_the_join(quality: int) -> None:
    """Six of 100 px in 600 px: the line on the edge is where the next one must be."""
    even = jpeg(pixels(broad(*[100] * 6)), quality)
    assert run_evenly(even, 0)
    assert check_seams(even, lossy=True).x.verdict == "seamless"


def test_stripes_of_other_widths_are_no_proof() -> None:
    """One cut short, one wider, a pale edge, a motif cut off, a fifth line."""
    assert run_evenly(pixels(broad(*[100] * 6)), 0)
    pale, motif, line = (broad(*[100] * 6) for _ in range(3))
    pale[:, -1] = 255.0
    y, x = np.mgrid[0:SIDE, 0:600]
    motif[np.hypot(x - 600, y - 60) < 14] = INKS[1]
    line[:, 350:354] = 255.0
    widths = ([100] * 5 + [90], [100] * 5 + [112], [80, 120] * 3, [300, 300])
    for tile in (*(broad(*one) for one in widths), pale, motif, line):
        assert not run_evenly(pixels(tile), 0)


# ---- limits, each on both sides, on the join of a tile of 44 lines, L* 50


def lightnesses(*around: float, drift: float = 0.0) -> NDArray[np.float32]:
    """Return lines of L* 50 that drift a little from each to the next, and those at the join.

    ``around`` are added to the five lines before the join and the five after it.
    """
    lines = np.zeros((60, 40, 3), np.float32)
    lines[..., 0] = 50.0 + drift * np.arange(60)[:, None]
    lines[52:, :, 0] -= 44.0 * drift
    lines[47:57, :, 0] += np.array(around, np.float32)[:, None]
    return lines


def joined(lines: NDArray[np.float32], blocks: NDArray[np.float32] | None = None) -> Joins:
    whole = Stack(lines, 52, np.arange(16, 52), 8, 0)
    if blocks is None:
        return Joins(whole, whole, 40)
    return Joins(whole, Stack(blocks, 52, np.arange(16, 52), 8, 0), 40)


def at_join(before: float, across: float, after: float) -> NDArray[np.float32]:
    """Steps in the middle of the four lines before the join, at it, and of the four after it."""
    steps = np.array([0, 0, 0, before, 0, across, 0, after, 0, 0])
    return lightnesses(*np.cumsum(steps).tolist())


@pytest.mark.parametrize(
    ("before", "across", "after", "where"),
    [
        (0, 2.2, 0, "inside"),
        (0, 2.4, 0, "between"),
        (0, -30, 0, "between"),
        (9, 2.2, 0, "inside"),  # a line of the design beside the stripe
        (0, 2.2, 9, "inside"),
        (9, 2.2, 9, None),
        (2.2, 2.2, 2.2, "inside"),
        (2.4, 2.2, 2.4, None),
        (2.2, 9, 2.2, "between"),
        (2.4, 9, 0, None),
        (0, 9, 2.4, None),
    ],
)
def test_what_one_cannot_see_is_still(before, across, after, where) -> None:
    """CIE76 2.3: the just noticeable difference after Mahy and others, 1994; lossy, half more."""
    lines = at_join(before, across, after)
    assert place_in_stripes(joined(lines)) == where
    assert place_in_stripes(joined(1.5 * lines), lossy=True) == where
    assert place_in_stripes(joined(lightnesses(*[0] * 10), lines)) == where
    quiet, loud = (at_join(0, 0, 0), at_join(9, 9, 9))
    assert place_in_stripes(joined(lines, quiet)) == where
    assert place_in_stripes(joined(lines, loud)) is None


def test_four_lines_on_either_side_are_looked_at() -> None:
    for steps, where in (((0, 9, 9, 9, 9, 9, 9, 9, 9, 0), "inside"),
                         ((0, 0, 9, 9, 9, 9, 9, 9, 9, 0), "inside"),
                         ((0, 0, 9, 9, 9, 9, 9, 9, 0, 0), None),
                         ((0, 9, 9, 9, 9, 9, 9, 9, 0, 0), "inside")):  # fmt: skip
        assert place_in_stripes(joined(lightnesses(*steps))) == where


@pytest.mark.parametrize(("spot", "where"), [(20.0, "inside"), (21.5, "between")])
@pytest.mark.parametrize("at", [0, 17, 39])
def test_lines_are_compared_as_means_over_nine_pixels(spot: float, where: str, at: int) -> None:
    """A thread of a weave says little."""
    lines = lightnesses(*[0] * 10)
    lines[52:, at, 0] += spot
    assert place_in_stripes(joined(lines)) == where


@pytest.mark.parametrize(("drift", "where"), [(0.0, "between"), (0.041, "between"), (0.0425, None)])
@pytest.mark.parametrize("sign", [1, -1])
def test_a_tone_that_runs_over_the_tile_is_no_stripe(drift: float, where, sign: int) -> None:
    """By L* 1.5 or more in all, and as much in each quarter of it."""
    lines = lightnesses(*[0] * 5, *[9] * 5, drift=sign * drift)
    assert place_in_stripes(joined(lines)) == where
    lines = lightnesses(*[0] * 5, *[9] * 5, drift=sign * drift)
    lines[16:26] = lines[26]  # one part lies still
    assert place_in_stripes(joined(lines)) == "between"
