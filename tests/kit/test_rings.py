"""Closed polylines against shapely: area, crossings, and the border of an area on a grid."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kit.shapes import first_crossing, outer_ring, polygon_coverage, signed_area
from kit.shapes.marching import rings

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]  # clockwise as seen, y down
places = st.tuples(st.integers(0, 6), st.integers(0, 6)).map(lambda p: (float(p[0]), float(p[1])))


def test_area_is_positive_clockwise_as_seen():
    assert signed_area(SQUARE) == pytest.approx(100.0)
    assert signed_area(SQUARE[::-1]) == pytest.approx(-100.0)
    aside = [(x * 0.3 + 7.0, y * 2.0 - 40.0) for x, y in SQUARE]
    assert signed_area(aside) == pytest.approx(3.0 * 20.0)
    assert signed_area([(1.0, 1.0), (5.0, 2.0), (2.0, 7.0)]) == pytest.approx(11.5)


@settings(max_examples=150, deadline=None)
@given(st.lists(places, min_size=3, max_size=7, unique=True))
@example([(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (2.0, 0.0), (0.0, 4.0)])  # a corner on a side
@example([(0.0, 0.0), (6.0, 0.0), (3.0, 0.0), (3.0, 5.0)])  # doubles back
@example([(0.0, 0.0), (3.0, 5.0), (3.0, 0.0), (3.0, 2.0), (3.0, -1.0)])
def test_a_ring_meets_itself_where_shapely_says_so(points):
    """A blade sent round such an outline cuts a sticker in two."""
    assert (first_crossing(points) is None) == shapely.LinearRing(points).is_simple


def test_the_place_of_a_crossing_is_told():
    bow = [(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]
    assert first_crossing(bow) == (5.0, 5.0)  # the middle of the first side that is crossed
    assert first_crossing([*bow[:3], (0.0, 8.0)]) == (5.0, 5.0)  # not of the one that crosses it
    back = [(0.0, 0.0), (9.0, 0.0), (9.0, 6.0), (9.0, 2.0), (4.0, 8.0)]
    assert first_crossing(back) == (9.0, 6.0)  # the point where it turns round
    assert first_crossing(SQUARE) is None


@pytest.mark.parametrize("first", [3, 40, 255, 256, 257, 300, 511, 512, 590])
def test_a_crossing_is_found_anywhere_in_a_long_outline(first):
    """A drawn outline has thousands of sides; they are compared in chunks."""
    count = 600
    ring = [
        (50 * math.cos(2 * math.pi * k / count), 50 * math.sin(2 * math.pi * k / count))
        for k in range(count)
    ]
    assert first_crossing(ring) is None
    ring[first], ring[first + 1] = ring[first + 1], ring[first]
    found = first_crossing(ring)
    assert found is not None
    assert math.dist(found, ring[first]) < 2.0


NOTCHED = [(0, 0), (2, 0), (2, 2), (4, 2), (4, 0), (6, 0), (6, 5), (0, 5)]  # two sides in line
NEAR_MISS = [(0, 0), (1, 1), (1, 0), (0.7, 0), (0.6, 0.5), (0.5, 0)]  # a tip beside a slope
# two squares that share a corner: a blade that lifts there leaves both hanging on a point
TOUCHING = [(0, 0), (4, 0), (4, 4), (8, 4), (8, 8), (4, 8), (4, 4), (0, 4)]


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("first", [0, 3])
def test_sides_in_line_and_near_misses_are_sound_and_a_shared_corner_is_not(turned, first):
    for ring, sound in ((NOTCHED, True), (NEAR_MISS, True), (TOUCHING, False)):
        points = [(float(y), float(x)) if turned else (float(x), float(y)) for x, y in ring]
        for one in (points[first:] + points[:first], points[::-1]):
            assert (first_crossing(one) is None) == sound
            assert shapely.LinearRing(one).is_simple == sound


def test_a_straight_line_that_goes_on_is_no_fault():
    assert first_crossing([(0.0, 0.0), (3.0, 0.0), (6.0, 0.0), (6.0, 5.0)]) is None


# ---- the border of an area on a grid


def hills(seed, rows=14, cols=17):
    """A smooth random field, negative along the edge."""
    source = random.Random(seed)
    y, x = np.mgrid[0:rows, 0:cols].astype(float)
    field = np.full((rows, cols), -0.7)
    for _ in range(3):
        cx, cy, r = source.uniform(4, 12), source.uniform(4, 9), source.uniform(1.5, 3.0)
        field = np.maximum(field, 1.0 - np.hypot(x - cx, y - cy) / r)
    field[[0, -1]] = field[:, [0, -1]] = -0.7
    return field


@pytest.mark.parametrize("seed", range(4))
def test_rings_part_what_is_inside_from_what_is_not(seed):
    field = hills(seed)
    found = rings(field)
    area = shapely.Polygon()
    for ring in found:
        area = area.symmetric_difference(shapely.Polygon(ring))
    for row in range(field.shape[0]):
        for col in range(field.shape[1]):
            if abs(field[row, col]) > 1e-6:
                assert area.contains(shapely.Point(col, row)) == (field[row, col] > 0.0)
    assert all(signed_area([tuple(p) for p in ring]) < 0.0 for ring in found)
    outer = shapely.Polygon(outer_ring(field))
    assert outer.area == max(shapely.Polygon(ring).area for ring in found)


@pytest.mark.parametrize("seed", range(4))
def test_a_border_passes_where_the_field_passes_nought(seed):
    """Between two grid points by their shares (linear interpolation)."""
    field = hills(seed)
    for ring in rings(field):
        for x, y in ring:
            col, row = math.floor(x), math.floor(y)
            across = x - col
            down = y - row
            here = field[row, col]
            if across > 1e-9:
                value = here + across * (field[row, col + 1] - here)
            elif down > 1e-9:
                value = here + down * (field[row + 1, col] - here)
            else:
                value = here
            assert value == pytest.approx(0.0, abs=1e-9)


def test_a_hole_runs_the_other_way_round():
    field = np.full((11, 11), -1.0)
    field[2:9, 2:9] = 1.0
    field[4:7, 4:7] = -1.0
    areas = sorted(signed_area([tuple(p) for p in ring]) for ring in rings(field))
    # seven cells across less the cut corners (4 of an eighth), and three likewise
    assert areas == pytest.approx([-(49.0 - 0.5), 9.0 - 0.5])


def test_the_outside_is_what_encloses_most_not_what_is_longest():
    """A sticker whose hole is a comb is cut round its outside, not into its hole."""
    field = np.full((24, 24), -1.0)
    field[2:22, 2:22] = 1.0
    field[4:20, 4] = field[4:20:2, 4:20] = -1.0
    hole, outside = sorted(rings(field), key=lambda ring: shapely.Polygon(ring).area)
    assert len(hole) > 2 * len(outside)
    assert np.array_equal(outer_ring(field), outside)
    # twenty points across, half a cell more on each side, less four corners of an eighth
    assert shapely.Polygon(outside).area == pytest.approx(20.0**2 - 0.5)


def test_areas_that_touch_at_a_corner_stay_apart():
    for flip in (False, True):
        field = np.full((8, 8), -1.0)
        field[2:4, 2:4] = field[4:6, 4:6] = 1.0
        found = rings(field[:, ::-1] if flip else field)
        assert len(found) == 2
        assert all(signed_area([tuple(p) for p in ring]) == pytest.approx(-3.5) for ring in found)


def test_nothing_inside_is_refused():
    with pytest.raises(ValueError, match=r"^nothing is inside$"):
        outer_ring(np.full((5, 5), -1.0))
    level = np.zeros((5, 5))  # nought is outside
    with pytest.raises(ValueError, match="inside"):
        outer_ring(level)


def test_the_border_of_a_square_is_the_square():
    """The coverage of a square on a grid, followed round: the same area, sharp corners cut."""
    square = [(2.0, 3.0), (9.0, 3.0), (9.0, 8.0), (2.0, 8.0)]
    ring = outer_ring(polygon_coverage([np.array(square)], 12, 12) - 0.5) + 0.5
    assert shapely.Polygon(ring).area == pytest.approx(35.0, abs=0.6)
    assert shapely.Polygon(ring).bounds == pytest.approx((2.0, 3.0, 9.0, 8.0), abs=0.01)
