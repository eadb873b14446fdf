"""HP-GL read back by two independent readers, in millimetres; and the blade simulated."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.cut.order import restart
from kit.render import Page
from kit.shapes import (
    Contour,
    Rect,
    Vertex,
    arc_between,
    blade_path,
    circle,
    flatten_contour,
    rounded_rectangle,
)
from kit.shapes.blade import side_length
from kit.sheet import CutStyle
from kit.writers.hpgl import cut_hpgl

LIMIT_MM = 0.03


def by_ezdxf(data, height):
    """[(pen, points)] by ezdxf's recorder, which asks for a printer language prefix."""
    from ezdxf.addons.hpgl2.api import MergeControl, record_plotter_output

    player = record_plotter_output(b"\x1b%1B" + data, MergeControl.NONE)
    for _, properties, points in player.recordings():
        yield properties.pen_index, [(p.x / 40, height - p.y / 40) for p in points.vertices()]


def by_ezhpgl(data, height):
    """[(pen, points)] by ezhpgl; 40 units a millimetre is its generic profile."""
    ezhpgl = pytest.importorskip("ezhpgl", reason="the second HP-GL reader is not installed")
    plot = ezhpgl.parse(data)
    assert plot.completeness == "complete"
    assert not plot.diagnostics
    for operation in plot.pages[0].operations:
        points = [(p.x, height - p.y) for p in operation.geometry.points]
        yield operation.style.pen, points


def outlines_read(reader, page):
    """[(pen, closed polygon)]: strokes joined where one goes on at the last one's end."""
    strokes = []
    for pen, points in reader(cut_hpgl(page), page.sheet.height_mm):
        if strokes and strokes[-1][0] == pen and math.dist(strokes[-1][1][-1], points[0]) < 1e-6:
            strokes[-1][1].extend(points[1:])
        else:
            strokes.append((pen, list(points)))
    for _, points in strokes:
        assert math.dist(points[0], points[-1]) < 1e-3  # closed
    return [(pen, shapely.Polygon(points)) for pen, points in strokes]


def apart(a, b):
    return shapely.hausdorff_distance(
        shapely.segmentize(a.exterior, 0.05), shapely.segmentize(b.exterior, 0.05)
    )


@pytest.mark.parametrize("reader", [by_ezdxf, by_ezhpgl])
@pytest.mark.parametrize("arcs", [True, False])
@pytest.mark.parametrize("name", ["letter", "a5"])
def test_outlines_come_back_within_three_hundredths(name, arcs, reader, request):
    page = request.getfixturevalue(name)
    page = Page(replace(page.sheet, cut=CutStyle(arcs=arcs)), page.raster)
    found = outlines_read(reader, page)
    assert len(found) == len(page.sheet.placements)
    for (pen, seen), path in zip(found, page.cuts.paths, strict=True):
        true = shapely.Polygon(flatten_contour(page.sheet.placements[path.number].outline, 1e-4))
        assert pen == 1
        assert apart(seen, true) <= LIMIT_MM


def test_machines_without_arcs_are_told_none(letter):
    page = Page(replace(letter.sheet, cut=CutStyle(arcs=False)), letter.raster)
    assert b"AA" in cut_hpgl(letter)
    assert b"AA" not in cut_hpgl(page)
    assert set(re.findall(rb"[A-Z]{2}", cut_hpgl(page))) == {b"IN", b"SP", b"PU", b"PD"}


def ring_page(contour, **style):
    from kit.sheet import ColourFill, Placement, Sheet

    box = Rect(0, 0, 200, 280)
    placement = Placement("any", box, contour, ColourFill("#3b5b7a"), box)
    sheet = Sheet("one", 215.9, 279.4, 72, (placement,), cut=CutStyle(**style))
    return Page(sheet, np.full((*sheet.raster_px, 3), 255, np.uint8))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(8, 60), min_size=4, max_size=9),
    st.lists(st.floats(-1.5, 1.5), min_size=9, max_size=9),
    st.floats(-1, 1),
)
@pytest.mark.parametrize("reader", [by_ezdxf, by_ezhpgl])
def test_any_ring_of_arcs_comes_back(reader, radii, bulges, shift):
    """Star-shaped rings with bent sides of every sweep; they may cross, which no reader minds."""
    count = len(radii)
    ring = Contour(
        tuple(
            Vertex(
                100 + shift + r * math.cos(2 * math.pi * k / count),
                120 + shift + r * math.sin(2 * math.pi * k / count),
                b if abs(b) > 0.01 else 0.0,
            )
            for k, (r, b) in enumerate(zip(radii, bulges, strict=False))
        )
    )
    points = []
    page = ring_page(ring)
    for _, stroke in reader(cut_hpgl(page), 279.4):
        points += stroke
    seen = shapely.segmentize(shapely.LineString(points), 0.2)
    true = shapely.segmentize(shapely.LinearRing(flatten_contour(ring, 1e-3)), 0.2)
    assert shapely.hausdorff_distance(seen, true) <= LIMIT_MM


# ---- the blade: off unless asked for, and right where it is


