"""How the sheet is held, and its cut lines moved in every cut file, read back in millimetres.

The readers are not ours: svgelements, ezdxf (DXF and HP-GL), ezhpgl, pypdf and PDFium.
"""

from __future__ import annotations

import io
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from kit.compose import cut_style
from kit.layout import check_offset, held_at, usable_area
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.render import Page
from kit.shapes import Contour, Rect, Vertex, circle, rounded_rectangle
from kit.sheet import ColourFill, CutMove, Placement, Sheet, frame_around, page_marks
from kit.writers import WRITERS

HEAD = '[planner]\nbox = "42mm x 50mm"\n[[patterns]]\nfile = "a.png"\n'
HEAD += '[[rows]]\nsticker = "full box"\ncount = 4\n'
MARKS = "".join(
    f'[[marks]]\nshape = "{shape}"\nat = "{x}mm x {y}mm"\nsize = "8mm"\n'
    for shape, x, y in (("square", 20, 20), ("disc", 190, 24), ("cross", 30, 250))
)
PAPER = (215.9, 279.4)


def recipe(sheet="", cut="", marks=""):
    text = f'{HEAD}[sheet]\npaper = "Letter"\n{sheet}\n[cut]\n{cut}\n{marks}'
    return parse_recipe(text, Path("kit.toml"))


# ---- where it is held


@pytest.mark.parametrize(
    ("held", "point"),
    [
        ("middle", (107.95, 139.7)),
        ("top left", (0.0, 0.0)),
        ("top right", (215.9, 0.0)),
        ("bottom right", (215.9, 279.4)),
        ("bottom left", (0.0, 279.4)),
        ("marks", (80.0, 98.0)),  # the mean of the three
    ],
)
def test_the_sheet_is_held_where_the_recipe_says(held, point):
    asked = recipe(f'held = "{held}"', marks=MARKS)
    assert held_at(asked) == pytest.approx(point)


def test_a_corner_mark_is_where_its_lines_meet():
    corner = '[[marks]]\nshape = "corner"\nat = "30mm x 40mm"\nsize = "8mm"\ncorner = "top right"\n'
    assert held_at(recipe('held = "marks"', marks=corner)) == (34.0, 36.0)


def test_without_marks_nothing_can_be_held_by_them():
    with pytest.raises(RecipeError, match="held has no effect: there are no marks"):
        recipe('held = "marks"')


def test_misses_grow_from_where_it_is_held():
    """By hand: a turn of 0.1 degree is .24 mm at the end of 139.7 mm, and .49 of 279.4."""
    from kit.registration import Registration, measure_tolerance

    box = [Rect(10.0, 10.0, 195.9, 259.4)]
    for held, far in (("middle", 129.7), ("top left", 269.4)):
        point = held_at(recipe(f'held = "{held}"'))
        told = measure_tolerance(Registration(0.0, 0.1), box, box, point)
        assert told.shift_mm == pytest.approx(far * math.radians(0.1), abs=1e-3)


# ---- what the recipe may say


@pytest.mark.parametrize(
    ("text", "offset"),
    [
        ("0.3mm -0.2mm", (0.3, -0.2)),
        ("0.3 -0.2 mm", (0.3, -0.2)),
        ("-0.01in x 0.5mm", (-0.254, 0.5)),
        ("0mm, 1.5mm", (0.0, 1.5)),
        (" +0.4 mm   0 mm ", (0.4, 0.0)),
    ],
)
def test_an_offset_is_two_lengths(text, offset):
    assert recipe(cut=f'offset = "{text}"').cut.offset == pytest.approx(offset)


@pytest.mark.parametrize("value", ['"0.3mm"', '"0.3 0.2"', '"a b"', "0.3", '"1mm 2mm 3mm"', "true"])
def test_what_is_no_offset_is_refused_with_an_example(value):
    with pytest.raises(RecipeError, match=r"cut\.offset.*0.3mm -0.2mm") as told:
        recipe(cut=f"offset = {value}")
    assert len(str(told.value)) <= 300


@pytest.mark.parametrize(
    ("cut", "says"),
    [
        ('offset = "10.5mm 0mm"', "0.50 mm past the paper's right edge"),
        ('offset = "0mm -12mm"', "2.00 mm past the paper's top edge"),
        ('turn = "4.9deg"', "past the paper's"),
        ('offset = "9.9mm 0mm"\nturn = "0.1deg"', "past the paper's right edge"),
    ],
)
def test_an_offset_larger_than_the_margin_is_refused(cut, says):
    asked = recipe(cut=cut)
    with pytest.raises(RecipeError, match="larger than the margin") as told:
        check_offset(asked, usable_area(asked.sheet))
    assert says in str(told.value)
    assert len(str(told.value)) <= 300
    smaller = recipe(cut='offset = "9.9mm -9.9mm"')
    check_offset(smaller, usable_area(smaller.sheet))


