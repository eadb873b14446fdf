"""Every cut file read back by other programs' readers and compared in millimetres."""

from __future__ import annotations

import base64
import io
import math
import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely

from kit.recipe import MarkPart
from kit.render import Page
from kit.shapes import Rect, bounding_box, flatten_contour
from kit.sheet import frame_around, page_marks
from kit.writers import WRITERS

SVG_NS = "{http://www.w3.org/2000/svg}"


def in_cutting_order(page):
    return [page.sheet.placements[path.number] for path in page.cuts.paths]


def outlines(page):
    """Every sticker's outline as a fine polygon in cutting order, millimetres, y down."""
    return [shapely.Polygon(flatten_contour(p.outline, 1e-4)) for p in in_cutting_order(page)]


def apart(a, b):
    """How far two outlines are from each other at most, millimetres.

    Measured from the corners of one to the sides of the other, both ways, with a corner at least
    every half millimetre.
    """
    a, b = (shapely.segmentize(getattr(g, "exterior", g), 0.5) for g in (a, b))
    return shapely.hausdorff_distance(a, b)


def sized(polygon):
    left, top, right, bottom = polygon.bounds
    return right - left, bottom - top


# ---- SVG


def svg_polygons(data, group="kiss-cut"):
    """A group's paths by svgelements, in millimetres: it counts 96 px an inch (CSS)."""
    from svgelements import SVG, Arc, Close, Group, Line, Move, Path

    drawing = SVG.parse(io.BytesIO(data), ppi=96.0)
    scale = 25.4 / 96.0
    (named,) = drawing.elements(lambda e: isinstance(e, Group) and e.id == group)
    found = []
    for path in named:
        assert isinstance(path, Path)
        path.reify()
        points = []
        for segment in path:
            if isinstance(segment, Move):
                continue
            assert isinstance(segment, Arc | Line | Close)
            steps = 200 if isinstance(segment, Arc) else 1
            points += [segment.point(k / steps) for k in range(steps)]
        shape = shapely.Polygon if len(points) > 2 else shapely.LineString
        found.append(shape([(p.x * scale, p.y * scale) for p in points]))
    return found


@pytest.mark.parametrize("writer", ["svg", "all-svg"])
@pytest.mark.parametrize("name", ["letter", "a5"])
def test_svg_paths_are_the_outlines(name, writer, request):
    page = request.getfixturevalue(name)
    found = svg_polygons(WRITERS[writer].write(page))
    wanted = outlines(page)
    assert len(found) == len(page.sheet.placements)
    for seen, true, placement in zip(found, wanted, in_cutting_order(page), strict=True):
        assert apart(seen, true) <= 0.001
        assert sized(seen) == pytest.approx(
            (placement.box.width_mm, placement.box.height_mm), abs=0.01
        )


def test_svg_has_the_page_and_nothing_but_closed_true_arcs(letter):
    root = ET.fromstring(WRITERS["svg"].write(letter))  # noqa: S314  our own file
    assert root.attrib["width"] == "215.9mm"
    assert root.attrib["height"] == "279.4mm"
    assert root.attrib["viewBox"] == "0 0 215.9 279.4"
    assert root.find(f"{SVG_NS}title").text == letter.sheet.title
    tags = {element.tag.removeprefix(SVG_NS) for element in root.iter()}
    assert tags == {"svg", "title", "g", "path"}
    for path in root.iter(f"{SVG_NS}path"):
        assert set(re.findall("[A-Za-z]", path.attrib["d"])) <= set("MLAZ")
        assert path.attrib["d"].endswith("Z")
        assert path.attrib["d"].count("M") == 1


# ---- DXF


def dxf_entities(data):
    """LWPOLYLINEs by a reader of our own: pairs of group code and value (DXF reference, R2000).

    Those on layers that are not to be cut are left out.
    """
    lines = data.decode("ascii").splitlines()
    pairs = [(int(c), v.strip()) for c, v in zip(lines[::2], lines[1::2], strict=True)]
    start = pairs.index((2, "ENTITIES"))
    polylines, current = [], None
    for code, value in pairs[start + 1 :]:
        if code == 0:
            if value == "ENDSEC":
                break
            assert value == "LWPOLYLINE"
            current = {"closed": False, "points": [], "layer": ""}
            polylines.append(current)
        elif code == 8:
            current["layer"] = value
        elif code == 70:
            current["closed"] = bool(int(value) & 1)
        elif code == 10:
            current["points"].append([float(value), 0.0, 0.0])
        elif code in (20, 42):
            current["points"][-1][1 if code == 20 else 2] = float(value)
    return [one for one in polylines if one["layer"].endswith("_CUT")]


