"""Cut lines of every kind: closed, simple, filling their box, with marks and words inside them."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.kinds import KINDS, check_marks
from kit.shapes import Rect, bounding_box, flatten_contour, pennant, scallops, stitches
from kit.shapes.edges import rounded_polygon

SIDES = st.floats(6.0, 90.0)
RADII = st.one_of(st.just(0.0), st.floats(0.1, 6.0))
SHAPES = [kind for kind in KINDS.values() if not kind.source_key]


def polygon(contour, tolerance=1e-3):
    return shapely.Polygon(flatten_contour(contour, tolerance))


@pytest.mark.parametrize("kind", SHAPES, ids=lambda kind: kind.name)
@settings(max_examples=40, deadline=None)
@given(SIDES, SIDES, RADII)
def test_every_outline_is_simple_and_fills_its_box(kind, width, height, radius):
    if kind.square:
        width = height
    box = Rect(3.0, 5.0, width, height)
    outline = kind.outline(box, radius)
    seen = bounding_box(outline)
    assert (seen.x_mm, seen.y_mm, seen.width_mm, seen.height_mm) == pytest.approx(
        (3.0, 5.0, width, height), abs=1e-6
    )
    assert polygon(outline).is_valid  # closed and not crossing itself
    assert polygon(outline).exterior.is_ccw  # one way round: clockwise as seen, y down
    for start, end in outline.sides():
        assert math.dist((start.x_mm, start.y_mm), (end.x_mm, end.y_mm)) > 1e-6


@pytest.mark.parametrize("kind", SHAPES, ids=lambda kind: kind.name)
def test_what_is_printed_lies_inside_the_cut_line(kind):
    box = Rect(10.0, 10.0, *kind.size_mm((40.0, 52.0)))
    cut = polygon(kind.outline(box, 1.5))
    inside = [*kind.threads(box, 1.5), *(check_marks(box, None, "circle") if kind.checks else ())]
    for contour in inside:
        assert cut.buffer(-0.5).contains(polygon(contour))
    if kind.words is not None:
        area = kind.words(box)
        middle = Rect(
            area.x_mm, area.centre_mm[1] - area.height_mm / 4, area.width_mm, area.height_mm / 2
        )  # capitals take half of the area's height
        assert cut.buffer(-0.5).contains(shapely.box(*middle.corners()[0], *middle.corners()[2]))


@given(SIDES, SIDES)
def test_scallops_look_alike_all_round(width, height):
    """Every lobe's radius is that of the corners, within the share by which pitches are fitted."""
    ring = scallops(Rect(0, 0, max(width, 20), max(height, 20)), 0.0)
    pitches = [
        math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) for a, b in ring.sides() if a.bulge < 0.9
    ]
    assert all(3.3 <= pitch <= 7.6 for pitch in pitches)  # 5 mm, fitted to the side
    assert min(v.bulge for v in ring.vertices) > 0.0


def test_a_pennants_tips_reach_the_box_and_its_notch_lies_in_the_middle():
    ring = pennant(Rect(0, 0, 40, 12), 1.5)
    rightmost = sorted((v.x_mm, v.y_mm) for v in ring.vertices)[-2:]
    assert np.array(rightmost) == pytest.approx(np.array([(40.0, 0.0), (40.0, 12.0)]))
    assert polygon(ring).contains(shapely.Point(33.0, 6.0))
    assert not polygon(ring).contains(shapely.Point(38.0, 6.0))


@given(st.lists(st.floats(10, 60), min_size=3, max_size=9), RADII)
def test_rounded_corners_touch_their_sides(radii, radius):
    """Against shapely: it lies inside the sharp polygon, and over its opening by the radius."""
    count = len(radii)
    points = [
        (40 * math.cos(2 * math.pi * k / count), 40 * math.sin(2 * math.pi * k / count))
        for k in range(count)
    ]
    rounded, sharp = polygon(rounded_polygon(points, [radius] * count)), shapely.Polygon(points)
    assert rounded.is_valid
    assert sharp.buffer(1e-6).contains(rounded)
    opened = sharp.buffer(-radius, quad_segs=64).buffer(radius, quad_segs=64)
    assert rounded.buffer(0.02).contains(opened)


def test_stitches_run_round_at_even_distance():
    box = Rect(10, 10, 40, 26)
    threads = stitches(box, 1.5)
    edge = shapely.box(10, 10, 50, 36).exterior
    for thread in threads:
        assert edge.distance(polygon(thread)) == pytest.approx(1.6, abs=1e-6)  # 1.8 less half 0.4
        left, top, right, bottom = polygon(thread).bounds
        assert 1.8 <= max(right - left, bottom - top) <= 3.2
    gaps = [polygon(a).distance(polygon(b)) for a, b in pairwise(threads)]
    assert min(gaps) > 0.6