def test_a_sheet_without_margins_may_leave_its_cut_where_it_is():
    asked = recipe('margin = "0mm"')
    check_offset(asked, usable_area(asked.sheet))


# ---- in every file


OFFSET, TURN = (0.8, -0.5), 0.3
SPOTS = [(30.0, 40.0), (120.0, 60.0), (40.0, 200.0), (170.0, 230.0)]


SLOW = [pytest.param(held, marks=pytest.mark.slow) for held in ("middle", "marks")]


@pytest.fixture(scope="module", params=["top left", *SLOW])
def moved(request):
    """Four discs and a frame, a through cut round all; the raster does not matter."""
    cut = f'offset = "{OFFSET[0]}mm {OFFSET[1]}mm"\nturn = "{TURN}deg"'
    asked = recipe(f'held = "{request.param}"', cut, MARKS)
    discs = [circle(x, y, 9.0) for x, y in SPOTS]
    boxes = [Rect(x - 9.0, y - 9.0, 18.0, 18.0) for x, y in SPOTS]
    placements = tuple(
        Placement("dot", box, disc, ColourFill("#3b5b7a"), box.grow(1.0))
        for disc, box in zip(discs, boxes, strict=True)
    )
    around = rounded_rectangle(Rect(15.0, 30.0, 180.0, 225.0))
    frame = frame_around([box.grow(1.0) for box in boxes], Rect(0.0, 0.0, *PAPER))
    sheet = Sheet("Moved", *PAPER, 72, placements, cut=cut_style(asked, (around,)))
    sheet = replace(sheet, machine_marks=page_marks(asked.marks), frame=frame)
    page = Page(sheet, np.full((*sheet.raster_px, 3), 255, np.uint8))
    return page, np.array(held_at(asked))


def meant(points, held):
    """Where points are to lie: turned clockwise about the held point (y down), then moved."""
    angle = math.radians(TURN)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    return (np.array(points) - held) @ turn.T + held + OFFSET


def middles_and_corners(held):
    """The discs' middles and the through cut's corners, where cut files should have them."""
    ring = [(15.0, 30.0), (195.0, 30.0), (195.0, 255.0), (15.0, 255.0)]
    return meant(SPOTS, held), meant(ring, held)


def agree(found, wanted, *, within):
    """Each wanted point has one of the found ones, whatever their order."""
    found = np.array(found)
    assert found.shape == np.shape(wanted)
    apart = np.hypot(*(found[:, None] - wanted[None]).transpose(2, 0, 1))
    assert apart.min(axis=0).max() <= within


def box_middle(points):
    points = np.array(points)
    return (points.min(axis=0) + points.max(axis=0)) / 2.0


@pytest.mark.parametrize("writer", ["svg", "all-svg"])
def test_svg_has_the_cuts_moved_and_the_guides_in_place(writer, moved):
    from svgelements import SVG, Group

    page, held = moved
    middles, corners = middles_and_corners(held)
    drawing = SVG.parse(io.BytesIO(WRITERS[writer].write(page)), ppi=25.4)
    groups = {g.id: list(g) for g in drawing.elements(lambda e: isinstance(e, Group)) if g.id}

    def bounds(group):
        for path in groups[group]:
            path.reify()
        return np.array([path.bbox() for path in groups[group]])

    kiss = bounds("kiss-cut")
    agree((kiss[:, :2] + kiss[:, 2:]) / 2.0, middles, within=0.01)
    ends = [(s.end.x, s.end.y) for s in groups["through-cut"][0] if s.start is not None]
    assert min(np.hypot(*(np.array(ends) - c).T).min() for c in corners) <= 0.01
    agree([min(ends, key=lambda e, c=c: math.dist(e, c)) for c in corners], corners, within=0.01)
    assert bounds("page")[0] == pytest.approx((0.0, 0.0, *PAPER), abs=0.001)
    marks = bounds("marks")
    assert marks[0] == pytest.approx((16.0, 16.0, 24.0, 24.0), abs=0.01)  # as they are printed
    assert bounds("frame")[0] == pytest.approx((19.0, 29.0, 181.0, 241.0), abs=0.01)


def test_dxf_has_the_cuts_moved_and_the_guides_in_place(moved):
    from ezdxf import bbox, recover

    page, held = moved
    middles, corners = middles_and_corners(held)
    drawing, auditor = recover.read(io.BytesIO(WRITERS["dxf"].write(page)))
    assert not auditor.has_errors

    def boxes(layer):
        lines = drawing.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
        return [bbox.extents([line]) for line in lines]

    found = [(b.center.x, PAPER[1] - b.center.y) for b in boxes("KISS_CUT")]
    agree(found, middles, within=0.01)
    (ring,) = drawing.modelspace().query('LWPOLYLINE[layer=="THROUGH_CUT"]')
    ends = [(x, PAPER[1] - y) for x, y in ring.get_points("xy")]
    agree([min(ends, key=lambda e, c=c: math.dist(e, c)) for c in corners], corners, within=0.01)
    (edge,) = boxes("PAGE")
    assert (*edge.extmin, *edge.extmax) == pytest.approx((0.0, 0.0, 0.0, *PAPER, 0.0))
    square = boxes("MARKS")[0]
    assert (square.center.x, PAPER[1] - square.center.y) == pytest.approx((20.0, 20.0))


