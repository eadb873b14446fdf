"""Cut lines from SVG paths: as another reader sees them, and bad ones refused by name."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.drawings import read_outline
from kit.drawings.outline_file import outline_of as outline_in
from kit.drawings.svg_path import PathError, read_path
from kit.recipe_error import RecipeError
from kit.shapes import Vertex, bounding_box, first_crossing, fit_arcs, flatten_contour, signed_area

FILE = Path("leaf.svg")


def outline_of(data, size, path):
    return outline_in(data, size, path).contour


SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{}</svg>'


def svg(d, extra=""):
    return SVG.format(f'<path {extra} d="{d}"/>').encode()


def by_svgelements(data, size):
    """The outline by svgelements, fitted to a size: a reader that shares no code with ours."""
    import io

    import svgelements

    # its own way of bending arcs by a skew is off; points are moved exactly
    drawing = svgelements.SVG.parse(io.BytesIO(data), ppi=96, reify=False)
    (shape,) = drawing.elements(lambda e: isinstance(e, svgelements.Shape))
    matrix = shape.transform
    points = []
    for segment in svgelements.Path(shape):
        if not isinstance(segment, svgelements.Move):
            parts = (matrix.point_in_matrix_space(segment.point(k / 300)) for k in range(300))
            points += [(p.x, p.y) for p in parts]
    points = np.array(points)
    low, high = points.min(axis=0), points.max(axis=0)
    return shapely.Polygon((points - low) * min(np.array(size) / (high - low)))


GOOD = {
    "absolute lines": "M10 10 L90 10 L90 60 L10 60 Z",
    "relative lines": "m10,10 80,0 0,50 -80,0z",
    "across and down": "M10 10H90V60h-80z",
    "cubic": "M50 5 C80 15 95 45 80 75 C70 95 30 95 20 75 C5 45 20 15 50 5Z",
    "smooth cubic": "M10 80 C40 10 65 10 95 80 S150 150 180 80 L180 200 L10 200Z",
    "quadratic": "M10 80 Q52 10 95 80 T180 80 V160 H10 Z",
    "circle of arcs": "M10 50a40 40 0 1 0 80 0a40 40 0 1 0-80 0z",
    "flags without spaces": "M10 50a40 40 0 1080 0a40 40 0 10-80 0z",
    "turned ellipse": "M20 50A40 20 30 0 1 80 60A40 20 30 0 1 20 50Z",
    "arc too small for its chord": "M10 50 A10 10 0 0 1 90 50 L50 90 Z",
    "small numbers": "M1e1,1E1L.9e2 10 90,.6e+2 10 60z",
    "two closings": "M10 10 L90 10 L50 80 Z Z",
}


@pytest.mark.parametrize("name", GOOD)
def test_paths_are_what_another_reader_sees(name):
    data = svg(GOOD[name])
    contour = outline_of(data, (40.0, 30.0), FILE)
    seen = shapely.Polygon(flatten_contour(contour, 1e-4))
    true = by_svgelements(data, (40.0, 30.0))
    assert seen.is_valid
    apart = shapely.hausdorff_distance(
        shapely.segmentize(seen.exterior, 0.02), shapely.segmentize(true.exterior, 0.02)
    )
    assert apart <= 0.01 + 0.001  # 0.001: the other reader's curves are cut into 300 chords
    box = bounding_box(contour)
    assert (box.x_mm, box.y_mm) == pytest.approx((0, 0), abs=1e-9)
    assert max(box.width_mm / 40, box.height_mm / 30) == pytest.approx(1, abs=1e-3)


def test_circles_stay_arcs_and_squares_stay_straight():
    ring = outline_of(svg(GOOD["circle of arcs"]), (30, 30), FILE)
    assert len(ring.vertices) <= 6
    assert all(v.bulge != 0 for v in ring.vertices)
    square = outline_of(svg(GOOD["absolute lines"]), (30, 30), FILE)
    assert [v.bulge for v in square.vertices] == [0.0] * 4


@pytest.mark.parametrize(
    "transform",
    ["translate(5 7)", "scale(2,-1)", "rotate(30)", "rotate(30 50,50)", "skewX(20) skewY(-5)"],
)
def test_groups_are_followed(transform):
    inner = f'<g transform="matrix(1 .2 -.1 1 3 4)"><path d="{GOOD["cubic"]}"/></g>'
    data = SVG.format(f'<g transform="{transform}">{inner}</g>').encode()
    seen = shapely.Polygon(flatten_contour(outline_of(data, (30, 30), FILE), 1e-4))
    true = by_svgelements(data, (30, 30))
    assert shapely.hausdorff_distance(seen.exterior, true.exterior) <= 0.02


SHAPES = {
    "rectangle": '<rect x="12" y="-7" width="60" height="31.5"/>',
    "rounded": '<rect x="5" y="6" width="80" height="50" rx="12" ry="8"/>',
    "one radius for both": '<rect width="80" height="50" ry="9.25"/>',
    "radii beyond the half": '<rect width="80" height="50" rx="70" ry="20"/>',
    "circle": '<circle cx="40" cy="37" r="21.125"/>',
    "ellipse": '<ellipse cx="40" cy="3" rx="30" ry="11"/>',
    "polygon": '<polygon points="10,10 90 20,70,80 -4.5e0,60"/>',
    "polyline that ends where it begins": '<polyline points="0,0 50,5 30,60 0,0"/>',
    "units": '<rect x="1cm" y="2px" width="2in" height="30mm" rx="9pt" ry=" 1pc "/>',
}


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("transform", ["", "rotate(25 3 4) scale(1.5,-.7) skewX(15)"])
def test_basic_shapes_are_what_another_reader_sees(name, transform):
    inner = (
        f'<g transform="matrix(1 .2 -.1 1 3 4)">{SHAPES[name]}</g>' if transform else SHAPES[name]
    )
    data = SVG.format(f'<g transform="{transform}">{inner}</g>').encode()
    seen = shapely.Polygon(flatten_contour(outline_of(data, (40.0, 30.0), FILE), 1e-4))
    true = by_svgelements(data, (40.0, 30.0))
    assert seen.is_valid
    apart = shapely.hausdorff_distance(
        shapely.segmentize(seen.exterior, 0.02), shapely.segmentize(true.exterior, 0.02)
    )
    assert apart <= 0.01 + 0.001


@pytest.mark.parametrize(
    ("shape", "exact"),
    [
        # three decimals would not hold this one
        ('<ellipse rx="0.00125" ry="0.00125"/>', shapely.Point(20, 20).buffer(20, quad_segs=500)),
        ('<circle cx="7" r="3"/>', shapely.Point(20, 20).buffer(20, quad_segs=500)),
        ('<rect width="20" height="10"/>', shapely.box(0, 0, 40, 20)),
        (
            '<rect width="20" height="10" rx="2"/>',
            shapely.box(4, 4, 36, 16).buffer(4, quad_segs=500),
        ),
        ('<rect width="9" height="9" rx="9"/>', shapely.Point(20, 20).buffer(20, quad_segs=500)),
        ('<polygon points="0 0 40 0 20 30"/>', shapely.Polygon([(0, 0), (40, 0), (20, 30)])),
    ],
)
def test_basic_shapes_are_exact(shape, exact):
    seen = shapely.Polygon(
        flatten_contour(outline_of(SVG.format(shape).encode(), (40, 40), FILE), 1e-4)
    )
    apart = shapely.hausdorff_distance(
        shapely.segmentize(seen.exterior, 0.02), shapely.segmentize(exact.exterior, 0.02)
    )
    assert apart <= 0.005


def test_arcs_leave_their_circle_by_less_than_five_millionths():
    for half in ("A1 1 0 0 1 1 0A1 1 0 0 1-1 0", "A1 1 77 1 1 0 1A1 1 0 0 1-1 0", "A1 1 0 1 0 0-1"):
        (run,) = read_path(f"M-1 0{half}")
        ends = [run.start, *(piece[2] for piece in run.pieces)]
        for start, (one, two, end) in zip(ends, run.pieces, strict=False):
            t = np.linspace(0, 1, 101)[:, None]
            s = 1 - t
            points = s**3 * start + 3 * s * s * t * one + 3 * s * t * t * two + t**3 * end
            assert np.abs(np.hypot(*points.T) - 1).max() < 5e-6


def test_numbers_are_read_as_they_are_written():
    """As another reader reads them, and not as fontTools alone would: "010" is no 0 and 10."""
    (plain,) = read_path("M10 5 L90 5 A40 40 0 0 1 10 5")
    (odd,) = read_path("M010 5. L9.e1 05\nA40 40\n0\n0\n1\n10 5 ")
    assert plain == odd


def test_beside_a_path_shapes_are_the_page_and_are_left_out():
    page = '<rect width="100%" height="100%" fill="white"/>'
    alone = outline_of(svg(GOOD["cubic"]), (30, 30), FILE)
    inner = page + f'<path d="{GOOD["cubic"]}"/>' + SHAPES["circle"]
    assert outline_of(SVG.format(inner).encode(), (30, 30), FILE) == alone


def test_paths_in_definitions_are_not_drawn():
    inner = f'<defs><path d="M0 0L9 9"/></defs><path d="{GOOD["cubic"]}"/>'
    assert outline_of(SVG.format(inner).encode(), (30, 30), FILE)


def test_an_old_doctype_without_entities_is_read():
    head = b'<?xml version="1.0"?><!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "svg11.dtd">'
    assert outline_of(head + svg(GOOD["cubic"]), (30, 30), FILE)


BOMB = (
    b'<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
    b'<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]><svg><path d="&c;"/></svg>'
)
BAD = {
    "no path": (SVG.format("<text>leaf</text>").encode(), "no path"),
    "a shape without size": (SVG.format("<rect width='9'/><circle/>").encode(), "no path"),
    "two shapes": (SVG.format(SHAPES["circle"] + SHAPES["rounded"]).encode(), "2 outlines"),
    "an open polyline": (SVG.format("<polyline points='0 0 9 0 9 9'/>").encode(), "is open"),
    "a line drawn": (SVG.format("<line x2='9' y2='9'/>").encode(), "is open"),
    "a share of the page": (
        SVG.format("<rect width='50%' height='9'/>").encode(),
        'a rect whose width cannot be read, "50%"',
    ),
    "a unit of the type": (SVG.format("<circle r='2em'/>").encode(), "circle whose r cannot"),
    "an odd point": (SVG.format("<polygon points='0 0 9 0 9'/>").encode(), "with a number missing"),
    "commands for points": (
        SVG.format("<polygon points='0 0 H 9 9 9'/>").encode(),
        'polygon whose points cannot be read at "H 9 9 9"',
    ),
    "a huge circle": (SVG.format("<circle r='1e999'/>").encode(), "too large for a drawing"),
    "empty path": (svg(""), "no path"),
    "only a move": (svg("M10 10"), "no path"),
    "not XML": (b"hello", "no SVG file"),
    "cut short": (svg(GOOD["cubic"])[:-20], "no SVG file"),
    "nothing": (b"", "no SVG file"),
    "open": (svg("M10 10 L90 10 L90 60"), "is open"),
    "figure of eight": (svg("M10 10 L90 60 L90 10 L10 60 Z"), "crosses or touches itself"),
    "touching": (svg("M0 0 L50 50 L100 0 V100 L50 50 L0 100Z"), "crosses or touches itself"),
    "doubling back": (svg("M0 0 L50 0 L20 0 L20 30 Z"), "crosses or touches itself"),
    "a hole": (svg("M0 0H90V90H0Z M20 20H50V50H20Z"), "2 outlines"),
    "two paths": (SVG.format('<path d="M0 0H9V9Z"/>' * 2).encode(), "2 outlines"),
    "a line": (svg("M10 10 L90 10 Z"), "encloses nothing"),
    "a point": (svg("M10 10 L10 10 Z"), "no path"),
    "slanted line": (svg("M10 10 L90 90 Z"), "next to nothing"),
    "no move": (svg("L10 10 L20 0 Z"), "instead of a move"),
    "garbage": (svg("M10 10 L20 twenty Z"), "with a number missing"),
    "unknown command": (svg("M10 10 X20 20 Z"), "without a command|with a number missing"),
    "missing numbers": (svg("M10 10 C20 20 30"), "with a number missing"),
    "numbers after the end": (svg("M0 0 H9 V9 Z 5 5"), "without a command"),
    "endless": (svg("M0 0 L1e999 0 L0 9Z"), "too large for a drawing"),
    "not a number": (svg("M0 0 LNaN 0 L0 9Z"), "with a number missing"),
    "far away": (svg("M0 0 L1e12 0 L0 9Z"), "too large for a drawing"),
    "too long": (svg("M0 0" + "l1 1" * 20_001 + "Z"), "over 20000 segments"),
    "too many corners": (
        svg("M0 0 " + " ".join(f"L{k} {k % 7 + 1}" for k in range(1, 7000)) + " L7000 -9 Z"),
        "over 6000 corners",
    ),
    "entities": (BOMB, "declares entities"),
    "outside entity": (
        b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]><svg><path d="M0 0"/></svg>',
        "declares entities",
    ),
    "unknown alphabet": (b'<?xml version="1.0" encoding="shift_jis"?><svg/>', "alphabet"),
    "no alphabet at all": (b'<?xml version="1.0" encoding="leaf"?><svg/>', "alphabet"),
    "nested deep": (b"<svg>" + b"<g>" * 200 + b"</g>" * 200 + b"</svg>", "nested"),
    "bad transform": (svg(GOOD["cubic"], 'transform="wobble(3)"'), "transform"),
    "transform without numbers": (svg(GOOD["cubic"], 'transform="matrix(1 2)"'), "transform"),
    "flattened by a transform": (svg(GOOD["cubic"], 'transform="scale(0)"'), "encloses nothing"),
}


@pytest.mark.parametrize("name", BAD)
def test_bad_outlines_are_refused_by_name(name):
    data, message = BAD[name]
    with pytest.raises(RecipeError, match=message) as caught:
        outline_of(data, (30.0, 30.0), FILE)
    assert caught.value.where == "leaf.svg"
    assert caught.value.remedy


def test_files_are_guarded(tmp_path):
    with pytest.raises(RecipeError, match="no such outline"):
        read_outline(tmp_path / "none.svg", (30, 30))
    huge = tmp_path / "huge.svg"
    huge.write_bytes(b" " * 2_000_001)
    with pytest.raises(RecipeError, match="over 2 MB"):
        read_outline(huge, (30, 30))
    good = tmp_path / "good.svg"
    good.write_bytes(svg(GOOD["cubic"]))
    assert read_outline(good, (30, 30)).contour.vertices


@settings(max_examples=150, deadline=None)
@given(st.text("MLHVCSQTAZmlhvcsqtaz0123456789.,-+eE \n", max_size=60))
def test_any_text_is_a_path_or_refused(text):
    try:
        runs = read_path(text)
    except PathError:
        return
    assert all(math.isfinite(v) for run in runs for piece in run.pieces for p in piece for v in p)


# ---- random outlines: closed, not crossing, as asked


def blob(radii, points):
    """A smooth ring round (0, 0): radii by a short Fourier series, so that it never crosses."""
    angles = np.linspace(0, 2 * np.pi, points, endpoint=False)
    r = 20 + sum(a * np.cos((k + 2) * angles + b) for k, (a, b) in enumerate(radii))
    return np.column_stack([r * np.cos(angles), r * np.sin(angles)])


COEFFICIENTS = st.lists(st.tuples(st.floats(-4, 4), st.floats(0, 6)), min_size=1, max_size=4)


@settings(max_examples=20, deadline=None)
@given(COEFFICIENTS, st.sampled_from([0.005, 0.02, 0.1]))
def test_fitted_arcs_keep_their_tolerance(radii, tolerance):
    ring = blob(radii, 1500)
    contour = fit_arcs([tuple(p) for p in ring], tolerance)
    true, seen = shapely.Polygon(ring), shapely.Polygon(flatten_contour(contour, 1e-3))
    assert seen.is_valid
    apart = shapely.hausdorff_distance(
        shapely.segmentize(seen.exterior, 0.2), shapely.segmentize(true.exterior, 0.2)
    )
    assert apart <= tolerance * 1.05 + 1e-3
    assert len(contour.vertices) < 150
    assert seen.exterior.is_ccw == true.exterior.is_ccw


@settings(max_examples=20, deadline=None)
@given(COEFFICIENTS)
def test_random_outlines_go_through_a_file(radii):
    ring = blob(radii, 300)
    data = svg("M" + "L".join(f"{x:.4f} {y:.4f}" for x, y in ring) + "Z")
    seen = shapely.Polygon(flatten_contour(outline_of(data, (30, 40), FILE), 1e-4))
    low, high = ring.min(axis=0), ring.max(axis=0)
    true = shapely.Polygon((ring - low) * min(np.array([30, 40]) / (high - low)))
    assert seen.is_valid
    assert shapely.hausdorff_distance(seen.exterior, true.exterior) <= 0.012


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 12), st.integers(0, 12)), min_size=3, max_size=9))
def test_crossings_are_those_that_shapely_sees(points):
    ring = [(float(x), float(y)) for x, y in points]
    if any(a == b for a, b in zip(ring, ring[1:] + ring[:1], strict=True)):
        return
    assert (first_crossing(ring) is None) == shapely.LinearRing(ring).is_simple
    area = shapely.Polygon(ring).area
    if first_crossing(ring) is None:
        assert abs(signed_area(ring)) == pytest.approx(area)


def test_a_fit_has_at_least_three_vertices():
    ring = [(math.cos(t), math.sin(t)) for t in np.linspace(0, 2 * math.pi, 90, endpoint=False)]
    contour = fit_arcs(ring, 0.5)
    assert len(contour.vertices) >= 3
    assert all(isinstance(v, Vertex) for v in contour.vertices)
