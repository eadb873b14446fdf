"""The order of cuts: what must come first does, the way is short, starts lie on straight sides."""

from __future__ import annotations

import itertools
import math
import random

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.cut_order import good_way, in_rows, strewn
from kit.cut.order import cut_tour, encloses, restart, start_points, travel_mm
from kit.shapes import Contour, Rect, Vertex, circle, flatten_contour, rounded_rectangle

SIZES = ((42.0, 50.0), (42.0, 25.0), (7.0, 50.0))  # full box, half box, checklist, mm


def sheet_in_rows(count, seed):
    """Stickers laid row by row, left to right, as a layout lays them, 3 mm apart."""
    chance = random.Random(seed)
    x = y = 10.0
    deepest, boxes = 0.0, []
    for width, height in sorted(chance.choices(SIZES, k=count), reverse=True):
        if x + width > 205.9:
            x, y, deepest = 10.0, y + deepest + 3.0, 0.0
        boxes.append(Rect(x, y, width, height))
        x, deepest = x + width + 3.0, max(deepest, height)
    return [rounded_rectangle(box, 1.5) for box in boxes]


@pytest.mark.parametrize("count", [27, 40, 60])
def test_travel_is_about_half_of_row_order(count):
    for seed in range(5):
        contours = sheet_in_rows(count, seed)
        tour = cut_tour(contours)
        assert sorted(tour.order) == list(range(count))
        assert tour.travel_mm == pytest.approx(travel_mm(tour.contours))
        assert tour.travel_mm <= 0.52 * travel_mm(contours)


@pytest.mark.slow
@pytest.mark.parametrize("kind", [in_rows, strewn])
@pytest.mark.parametrize("count", [12, 27, 40])
def test_the_way_is_within_three_in_a_hundred_of_a_good_one(kind, count):
    """A machine would lift and travel for minutes more; the good way shares no code with ours."""
    for seed in (50, 51):
        contours = kind(count, seed)
        good = good_way([[point for _, point in start_points(one)] for one in contours])
        assert cut_tour(contours).travel_mm <= 1.03 * good


def test_the_tour_of_a_full_sheet_is_repeatable():
    contours = sheet_in_rows(60, 1)
    assert cut_tour(contours) == cut_tour(contours)