def by_ezdxf(data):
    from ezdxf.addons.hpgl2 import api

    player = api.record_plotter_output(b"\x1b%1B" + data, api.MergeControl.NONE)
    return [[(p.x / 40.0, p.y / 40.0) for p in r.vertices()] for _, _, r in player.recordings()]


def by_ezhpgl(data):
    ezhpgl = pytest.importorskip("ezhpgl", reason="the ezhpgl reader is not installed")
    (page,) = ezhpgl.parse(data).pages
    return [[(p.x, p.y) for p in operation.geometry.points] for operation in page.operations]


@pytest.mark.parametrize("reader", [by_ezdxf, by_ezhpgl])
def test_hpgl_has_the_cuts_moved(reader, moved):
    """All strokes lie on the moved discs or through cut, within 0.03 mm, and all round them."""
    import shapely

    page, held = moved
    middles, corners = middles_and_corners(held)
    lines = [ln for ln in reader(WRITERS["hpgl"].write(page)) if len(ln) > 1]
    drawn = shapely.MultiLineString([[(x, PAPER[1] - y) for x, y in line] for line in lines])
    rings = [shapely.Point(*middle).buffer(9.0, 400).exterior for middle in middles]
    wanted = shapely.union_all([*rings, shapely.Polygon(corners).exterior])
    assert shapely.hausdorff_distance(shapely.segmentize(drawn, 0.5), wanted) <= 0.03
    assert shapely.hausdorff_distance(shapely.segmentize(wanted, 0.5), drawn) <= 0.03


@pytest.mark.parametrize("writer", ["cut-pdf", "layers-pdf"])
def test_pdf_has_the_cuts_moved_and_the_page_in_place(writer, moved):
    """Stroked paths by pypdf: each disc's middle from the box of its points and handles."""
    import pypdf

    page, held = moved
    middles, corners = middles_and_corners(held)
    read = pypdf.PdfReader(io.BytesIO(WRITERS[writer].write(page))).pages[0]
    assert [float(v) for v in read.mediabox] == pytest.approx((0, 0, 611.98, 792.0), abs=0.05)
    rings, ring = [], []
    for operands, operator in read.get_contents().operations:
        if operator == b"m":
            ring = []
        if operator in {b"m", b"l", b"c"}:
            ring.append([float(v) * 25.4 / 72 for v in operands[-2:]])
        if operator == b"S":
            rings.append(np.array(ring) * (1, -1) + (0, PAPER[1]))
    *discs, around = rings[-5:]
    agree([np.mean(disc[:-1], axis=0) for disc in map(ends_of, discs)], middles, within=0.02)
    agree([around[np.hypot(*(around - c).T).argmin()] for c in corners], corners, within=0.02)


def ends_of(points):
    """The ends of a circle's Béziers, closed: their mean is its middle."""
    return points if math.dist(points[0], points[-1]) < 1e-3 else np.vstack([points, points[:1]])


@pytest.mark.slow
def test_the_cut_pdf_as_pdfium_draws_it(moved):
    """The box of all ink at 600 dpi: the through cut's, half a line of 0.25 mm wider all round."""
    import pypdfium2

    page, held = moved
    document = pypdfium2.PdfDocument(WRITERS["cut-pdf"].write(page))
    grey = 255.0 - np.asarray(document[0].render(scale=600 / 72).to_pil().convert("L"), float)
    document.close()
    _, corners = middles_and_corners(held)
    ys, xs = np.nonzero(grey > 60)
    found = np.array([xs.min(), ys.min(), xs.max() + 1, ys.max() + 1]) * 25.4 / 600
    wanted = [*(corners.min(axis=0) - 0.125), *(corners.max(axis=0) + 0.125)]
    assert found == pytest.approx(np.array(wanted), abs=0.1)


def test_what_is_not_moved_is_the_very_same():
    ring = Contour((Vertex(1.0, 2.0), Vertex(3.0, 4.0, 0.5), Vertex(0.0, 9.0)))
    assert CutMove((0.0, 0.0), 0.0, (5.0, 5.0))(ring) is ring
    turned = CutMove((1.0, 0.0), 90.0, (1.0, 2.0))(ring)
    assert (turned.vertices[1].x_mm, turned.vertices[1].y_mm) == pytest.approx((0.0, 4.0))
    assert turned.vertices[1].bulge == 0.5
