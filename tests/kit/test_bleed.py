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