def bulged(points, height):
    """A polygon from (x, y up, bulge): the arc's centre by chord geometry, turned y down."""
    ring = []
    for (x0, y0, b), (x1, y1, _) in zip(points, points[1:] + points[:1], strict=True):
        if b == 0:
            ring.append((x0, height - y0))
            continue
        chord, sweep = math.hypot(x1 - x0, y1 - y0), 4 * math.atan(b)
        radius = chord / (2 * math.sin(sweep / 2))
        a0 = math.atan2(y1 - y0, x1 - x0) - math.pi / 2 - sweep / 2
        cx, cy = x0 - radius * math.cos(a0), y0 - radius * math.sin(a0)
        for t in np.linspace(0, 1, 200, endpoint=False):
            a = a0 + sweep * t
            ring.append((cx + radius * math.cos(a), height - cy - radius * math.sin(a)))
    return shapely.Polygon(ring)


@pytest.mark.parametrize("name", ["letter", "a5"])
def test_dxf_group_codes_are_the_outlines(name, request):
    page = request.getfixturevalue(name)
    found = dxf_entities(WRITERS["dxf"].write(page))
    assert len(found) == len(page.sheet.placements)
    for polyline, true, placement in zip(
        found, outlines(page), in_cutting_order(page), strict=True
    ):
        assert polyline["closed"]
        seen = bulged(polyline["points"], page.sheet.height_mm)
        assert apart(seen, true) <= 0.001
        assert sized(seen) == pytest.approx(
            (placement.box.width_mm, placement.box.height_mm), abs=0.01
        )


def test_dxf_passes_ezdxf_recover_and_audit(letter):
    from ezdxf import recover

    drawing, auditor = recover.read(io.BytesIO(WRITERS["dxf"].write(letter)))
    assert not auditor.has_errors
    assert not auditor.has_fixes
    assert drawing.dxfversion == "AC1015"  # R2000
    assert drawing.header["$INSUNITS"] == 4  # millimetres (DXF reference)
    assert tuple(drawing.header["$LIMMAX"])[:2] == pytest.approx((215.9, 279.4))
    # extents: the area that objects occupy (DXF reference); the paper's outline is one of them
    assert tuple(drawing.header["$EXTMIN"])[:2] == (0.0, 0.0)
    assert tuple(drawing.header["$EXTMAX"])[:2] == pytest.approx((215.9, 279.4))
    cut = drawing.modelspace().query('LWPOLYLINE[layer=="KISS_CUT"]')
    assert len(cut) == len(drawing.modelspace()) - 1 == len(letter.sheet.placements)
    for entity, true in zip(cut, outlines(letter), strict=True):
        assert entity.closed
        pieces = []
        for side in entity.virtual_entities():  # lines and arcs, ezdxf's own reading of a bulge
            ends = [side.dxf.start, side.dxf.end] if side.dxftype() == "LINE" else None
            pieces.append([(p.x, 279.4 - p.y) for p in ends or side.flattening(2e-4)])
        assert apart(shapely.MultiLineString(pieces), true) <= 0.001


