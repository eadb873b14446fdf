"""Ink of odd outlines: it holds all that a cut within the bleed can reach, and little more.

Outside source: shapely's union of each side swept by the square (Minkowski sum of a segment and a
convex set = the hull of the square at both ends).
"""

from __future__ import annotations

import pytest
from shapely import MultiPoint, Polygon
from shapely.ops import unary_union

from kit.kinds import KINDS
from kit.registration import bleed_shape
from kit.shapes import Contour, Rect, Vertex, flatten_contour

ODD = ["dot", "pennant", "scalloped box", "label"]
BLEED_MM = 1.1


def outline(kind: str) -> Contour:
    width, height = KINDS[kind].size_mm((40.0, 52.0))
    return KINDS[kind].outline(Rect(3.0, 5.0, width, height), 1.5)


def swept_by_shapely(shape: Contour, reach: float) -> Polygon:
    ring = flatten_contour(shape, 0.001)
    square = [(a, b) for a in (-reach, reach) for b in (-reach, reach)]
    sides = [
        MultiPoint([(x + a, y + b) for x, y in side for a, b in square]).convex_hull
        for side in zip(ring, ring[1:] + ring[:1], strict=True)
    ]
    return unary_union([Polygon(ring), *sides])


@pytest.mark.parametrize("kind", ODD)
def test_ink_reaches_wherever_a_cut_may_fall_and_hardly_farther(kind: str) -> None:
    shape = bleed_shape(outline(kind), BLEED_MM)
    assert shape is not None
    ink, needed = Polygon(flatten_contour(shape, 0.0005)), swept_by_shapely(outline(kind), BLEED_MM)
    assert needed.difference(ink.buffer(0.005)).area < 1e-3
    assert ink.difference(needed.buffer(0.06)).area < 1e-3


def test_it_is_the_same_whichever_way_the_outline_runs() -> None:
    there = outline("pennant")
    back = Contour(tuple(Vertex(v.x_mm, v.y_mm, 0.0) for v in reversed(there.vertices)))
    straight = Contour(tuple(Vertex(v.x_mm, v.y_mm, 0.0) for v in there.vertices))
    one, other = bleed_shape(straight, 1.0), bleed_shape(back, 1.0)
    assert one is not None
    assert other is not None
    assert (
        Polygon(flatten_contour(one, 0.01))
        .symmetric_difference(Polygon(flatten_contour(other, 0.01)))
        .area
        < 0.1
    )


@pytest.mark.parametrize("kind", ["full box", "half box", "checklist", "strip"])
def test_a_box_keeps_its_box(kind: str) -> None:
    assert bleed_shape(outline(kind), BLEED_MM) is None


def ring_of(points: list[tuple[float, float]]) -> Contour:
    return Contour(tuple(Vertex(x, y) for x, y in points))


CUTS = {
    "wedge": [(0.0, 0.0), (8.0, 1.0), (2.0, 6.0)],
    "arrow": [(0.0, 0.0), (7.0, 4.0), (0.0, 8.0), (2.5, 4.0)],
    "zed": [(0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (3.5, 2.0), (7.0, 8.0), (1.0, 8.0), (1.0, 6.0),
            (3.0, 6.0)],
    "cross": [(2.0, 0.0), (4.0, 0.0), (4.0, 2.0), (6.0, 2.0), (6.0, 4.0), (4.0, 4.0), (4.0, 6.0),
              (2.0, 6.0), (2.0, 4.0), (0.0, 4.0), (0.0, 2.0), (2.0, 2.0)],
    "star": [(4.0, 0.0), (4.8, 3.2), (8.0, 4.0), (4.8, 4.8), (4.0, 8.0), (3.2, 4.8), (0.0, 4.0),
             (3.2, 3.2)],
}  # fmt: skip


@pytest.mark.parametrize("name", CUTS)
@pytest.mark.parametrize("back", [False, True], ids=["there", "back"])
def test_ink_is_whole_wherever_an_outline_begins(name: str, back: bool) -> None:
    """Too little ink shows white at a cut that is off; too much lands on a neighbour."""
    points = CUTS[name][::-1] if back else CUTS[name]
    needed = swept_by_shapely(ring_of(points), 0.7)
    for start in range(0, len(points), 1 if len(points) < 5 else 3):
        shape = bleed_shape(ring_of(points[start:] + points[:start]), 0.7)
        assert shape is not None
        ink = Polygon(flatten_contour(shape, 0.0005))
        assert needed.difference(ink.buffer(0.005)).area < 1e-3
        assert ink.difference(needed.buffer(0.06)).area < 1e-3


def test_a_point_given_twice_changes_nothing() -> None:
    points = CUTS["arrow"]
    twice = bleed_shape(ring_of([*points[:2], points[1], *points[2:], points[0]]), 0.7)
    assert twice == bleed_shape(ring_of(points), 0.7)


@pytest.mark.parametrize(("share", "own"), [(0.019, False), (0.021, True)])
def test_a_fiftieth_of_its_box_free_is_where_ink_follows_the_outline(
    share: float,
    own: bool,
) -> None:
    leg = (2.0 * share * 200.0) ** 0.5
    shape = ring_of([(0, 0), (20 - leg, 0), (20, leg), (20, 10), (0, 10)])
    assert (bleed_shape(shape, 0.5) is not None) == own


def test_without_bleed_there_is_no_ink_to_follow() -> None:
    assert bleed_shape(ring_of(CUTS["wedge"]), 0.0) is None
    assert bleed_shape(ring_of(CUTS["wedge"]), 0.05) is not None
