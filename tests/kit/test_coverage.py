"""Pixel shares against shapely's exact polygon areas and a fine supersampling."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from kit.shapes import (
    Rect,
    Window,
    area_coverage,
    bounding_box,
    circle,
    flatten_contour,
    rounded_rectangle,
    stroke_box,
    stroke_coverage,
    window_centred,
    window_touched,
)

DPI = 254.0  # ten pixels a millimetre
SIZE = (400, 400)


@pytest.mark.parametrize(
    "contour",
    [
        circle(2.037, 1.911, 1.113),
        rounded_rectangle(Rect(0.512, 0.733, 2.345, 1.217), 0.4),
        rounded_rectangle(Rect(0.5, 0.5, 1.0, 1.0), 0.0),
    ],
)
def test_area_is_exact_in_every_pixel(contour):
    window = window_touched(bounding_box(contour), DPI, SIZE)
    shares = area_coverage(contour, DPI, window)
    shape = shapely.Polygon(np.array(flatten_contour(contour, 1e-5)) * 10.0)
    rows, cols = np.mgrid[0 : window.rows, 0 : window.cols]
    left, top = cols + window.col, rows + window.row
    exact = shapely.area(shapely.intersection(shapely.box(left, top, left + 1, top + 1), shape))
    # the arcs are flattened to 0.004 pixel, so no pixel can be further off than that
    assert np.abs(shares - exact).max() < 0.005
    assert shares.sum() == pytest.approx(shape.area, rel=1e-3)


def test_a_window_may_cut_the_outline_anywhere():
    contour = circle(2.0, 2.0, 1.5)
    whole = area_coverage(contour, DPI, Window(0, 0, 40, 40))
    for window in (Window(10, 12, 15, 9), Window(0, 0, 20, 20), Window(18, 30, 30, 20)):
        part = area_coverage(contour, DPI, window)
        rows, cols = window.slices
        expected = np.zeros((window.rows, window.cols))
        seen = whole[rows, cols]
        expected[: seen.shape[0], : seen.shape[1]] = seen
        assert np.abs(part - expected).max() < 1e-9


def test_stroke_against_supersampled_ring():
    contour, width = circle(2.0, 2.0, 1.2), 0.25
    window = window_touched(stroke_box(contour, width), DPI, SIZE)
    shares = stroke_coverage(contour, width, DPI, window)
    fine = 16
    ys = (np.arange(window.rows * fine) + 0.5) / fine + window.row
    xs = (np.arange(window.cols * fine) + 0.5) / fine + window.col
    away = np.abs(np.hypot(xs[None, :] - 20.0, ys[:, None] - 20.0) - 12.0)
    ring = (away <= width * 5.0).reshape(window.rows, fine, window.cols, fine).mean((1, 3))
    assert np.abs(shares - ring).max() < 0.13  # distance instead of area: an eighth at worst
    assert shares.sum() == pytest.approx(ring.sum(), rel=0.01)


def test_hairline_keeps_its_ink():
    contour = circle(2.0, 2.0, 1.2)
    window = Window(0, 0, 40, 40)
    thin = stroke_coverage(contour, 0.02, DPI, window).sum()
    assert thin == pytest.approx(2 * np.pi * 12.0 * 0.2, rel=0.05)


def test_rectangles_that_meet_share_no_pixel_and_leave_none():
    for cut in np.linspace(1.0, 1.2, 41):
        left = window_centred(Rect(0.5, 0, cut - 0.5, 1), DPI, SIZE)
        right = window_centred(Rect(cut, 0, 1.0, 1), DPI, SIZE)
        assert left.col + left.cols == right.col


@given(st.floats(0.0, 20.0), st.floats(0.0, 20.0))
def test_a_centred_window_holds_the_pixels_whose_centre_it_holds(x, width):
    window = window_centred(Rect(x, 1.0, width, 1.0), DPI, SIZE)
    centres = (np.arange(400) + 0.5) / 10.0
    clear = (np.abs(centres - x) > 1e-6) & (np.abs(centres - x - width) > 1e-6)
    held = (centres > x) & (centres < x + width)
    taken = np.zeros(400, bool)
    taken[window.slices[1]] = True
    assert (taken == held)[clear].all()


def test_windows_are_clipped_by_the_raster():
    assert window_touched(Rect(-5, -5, 100, 100), DPI, SIZE) == Window(0, 0, 400, 400)
    outside = window_touched(Rect(50, 50, 5, 5), DPI, SIZE)
    assert (outside.rows, outside.cols) == (0, 0)
