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