@pytest.mark.slow
def test_dxf_opens_in_gdal(letter, tmp_path):
    """GDAL's DXF driver shares no code with ezdxf; it cuts arcs into chords of 4 degrees."""
    import pyogrio

    file = tmp_path / "sheet.dxf"
    file.write_bytes(WRITERS["dxf"].write(letter))
    meta, _, shapes, fields = pyogrio.raw.read(file)
    layers = fields[list(meta["fields"]).index("Layer")]
    shapes = [blob for blob, layer in zip(shapes, layers, strict=True) if layer == "KISS_CUT"]
    assert len(shapes) == len(letter.sheet.placements)
    for blob, placement, true in zip(
        shapes, in_cutting_order(letter), outlines(letter), strict=True
    ):
        ring = shapely.transform(shapely.from_wkb(blob), lambda p: p * (1, -1) + (0, 279.4))
        assert ring.is_closed
        seen = shapely.Polygon(ring)
        widest = max(placement.box.width_mm, placement.box.height_mm)
        chord_error = widest / 2 * (1 - math.cos(math.radians(2)))
        assert apart(seen, true) <= chord_error + 0.001
        assert sized(seen) == pytest.approx(sized(true), abs=2 * chord_error + 0.001)


# ---- HP-GL


def by_ezdxf(data):
    """Polylines in millimetres, y up; this reader needs the escape that enters HP-GL/2."""
    from ezdxf.addons.hpgl2 import api

    player = api.record_plotter_output(b"\x1b%1B" + data, api.MergeControl.NONE)
    lines = []
    for kind, _, record in player.recordings():
        assert kind.name == "POLYLINE"
        lines.append([(p.x / 40.0, p.y / 40.0) for p in record.vertices()])
    return lines


def by_ezhpgl(data):
    ezhpgl = pytest.importorskip("ezhpgl", reason="the ezhpgl reader is not installed")
    document = ezhpgl.parse(data)
    assert document.diagnostics == []
    assert document.units == "mm"
    (page,) = document.pages
    return [[(p.x, p.y) for p in operation.geometry.points] for operation in page.operations]


@pytest.mark.parametrize("reader", [by_ezdxf, by_ezhpgl])
@pytest.mark.parametrize("name", ["letter", "a5"])
def test_hpgl_lines_are_the_outlines(reader, name, request):
    """Within 0.03 mm both ways: half a plotter unit is 0.0177 mm askew, chords add 0.005."""
    page = request.getfixturevalue(name)
    height = page.sheet.height_mm
    lines = reader(WRITERS["hpgl"].write(page))
    drawn = [shapely.LineString([(x, height - y) for x, y in ln]) for ln in lines if len(ln) > 1]
    for true in outlines(page):
        own = [line for line in drawn if true.buffer(1.0).contains(line)]
        assert apart(shapely.MultiLineString(own), true) <= 0.03
        drawn = [line for line in drawn if line not in own]
    assert drawn == []


def test_hpgl_goes_round_each_sticker_once(letter):
    text = WRITERS["hpgl"].write(letter).decode("ascii")
    paths = re.findall(r"PU(\d+,\d+);PD;(.*?)PU;", text)
    assert len(paths) == len(letter.sheet.placements)
    for start, body in paths:
        begun = pen = complex(*map(int, start.split(",")))
        for command in filter(None, body.split(";")):
            numbers = [float(v) for v in command[2:].split(",")]
            if command.startswith("PD"):
                pen = complex(*numbers)
            else:  # AA: about the centre, by degrees, counter-clockwise with y up
                assert command.startswith("AA")
                centre = complex(numbers[0], numbers[1])
                pen = centre + (pen - centre) * np.exp(1j * math.radians(numbers[2]))
        assert abs(pen - begun) < 0.75  # the same unit


# ---- PDF


@pytest.mark.parametrize("name", ["letter", "a5"])
def test_the_cut_pdf_holds_the_outlines_and_nothing_else(name, request):
    """Objects counted by PDFium; operators by pypdf, curves flattened here."""
    import pypdf
    import pypdfium2
    from pypdfium2 import raw

    page = request.getfixturevalue(name)
    data = WRITERS["cut-pdf"].write(page)
    document = pypdfium2.PdfDocument(data)
    kinds = [one.type for one in document[0].get_objects()]
    document.close()
    assert kinds == [raw.FPDF_PAGEOBJ_PATH] * len(page.sheet.placements)
    rings, ring = [], []
    for operands, operator in pypdf.PdfReader(io.BytesIO(data)).pages[0].get_contents().operations:
        assert operator in b"q gs CS SCN w J j m l c h S Q".split()  # no dash among them
        if operator == b"m":
            ring = []
        if operator in {b"m", b"l", b"c"}:
            numbers = [float(v) * 25.4 / 72 for v in operands]
            ring += along(ring[-1] if ring else None, np.reshape(numbers, (-1, 2)))
        if operator == b"h":  # the path is closed
            rings.append(shapely.Polygon([(x, page.sheet.height_mm - y) for x, y in ring]))
    for seen, true in zip(rings, outlines(page), strict=True):
        assert apart(seen, true) <= 0.02


