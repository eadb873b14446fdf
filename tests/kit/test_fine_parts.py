"""What is too fine to be cut: measured beside shapely, on both sides of each limit.

The limits themselves are common practice, no published source.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from kit.shapes import Contour, Vertex, circle, fine_parts, pennant, rounded_rectangle, scallops
from kit.shapes.geometry import Rect


def contour(shape: shapely.Polygon, *, backwards: bool = False) -> Contour:
    ring = list(shape.exterior.coords)[:-1]
    return Contour(tuple(Vertex(float(x), float(y)) for x, y in ring[:: -1 if backwards else 1]))


def sorts(shape: Contour) -> list[str]:
    return [part.sort for part in fine_parts(shape)]


def dumbbell(neck_mm: float, length_mm: float = 6.0) -> shapely.Polygon:
    half = length_mm / 2.0
    ends = [shapely.box(k - 5, 0, k + 5, 10) for k in (-5.0 - half, 5.0 + half)]
    return shapely.union_all([*ends, shapely.box(-half, 5, half, 5 + neck_mm)])


@pytest.mark.parametrize("backwards", [False, True])
@pytest.mark.parametrize("width", [0.06, 0.2, 0.47])
def test_strips_and_slits_are_told_with_their_width(width: float, backwards: bool) -> None:
    """The sticker would tear at its neck, the blade tear out the slit."""
    (strip,) = fine_parts(contour(dumbbell(width), backwards=backwards))
    assert strip.sort == "strip"
    assert strip.width_mm == pytest.approx(width, abs=1e-6)
    assert shapely.Point(strip.at).distance(shapely.Point(0, 5 + width / 2)) < 3.1
    slotted = shapely.box(0, 0, 20, 20).difference(shapely.box(9, -1, 9 + width, 12))
    slit = fine_parts(contour(slotted, backwards=backwards))[0]
    assert slit.sort == "slit"
    assert slit.width_mm == pytest.approx(width, abs=1e-6)
    assert 9 <= slit.at[0] <= 9 + width


def test_half_a_millimetre_is_held() -> None:
    assert sorts(contour(dumbbell(0.52))) == []
    wide = shapely.box(0, 0, 20, 20).difference(shapely.box(9, -1, 9.52, 12))
    assert sorts(contour(wide)) == []


@pytest.mark.parametrize(("degrees", "told"), [(24, ["strip"]), (36, []), (60, [])])
def test_only_needles_are_told_of_all_points(degrees: float, told: list[str]) -> None:
    """A star's points of 36 degrees are cut every day."""
    half = 10.0 * math.tan(math.radians(degrees / 2.0))
    kite = shapely.Polygon([(0, 0), (half, 10), (0, 16 + half), (-half, 10)])
    assert sorts(contour(kite)) == told


@pytest.mark.parametrize(("pitch", "told"), [(0.2, True), (0.5, True), (3.0, False)])
def test_teeth_are_told(pitch: float, told: bool) -> None:
    count = round(12 / pitch)
    top = [(k * pitch / 2.0, pitch * (k % 2)) for k in range(2 * count + 1)]
    saw = shapely.Polygon([*top, (12, 15), (0, 15)])
    assert ("teeth" in sorts(contour(saw))) == told


def test_what_kitloom_draws_itself_is_not_too_fine() -> None:
    box = Rect(0.0, 0.0, 30.0, 20.0)
    for shape in (rounded_rectangle(box, 1.5), rounded_rectangle(box), circle(5, 5, 1.5)):
        assert sorts(shape) == []
    assert sorts(scallops(box, 1.0)) == []
    assert sorts(pennant(box, 1.0)) == []


def test_random_blobs_agree_with_what_shapely_opens_and_closes() -> None:
    """Where a disc of half a millimetre fits everywhere inside and out, nothing is reported."""
    for seed in range(12):
        chance = np.random.default_rng(seed)
        discs = [shapely.Point(*chance.uniform(0, 14, 2)).buffer(3.0) for _ in range(6)]
        blob = shapely.union_all(discs)
        if blob.geom_type != "Polygon":
            continue
        smooth = shapely.Polygon(blob.exterior).buffer(-0.6).buffer(1.2).buffer(-0.6)
        if smooth.geom_type == "Polygon":
            assert sorts(contour(shapely.Polygon(smooth.exterior))) == []