def test_overcut_and_blade_offset_are_off_by_default():
    assert CutStyle() == CutStyle(through=(), arcs=True, overcut_mm=0.0, blade_offset_mm=0.0)
    ring = rounded_rectangle(Rect(10, 10, 30, 20), 2)
    path = blade_path(ring)
    assert path[:-1] == ring.vertices
    assert (path[-1].x_mm, path[-1].y_mm) == (ring.vertices[0].x_mm, ring.vertices[0].y_mm)


@pytest.mark.parametrize("ring", [rounded_rectangle(Rect(10, 10, 30, 20), 2), circle(30, 30, 9)])
def test_overcut_goes_on_along_the_outline(ring):
    path = blade_path(ring, overcut_mm=0.4)
    lengths = [side_length(a, b) for a, b in pairwise(path)]
    whole = sum(side_length(a, b) for a, b in ring.sides())
    assert sum(lengths) == pytest.approx(whole + 0.4)
    line = shapely.LinearRing(flatten_contour(ring, 1e-5))
    assert line.distance(shapely.Point(path[-1].x_mm, path[-1].y_mm)) < 1e-4


def dragged(path, offset):
    """Where the tip goes when the axis follows a path: it trails at a fixed distance (a tractrix).

    Stepped along the axis's way: the tip moves straight towards the axis until it is ``offset``
    behind it again. It stands aligned with the first side, as machines lay it before they begin.
    """
    points = []
    for a, b in pairwise(path):
        steps = max(2, math.ceil(side_length(a, b) / 0.01))
        for k in range(steps):
            if a.bulge:
                points.append(arc_between(a, b).at(k / steps))
            else:
                points.append(
                    (a.x_mm + (b.x_mm - a.x_mm) * k / steps, a.y_mm + (b.y_mm - a.y_mm) * k / steps)
                )
    points = np.array(points)
    along = points[1] - points[0]
    tip = points[0] - offset * along / np.hypot(*along)
    trail = []
    for axis in points:
        towards = axis - tip
        distance = np.hypot(*towards)
        if distance > offset:
            tip = axis - towards * (offset / distance)
        trail.append(tip)
    return shapely.LineString(trail)


@pytest.mark.parametrize("radius", [0.0, 1.5])
def test_a_tip_that_trails_the_compensated_axis_cuts_the_outline(radius):
    ring = rounded_rectangle(Rect(10, 10, 12, 8), radius)
    ring = restart(ring, 0, (16.0, 10.0))
    true = shapely.LinearRing(flatten_contour(ring, 1e-5))
    led = dragged(blade_path(ring, overcut_mm=0.3, blade_offset_mm=0.25), 0.25)
    plain = dragged(blade_path(ring, overcut_mm=0.3), 0.25)
    assert shapely.hausdorff_distance(shapely.segmentize(true, 0.01), led) <= 0.01
    assert shapely.hausdorff_distance(shapely.segmentize(true, 0.01), plain) > 0.015


def test_the_file_says_overcut_and_offset():
    ring = rounded_rectangle(Rect(10, 10, 30, 20))
    assert cut_hpgl(ring_page(ring)) != cut_hpgl(ring_page(ring, overcut_mm=0.5))
    said = cut_hpgl(ring_page(ring, blade_offset_mm=0.25)).decode()
    assert said.count("AA") == 4  # one swing about each corner


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.floats(0.02, 0.6), min_size=3, max_size=12),
    st.lists(st.sampled_from([-0.9, -0.2, 0.0, 0.05, 0.6]), min_size=12, max_size=12),
    st.floats(0.05, 2.0),
)
def test_overcut_is_as_long_as_asked_over_any_scraps(steps, bulges, overcut):
    """A sticker begun on a scrap of a side would hang on by what the overcut lacks."""
    along = np.concatenate([[0.0], np.cumsum(steps)])
    ring = Contour(
        (
            *(Vertex(10.0 + x, 10.0, b) for x, b in zip(along, bulges, strict=False)),
            Vertex(30.0, 10.0),
            Vertex(30.0, 40.0),
            Vertex(10.0, 40.0),
        )
    )
    path = blade_path(ring, overcut_mm=overcut)
    lengths = [side_length(a, b) for a, b in pairwise(path)]
    whole = sum(side_length(a, b) for a, b in ring.sides())
    assert sum(lengths) == pytest.approx(whole + overcut)
    # by shapely: the path's line is the ring's and its own first stretch again
    line = shapely.LineString(flatten_contour(Contour(path), 1e-5))  # not its way back
    assert line.length == pytest.approx(whole + overcut, abs=0.01)
    end = shapely.Point(path[-1].x_mm, path[-1].y_mm)
    assert shapely.LinearRing(flatten_contour(ring, 1e-4)).distance(end) < 1e-3


def test_overcut_goes_round_once_at_most():
    tiny = circle(5.0, 5.0, 0.2)
    path = blade_path(tiny, overcut_mm=2.0)
    assert sum(side_length(a, b) for a, b in pairwise(path)) == pytest.approx(0.8 * math.pi)