def along(start, points):
    """A point, or a cubic Bézier from ``start`` by its formula."""
    if len(points) == 1:
        return [points[0]]
    t = np.linspace(0.0, 1.0, 60)[1:, None]
    a, b, c = points
    return list((1 - t) ** 3 * start + 3 * t * (1 - t) ** 2 * a + 3 * t**2 * (1 - t) * b + t**3 * c)


@pytest.mark.parametrize("name", ["cut-pdf", "layers-pdf"])
def test_the_recipe_may_name_the_kiss_cuts_spot_colour(name, letter):
    import pikepdf

    style = replace(letter.sheet.cut, spot="Schnitt (außen) #1")
    page = Page(replace(letter.sheet, cut=style), letter.raster)
    with pikepdf.open(io.BytesIO(WRITERS[name].write(page))) as pdf:
        assert pdf.pages[0].Resources.ColorSpace.KissCut[1] == "/Schnitt (außen) #1"


# ---- guides: not to be cut


MARKS = (
    MarkPart(shape="disc", at="7mm x 8mm", size="5mm"),
    MarkPart(shape="square", at="100mm x 8mm", size="6mm"),
    MarkPart(shape="corner", at="140mm x 190mm", size="8mm", corner="bottom right"),
    MarkPart(shape="cross", at="8mm x 190mm", size="8mm"),
)


@pytest.fixture(scope="module")
def marked(a5):
    """The page with every kind of mark and a frame; its raster does not matter here."""
    paper = Rect(0.0, 0.0, a5.sheet.width_mm, a5.sheet.height_mm)
    frame = frame_around([placed.bleed for placed in a5.sheet.placements], paper)
    return Page(replace(a5.sheet, machine_marks=page_marks(MARKS), frame=frame), a5.raster)


def mark_bounds():
    """(left, top, right, bottom) of every line of every mark, from the recipe's own numbers."""
    found = []
    for mark in MARKS:
        (x, y), half = mark.at, mark.size / 2.0
        if mark.shape == "cross":
            found += [(x - half, y, x + half, y), (x, y - half, x, y + half)]
        else:
            found.append((x - half, y - half, x + half, y + half))
    return found


@pytest.mark.parametrize("writer", ["svg", "all-svg"])
def test_svg_has_the_papers_edge_and_the_marks_in_groups_of_their_own(writer, marked):
    data = WRITERS[writer].write(marked)
    assert b'<path d="M0 0 L148 0 L148 210 L0 210 Z"/>' in data
    (edge,) = svg_polygons(data, "page")
    assert edge.bounds == pytest.approx((0.0, 0.0, 148.0, 210.0), abs=0.001)  # as it reads them
    assert edge.area == pytest.approx(148.0 * 210.0, rel=1e-5)
    marks = [one.bounds for one in svg_polygons(data, "marks")]
    assert np.array(marks) == pytest.approx(np.array(mark_bounds()), abs=0.01)
    assert len(svg_polygons(data, "frame")) == 1
    assert len(svg_polygons(data, "kiss-cut")) == len(marked.sheet.placements)


def test_dxf_has_the_papers_edge_and_the_marks_on_layers_of_their_own(marked):
    from ezdxf import bbox, recover

    drawing, auditor = recover.read(io.BytesIO(WRITERS["dxf"].write(marked)))
    assert not auditor.has_errors
    assert not auditor.has_fixes

    def bounds(layer):
        lines = drawing.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
        boxes = [bbox.extents([line]) for line in lines]
        return np.array(
            [(b.extmin.x, 210.0 - b.extmax.y, b.extmax.x, 210.0 - b.extmin.y) for b in boxes]
        )

    assert bounds("PAGE") == pytest.approx(np.array([(0.0, 0.0, 148.0, 210.0)]), abs=1e-6)
    assert bounds("MARKS") == pytest.approx(np.array(mark_bounds()), abs=0.01)
    assert len(bounds("FRAME")) == 1
    assert len(bounds("KISS_CUT")) == len(marked.sheet.placements)
    for name in ("PAGE", "MARKS", "FRAME"):
        assert drawing.layers.get(name).dxf.plot == 0  # does not plot (DXF reference, group 290)
    assert drawing.layers.get("KISS_CUT").dxf.get("plot", 1) == 1


