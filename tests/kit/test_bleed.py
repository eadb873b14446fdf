"""Bleed runs out equally far and never into a neighbour's half of the gap."""

from __future__ import annotations

from itertools import combinations

import pytest

from kit.registration import bleed_boxes
from kit.shapes import Rect

PAPER = Rect(0, 0, 100, 100)


def test_bleed_is_whole_where_there_is_room():
    assert bleed_boxes([Rect(10, 10, 20, 20)], 1.5, PAPER) == [Rect(8.5, 8.5, 23, 23)]


def test_bleed_stops_at_the_paper():
    assert bleed_boxes([Rect(0.5, 10, 20, 20)], 1.5, PAPER)[0].x_mm == 0.0


@pytest.mark.parametrize("gap", [0.0, 0.5, 1.9, 2.1, 3.0])
def test_bleed_stops_in_the_middle_of_a_narrow_gap(gap):
    boxes = [Rect(10, 10, 20, 20), Rect(30 + gap, 10, 20, 20), Rect(18, 30 + gap, 20, 20)]
    made = bleed_boxes(boxes, 1.0, PAPER)
    assert made[0].right_mm == pytest.approx(30 + min(1.0, gap / 2))
    assert made[0].bottom_mm == pytest.approx(30 + min(1.0, gap / 2))
    assert made[0].x_mm == 9.0
    for (a, box_a), (b, _) in combinations(zip(made, boxes, strict=True), 2):
        assert not a.overlaps(b)
        assert a.holds(box_a)


def test_diagonal_neighbours_do_not_overlap():
    made = bleed_boxes([Rect(10, 10, 10, 10), Rect(20.4, 20.6, 10, 10)], 2.0, PAPER)
    assert not made[0].overlaps(made[1])


CROSS = {  # one sticker in the middle and one on each side, each at a gap of its own
    "middle": Rect(40, 40, 20, 20),
    "left": Rect(19.6, 42, 20, 16),  # 0.4 away
    "right": Rect(60.6, 42, 20, 16),  # 0.6
    "above": Rect(42, 19.2, 16, 20),  # 0.8
    "below": Rect(42, 61.0, 16, 20),  # 1.0
}


def test_each_side_gives_way_by_half_its_own_gap():
    """A side that takes too little shows white at its cut, one that takes too much, its ink."""
    made = dict(zip(CROSS, bleed_boxes(list(CROSS.values()), 1.1, PAPER), strict=True))
    assert sides(made["middle"]) == pytest.approx((39.8, 39.6, 60.3, 60.5))
    assert sides(made["left"]) == pytest.approx((18.5, 40.9, 39.8, 59.1))
    assert sides(made["right"]) == pytest.approx((60.3, 40.9, 81.7, 59.1))
    assert sides(made["above"]) == pytest.approx((40.9, 18.1, 59.1, 39.6))
    assert sides(made["below"]) == pytest.approx((40.9, 60.5, 59.1, 82.1))


def test_each_side_stops_at_the_paper():
    (made,) = bleed_boxes([Rect(0.5, 0.7, 98.8, 98.9)], 1.5, PAPER)
    assert sides(made) == pytest.approx((0, 0, 100, 100))
    (made,) = bleed_boxes([Rect(12, 13, 6, 5)], 1.5, Rect(11, 12.5, 7.25, 6.5))
    assert sides(made) == pytest.approx((11, 12.5, 18.25, 19))


@pytest.mark.parametrize(("beyond", "share"), [(-0.01, 0.995), (0.01, 1.0)])
def test_a_gap_of_twice_the_bleed_is_where_the_bleed_is_whole(beyond, share):
    gap = 2.0 + beyond
    made = bleed_boxes([Rect(10, 10, 20, 20), Rect(30 + gap, 10, 20, 20)], 1.0, PAPER)
    assert made[0].right_mm - 30 == pytest.approx(share)
    assert 30 + gap - made[1].x_mm == pytest.approx(share)


def test_stickers_that_touch_have_no_bleed_between_them():
    for step in ((20, 0), (-20, 0), (0, 20), (0, -20)):
        one = Rect(40, 40, 20, 20)
        made = bleed_boxes([one, one.shift(*step)], 1.0, PAPER)
        assert not made[0].overlaps(made[1])
        grown = [b - a for a, b in zip(sides(one), sides(made[0]), strict=True)]
        assert sorted(map(abs, grown)) == pytest.approx([0, 1, 1, 1])


@pytest.mark.parametrize(
    ("step", "printed"),
    [
        ((20.4, 20.6), (38, 38, 62, 60.3)),
        ((20.6, 20.4), (38, 38, 60.3, 62)),
        ((-20.4, -20.6), (38, 39.7, 62, 62)),
        ((-20.6, 20.4), (39.7, 38, 62, 62)),
    ],
)
def test_diagonal_neighbours_give_way_where_they_have_more_room(step, printed):
    one = Rect(40, 40, 20, 20)
    made = bleed_boxes([one, one.shift(*step)], 2.0, PAPER)
    assert sides(made[0]) == pytest.approx(printed)
    assert not made[0].overlaps(made[1])


def sides(box):
    return (box.x_mm, box.y_mm, box.right_mm, box.bottom_mm)
