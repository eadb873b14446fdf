"""Outlines: boxes, arcs, polylines and Béziers against shapely and plain circle geometry."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from kit.shapes import (
    Contour,
    Rect,
    Vertex,
    arc_between,
    beziers,
    bounding_box,
    circle,
    flatten_contour,
    half_rounded,
    is_line,
    quarter_turn,
    resize,
    rotate,
    rounded_rectangle,
    translate,
)

lengths = st.floats(0.5, 200.0)
bulges = st.floats(0.01, 4.0) | st.floats(-4.0, -0.01)


def test_quarter_bulge_is_tan_of_22_5_degrees():
    # LWPOLYLINE bulge = tan(included angle / 4): 0.41421 for a 90 degree corner (DXF reference)
    ring = rounded_rectangle(Rect(0, 0, 10, 10), 2)
    assert ring.vertices[1].bulge == pytest.approx(0.41421, abs=5e-6)


def test_positive_bulge_turns_clockwise_as_seen():
    # from the left to the right end over the top: y is smaller (higher up) in between
    arc = arc_between(Vertex(0, 0, 1.0), Vertex(10, 0))
    assert arc.at(0.5) == (pytest.approx(5.0), pytest.approx(-5.0))


@given(lengths, lengths, st.floats(0.0, 30.0))
def test_rounded_rectangle_has_the_exact_box_and_area(width, height, radius):
    ring = rounded_rectangle(Rect(3.0, 4.0, width, height), radius)
    box = bounding_box(ring)
    assert (box.x_mm, box.y_mm, box.width_mm, box.height_mm) == pytest.approx(
        (3.0, 4.0, width, height), abs=1e-9
    )
    r = min(radius, width / 2, height / 2)
    expected = width * height - (4.0 - math.pi) * r * r  # corner squares less quarter circles
    area = shapely.Polygon(flatten_contour(ring, 1e-4)).area
    assert area == pytest.approx(expected, rel=1e-3)


def test_fully_round_ends_leave_no_double_vertices():
    pill = rounded_rectangle(Rect(0, 0, 20, 6), 5)
    assert len(pill.vertices) == 6
    disc = rounded_rectangle(Rect(0, 0, 6, 6), 3)
    assert len(disc.vertices) == 4
    assert all(v.bulge > 0 for v in disc.vertices)


@given(st.floats(-50, 50), st.floats(-50, 50), st.floats(-50, 50), st.floats(-50, 50), bulges)
def test_arc_passes_through_both_ends_and_has_its_sagitta(x0, y0, x1, y1, bulge):
    chord = math.hypot(x1 - x0, y1 - y0)
    if chord < 0.1:
        return
    arc = arc_between(Vertex(x0, y0, bulge), Vertex(x1, y1))
    assert arc.at(0.0) == pytest.approx((x0, y0), abs=1e-7)
    assert arc.at(1.0) == pytest.approx((x1, y1), abs=1e-7)
    middle = arc.at(0.5)
    # the bulge is twice the arc's height over its chord (DXF reference)
    height = math.hypot(middle[0] - (x0 + x1) / 2, middle[1] - (y0 + y1) / 2)
    assert height == pytest.approx(abs(bulge) * chord / 2, rel=1e-6)


@given(st.floats(-50, 50), st.floats(-50, 50), bulges)
def test_bounding_box_of_an_arc_is_that_of_its_fine_polyline(x1, y1, bulge):
    if math.hypot(x1, y1) < 0.1:
        return
    ring = Contour((Vertex(0, 0, bulge), Vertex(x1, y1)))
    box = bounding_box(ring)
    left, top, right, bottom = shapely.LineString(flatten_contour(ring, 1e-4)).bounds
    seen = (box.x_mm, box.y_mm, box.right_mm, box.bottom_mm)
    assert seen == pytest.approx((left, top, right, bottom), abs=1.1e-4)
    assert box.grow(1e-9).holds(Rect(left, top, right - left, bottom - top))


@pytest.mark.parametrize("tolerance", [0.5, 0.05, 0.001])
def test_flatten_keeps_its_tolerance(tolerance):
    points = flatten_contour(circle(10, 10, 8), tolerance)
    ring = shapely.LinearRing(points)
    nearest = min(
        math.hypot((a[0] + b[0]) / 2 - 10, (a[1] + b[1]) / 2 - 10)
        for a, b in zip(ring.coords, ring.coords[1:], strict=False)
    )
    assert 8 - tolerance - 1e-9 <= nearest < 8


def test_beziers_stay_on_the_circle():
    here, pieces = beziers(circle(0, 0, 10))
    worst = 0.0
    for c1, c2, end in pieces:
        for k in range(33):
            t = k / 32
            weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
            x, y = (
                sum(w * p[i] for w, p in zip(weights, (here, c1, c2, end), strict=True))
                for i in (0, 1)
            )
            worst = max(worst, abs(math.hypot(x, y) - 10))
        here = end
    assert worst < 5e-5  # 5 millionths of the radius


def test_beziers_end_where_the_sides_end():
    ring = rounded_rectangle(Rect(1, 2, 30, 20), 2)
    here, pieces = beziers(ring)
    straight = 0
    for piece in pieces:
        straight += is_line(here, piece)
        here = piece[2]
    assert straight == 4
    assert here == pytest.approx((3.0, 2.0))


@given(st.floats(-90, 90), st.floats(-90, 90))
def test_translate_moves_the_box(dx, dy):
    ring = circle(5, 6, 2)
    moved = bounding_box(translate(ring, dx, dy))
    assert (moved.x_mm, moved.y_mm) == pytest.approx((3 + dx, 4 + dy), abs=1e-9)
    assert moved.width_mm == pytest.approx(4.0)


def test_quarter_turn_exchanges_the_sides_and_comes_round():
    box = Rect(10, 20, 30, 50)
    ring = Contour((Vertex(10, 20), Vertex(40, 20, 0.3), Vertex(40, 70), Vertex(10, 70)))
    turned = quarter_turn(ring, box)
    assert (turned.vertices[0].x_mm, turned.vertices[0].y_mm) == (60, 20)  # top left → top right
    again = turned
    for side in (Rect(10, 20, 50, 30), box, Rect(10, 20, 50, 30)):
        again = quarter_turn(again, side)
    assert again == ring


def test_rect_relations():
    a, b = Rect(0, 0, 10, 10), Rect(10, 0, 5, 5)
    assert not a.overlaps(b)
    assert a.overlaps(b.shift(-0.1, 0))
    assert a.holds(Rect(0, 0, 10, 10))
    assert not a.holds(Rect(0, 0, 10.01, 10))


def test_sharing_no_more_than_the_slack_is_no_overlap():
    """Numbers that a computer holds exactly, so that the limit itself can be tried."""
    box = Rect(0, 0, 8, 8)
    for step in ((7.5, 0), (-7.5, 0), (0, 7.5), (0, -7.5)):
        assert not box.overlaps(box.shift(*step), slack_mm=0.5)
        assert box.overlaps(box.shift(*step), slack_mm=0.25)
    assert not box.overlaps(box.shift(7.5, 7.5), slack_mm=0.5)
    assert not box.overlaps(box.shift(8, 8))


def test_reaching_out_by_no_more_than_the_slack_is_inside():
    box = Rect(0, 0, 8, 8)
    for outer in (Rect(-0.5, 0, 8, 8), Rect(0, -0.5, 8, 8), Rect(0, 0, 8.5, 8), Rect(0, 0, 8, 8.5)):
        assert box.holds(outer, slack_mm=0.5)
        assert not box.holds(outer, slack_mm=0.25)
        assert box.grow(0.5).holds(outer)


def test_a_box_shifted_and_grown_by_hand():
    box = Rect(1, 2, 3, 5)
    assert box.shift(10, 20) == Rect(11, 22, 3, 5)
    assert box.grow(0.5) == Rect(0.5, 1.5, 4, 6)
    assert box.grow(-1) == Rect(2, 3, 1, 3)
    assert (box.right_mm, box.bottom_mm, box.centre_mm, box.area_mm2) == (4, 7, (2.5, 4.5), 15)
    assert box.corners() == ((1, 2), (4, 2), (4, 7), (1, 7))


def test_an_outline_turns_clockwise_as_seen_about_the_origin():
    ring = Contour((Vertex(2, 0, 0.25), Vertex(0, 1), Vertex(-3, 0)))
    turned = rotate(ring, 90)
    places = [(v.x_mm, v.y_mm) for v in turned.vertices]
    # what lay to the right lies below, what lay below lies to the left
    for place, there in zip(places, [(0, 2), (-1, 0), (0, -3)], strict=True):
        assert place == pytest.approx(there)
    assert [v.bulge for v in turned.vertices] == [0.25, 0.0, 0.0]
    slant = [(v.x_mm, v.y_mm) for v in rotate(ring, 30).vertices]
    half, root = 0.5, math.sqrt(3) / 2
    for place, there in zip(slant, [(2 * root, 1), (-half, root), (-3 * root, -1.5)], strict=True):
        assert place == pytest.approx(there)


def test_round_corners_by_hand():
    ring = rounded_rectangle(Rect(10, 20, 30, 12), 2)
    assert [(v.x_mm, v.y_mm) for v in ring.vertices] == [
        (12, 20), (38, 20), (40, 22), (40, 30), (38, 32), (12, 32), (10, 30), (10, 22)
    ]  # fmt: skip
    assert [v.bulge > 0 for v in ring.vertices] == [False, True] * 4
    sharp = rounded_rectangle(Rect(10, 20, 30, 12), -1)
    assert [(v.x_mm, v.y_mm) for v in sharp.vertices] == [(10, 20), (40, 20), (40, 32), (10, 32)]
    assert not any(v.bulge for v in sharp.vertices)
    assert rounded_rectangle(Rect(10, 20, 30, 12)) == sharp
    assert len(rounded_rectangle(Rect(10, 20, 30, 12), 1).vertices) == 8
    assert bounding_box(circle(5, 7, 3)) == Rect(2, 4, 6, 6)


def test_two_round_corners_by_hand() -> None:
    """A title's band has them at its top, what is below it at its foot."""
    box = Rect(10, 20, 30, 12)
    top, foot = half_rounded(box, 2), half_rounded(box, 2, at_top=False)
    assert [(v.x_mm, v.y_mm) for v in top.vertices] == [
        (10, 22), (12, 20), (38, 20), (40, 22), (40, 32), (10, 32)
    ]  # fmt: skip
    assert [v.bulge > 0 for v in top.vertices] == [True, False, True, False, False, False]
    assert [(v.x_mm, v.y_mm) for v in foot.vertices] == [
        (10, 20), (40, 20), (40, 30), (38, 32), (12, 32), (10, 30)
    ]  # fmt: skip
    assert [v.bulge > 0 for v in foot.vertices] == [False, False, True, False, True, False]
    quarters = {v.bulge for v in (*top.vertices, *foot.vertices)}
    assert sorted(quarters) == pytest.approx([0.0, math.tan(math.pi / 8)])
    assert half_rounded(box) == half_rounded(box, -1) == rounded_rectangle(box)


@pytest.mark.parametrize(("size", "radius"), [((10, 30), 4.9), ((30, 10), 9.9)])
def test_two_round_corners_never_meet(size, radius: float) -> None:
    ring = half_rounded(Rect(1, 2, *size), 50)
    assert (ring.vertices[0].x_mm, ring.vertices[0].y_mm) == pytest.approx((1, 2 + radius))
    assert (ring.vertices[1].x_mm, ring.vertices[1].y_mm) == pytest.approx((1 + radius, 2))
    box = bounding_box(half_rounded(Rect(1, 2, *size), 50, at_top=False))
    assert (box.right_mm, box.bottom_mm) == pytest.approx((1 + size[0], 2 + size[1]))


def test_an_outline_grows_from_the_origin() -> None:
    ring = Contour((Vertex(2, 1, 0.25), Vertex(0, 4), Vertex(-3, 0)))
    assert resize(ring, 1.5) == Contour((Vertex(3, 1.5, 0.25), Vertex(0, 6), Vertex(-4.5, 0)))