@pytest.mark.parametrize("name", ["hpgl", "cut-pdf", "layers-pdf"])
def test_files_without_groups_have_no_line_that_is_not_cut(name, marked, a5):
    assert WRITERS[name].write(marked) == WRITERS[name].write(a5)


# ---- picture and cut lines in one drawing


@pytest.mark.parametrize("name", ["letter", "a5"])
def test_the_picture_in_the_drawing_is_the_print_and_lies_on_the_page(name, request):
    from PIL import Image
    from svgelements import SVG
    from svgelements import Image as Placed

    page = request.getfixturevalue(name)
    data = WRITERS["all-svg"].write(page)
    (placed,) = SVG.parse(io.BytesIO(data), ppi=96.0).elements(lambda e: isinstance(e, Placed))
    rows, cols = page.sheet.raster_px
    size = cols * 25.4 / page.sheet.dpi, rows * 25.4 / page.sheet.dpi
    where = placed.x, placed.y, placed.width, placed.height
    scale = placed.transform.a * 25.4 / 96.0, placed.transform.d * 25.4 / 96.0
    assert where == pytest.approx((0.0, 0.0, *size), abs=1e-5)
    assert (*scale, placed.transform.e, placed.transform.f) == pytest.approx((1, 1, 0, 0), abs=1e-5)
    root = ET.fromstring(data)  # noqa: S314  our own file
    (link,) = (
        one.attrib["{http://www.w3.org/1999/xlink}href"] for one in root.iter(f"{SVG_NS}image")
    )
    kind, content = link.split(",")
    assert kind == "data:image/png;base64"
    own = base64.b64decode(content, validate=True)
    assert own == WRITERS["print-png"].write(page)
    with Image.open(io.BytesIO(own)) as picture:
        assert np.array_equal(np.asarray(picture), page.raster)
    # the picture lies beneath: what comes later in an SVG is painted above
    groups = [one.attrib["id"] for one in root.findall(f"{SVG_NS}g")]
    assert groups == ["print", "kiss-cut", "page"]


# ---- every cut file


def test_every_cut_file_is_read_back_here():
    """A new format must bring its reader: this list is compared with the table of writers."""
    read_back = {
        "svg": test_svg_paths_are_the_outlines,
        "all-svg": test_svg_paths_are_the_outlines,
        "cut-pdf": test_the_cut_pdf_holds_the_outlines_and_nothing_else,
        "dxf": test_dxf_group_codes_are_the_outlines,
        "hpgl": test_hpgl_lines_are_the_outlines,
        "layers-pdf": "tests/standards/test_processing_steps.py",
    }
    assert set(read_back) == {writer.name for writer in WRITERS.values() if writer.cuts}


@pytest.mark.parametrize("name", [w.name for w in WRITERS.values() if w.cuts and not w.prints])
def test_cut_files_have_no_artwork_marks_or_frame(name, letter):
    """Marks and panels are printed, never cut: dropping them all changes nothing."""
    bare = tuple(replace(p, panels=(), marks=()) for p in letter.sheet.placements)
    stripped = Page(replace(letter.sheet, placements=bare, ruler=None), letter.raster)
    assert WRITERS[name].write(stripped) == WRITERS[name].write(letter)


def test_boxes_of_the_outlines_are_the_boxes(letter):
    for placement in letter.sheet.placements:
        box = bounding_box(placement.outline)
        assert (box.x_mm, box.y_mm, box.width_mm, box.height_mm) == pytest.approx(
            (
                placement.box.x_mm,
                placement.box.y_mm,
                placement.box.width_mm,
                placement.box.height_mm,
            ),
            abs=1e-9,
        )