def test_small_sheets_come_out_as_good_as_trying_every_order():
    """Six discs: every order and every start tried by brute force, within three in a hundred."""
    chance = random.Random(7)
    for _ in range(3):
        contours = [
            circle(chance.uniform(0, 30) + 60 * (k % 3), 20 + 50 * (k // 3), 8) for k in range(6)
        ]
        starts = [[p for _, p in start_points(c)] for c in contours]
        best = min(
            _shortest([starts[i] for i in order]) for order in itertools.permutations(range(6))
        )
        assert cut_tour(contours).travel_mm <= 1.03 * best


def _shortest(starts):
    reach = {(0.0, 0.0): 0.0}
    for places in starts:
        reach = {p: min(w + math.dist(q, p) for q, w in reach.items()) for p in places}
    return min(w + math.hypot(*p) for p, w in reach.items())


def test_cuts_begin_at_the_middle_of_a_straight_side():
    for contour in cut_tour(sheet_in_rows(27, 3)).contours:
        first, after, last = contour.vertices[0], contour.vertices[1], contour.vertices[-1]
        assert first.bulge == 0.0
        assert last.bulge == 0.0
        assert (first.x_mm, first.y_mm) == pytest.approx(
            ((after.x_mm + last.x_mm) / 2, (after.y_mm + last.y_mm) / 2)
        )


def bent(points):
    """A ring of (x, y, bulge)."""
    return Contour(tuple(Vertex(*map(float, point)) for point in points))


HALF = math.tan(math.pi / 4.0)


@pytest.mark.parametrize(
    ("ring", "sides"),
    [
        # two half circles with scraps between, as a fit leaves them: never on a scrap
        (bent([(0, 0, HALF), (12, 0, 0), (12, 0.06, HALF), (0, 0.06, 0)]), {0, 2}),
        # a straight side of 2 mm is room enough, one of 1.99 mm is not
        (bent([(0, 0, 0), (2, 0, HALF), (2, 9, 0), (0.01, 9, HALF)]), {0}),
        # nothing of 2 mm at all: a small star's longest sides
        (bent([(0, 0, 0), (1.2, 0, 0), (1.2, 1.2, 0), (0.6, 1.2, 0), (0, 0.3, 0)]), {0, 1, 2, 3}),
    ],
)
def test_cuts_begin_where_a_blade_has_room_to_turn(ring, sides):
    assert {side for side, _ in start_points(ring)} == sides


@given(st.integers(0, 7), st.floats(5, 40), st.floats(5, 40), st.floats(0, 4))
def test_a_restarted_outline_is_the_same_outline(side, width, height, radius):
    ring = rounded_rectangle(Rect(3, 4, width, height), radius)
    places = start_points(ring)
    again = restart(ring, *places[side % len(places)])
    a, b = (shapely.Polygon(flatten_contour(c, 1e-4)) for c in (ring, again))
    assert shapely.hausdorff_distance(a.exterior, b.exterior) < 1e-3
    assert b.exterior.is_ccw == a.exterior.is_ccw


def test_a_bent_side_is_halved_exactly():
    ring = circle(10, 10, 5)
    side, at = start_points(ring)[0]
    for vertex in restart(ring, side, at).vertices:
        assert math.hypot(vertex.x_mm - 10, vertex.y_mm - 10) == pytest.approx(5)
    halves = [v.bulge for v in restart(ring, side, at).vertices]
    assert sorted(halves) == pytest.approx([math.tan(math.pi / 8)] * 2 + [1.0])


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.integers(2, 25))
def test_inner_comes_before_outer_and_kiss_before_through(seed, count):
    chance = random.Random(seed)
    contours, layers, parents = [], [], []
    for i in range(count):
        box, parent = Rect(300.0 * i, 0, 200, 200), None
        for _ in range(chance.randint(1, 4)):
            parents.append(parent)
            parent = len(contours)
            contours.append(rounded_rectangle(box, 2))
            layers.append(int(chance.random() < 0.3))
            box = box.grow(-chance.uniform(5, 20))
    shuffled = chance.sample(range(len(contours)), len(contours))
    tour = cut_tour([contours[i] for i in shuffled], [layers[i] for i in shuffled])
    place = {shuffled[number]: at for at, number in enumerate(tour.order)}
    for inner, outer in enumerate(parents):
        if outer is not None and layers[inner] <= layers[outer]:
            assert place[inner] < place[outer]
    assert [layers[shuffled[n]] for n in tour.order] == sorted(layers)


def test_a_box_within_a_box_is_not_inside_where_the_outline_leaves_it_out():
    """A disc in the notch of an L lies in its box, but not in it."""
    notch = [(0, 0), (40, 0), (40, 10), (10, 10), (10, 40), (0, 40)]
    ell = rounded_rectangle(Rect(0, 0, 1, 1))
    ell = type(ell)(tuple(Vertex(float(x), float(y)) for x, y in notch))
    assert not encloses(ell, (30.0, 30.0))
    assert encloses(ell, (5.0, 30.0))


def test_the_same_outlines_give_the_same_tour():
    contours = sheet_in_rows(60, 9)
    assert cut_tour(contours) == cut_tour(contours)


def test_nothing_to_cut_is_no_way_at_all():
    assert cut_tour([]).travel_mm == 0.0


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(0.2, 1.0), min_size=3, max_size=12),
    st.lists(st.tuples(st.floats(0, 100), st.floats(0, 80)), min_size=1, max_size=20),
    st.floats(0, 6.28),
)
def test_a_point_is_inside_where_shapely_says_so(radii, points, turn):
    ring = []
    for k, radius in enumerate(radii):
        angle = turn + 2 * math.pi * k / len(radii)
        ring.append((50 + 45 * radius * math.cos(angle), 40 + 35 * radius * math.sin(angle)))
    star, contour = shapely.Polygon(ring), Contour(tuple(Vertex(x, y) for x, y in ring))
    for x, y in points:
        if star.exterior.distance(shapely.Point(x, y)) > 1e-6:
            assert encloses(contour, (x, y)) == star.contains(shapely.Point(x, y))
