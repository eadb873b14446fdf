"""SVG and DXF read back by other programs' readers and compared in millimetres."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely

from kit.shapes import bounding_box, flatten_contour
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


def svg_polygons(data):
    """The paths by svgelements, in millimetres: it counts 96 px an inch (CSS), so scale back."""
    import io

    from svgelements import SVG, Arc, Close, Line, Move, Path

    drawing = SVG.parse(io.BytesIO(data), ppi=96.0)
    scale = 25.4 / 96.0
    found = []
    for path in drawing.elements(lambda e: isinstance(e, Path)):
        path.reify()
        points = []
        for segment in path:
            if isinstance(segment, Move):
                continue
            assert isinstance(segment, Arc | Line | Close)
            steps = 200 if isinstance(segment, Arc) else 1
            points += [segment.point(k / steps) for k in range(steps)]
        found.append(shapely.Polygon([(p.x * scale, p.y * scale) for p in points]))
    return found


@pytest.mark.parametrize("name", ["letter", "a5"])
def test_svg_paths_are_the_outlines(name, request):
    page = request.getfixturevalue(name)
    found = svg_polygons(WRITERS["svg"].write(page))
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
    """LWPOLYLINEs by a reader of our own: pairs of group code and value (DXF reference, R2000)."""
    lines = data.decode("ascii").splitlines()
    pairs = [(int(c), v.strip()) for c, v in zip(lines[::2], lines[1::2], strict=True)]
    start = pairs.index((2, "ENTITIES"))
    polylines, current = [], None
    for code, value in pairs[start + 1 :]:
        if code == 0:
            if value == "ENDSEC":
                break
            assert value == "LWPOLYLINE"
            current = {"closed": False, "points": []}
            polylines.append(current)
        elif code == 70:
            current["closed"] = bool(int(value) & 1)
        elif code == 10:
            current["points"].append([float(value), 0.0, 0.0])
        elif code in (20, 42):
            current["points"][-1][1 if code == 20 else 2] = float(value)
    return polylines


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
    import io

    from ezdxf import recover

    drawing, auditor = recover.read(io.BytesIO(WRITERS["dxf"].write(letter)))
    assert not auditor.has_errors
    assert not auditor.has_fixes
    assert drawing.dxfversion == "AC1015"  # R2000
    assert drawing.header["$INSUNITS"] == 4  # millimetres (DXF reference)
    assert tuple(drawing.header["$LIMMAX"])[:2] == pytest.approx((215.9, 279.4))
    boxes = [p.box for p in letter.sheet.placements]  # extents: the area that objects occupy
    assert tuple(drawing.header["$EXTMIN"])[:2] == pytest.approx(
        (min(b.x_mm for b in boxes), 279.4 - max(b.bottom_mm for b in boxes))
    )
    assert tuple(drawing.header["$EXTMAX"])[:2] == pytest.approx(
        (max(b.right_mm for b in boxes), 279.4 - min(b.y_mm for b in boxes))
    )
    assert len(drawing.modelspace()) == len(letter.sheet.placements)
    for entity, true in zip(drawing.modelspace(), outlines(letter), strict=True):
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
    _, _, shapes, _ = pyogrio.raw.read(file)
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
    """Polylines in millimetres, y up; this reader wants the escape that enters HP-GL/2."""
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


# ---- every cut file


def test_every_cut_file_is_read_back_here():
    """A new format must bring its reader: this list is compared with the table of writers."""
    read_back = {
        "svg": test_svg_paths_are_the_outlines,
        "dxf": test_dxf_group_codes_are_the_outlines,
        "hpgl": test_hpgl_lines_are_the_outlines,
        "layers-pdf": "tests/standards/test_processing_steps.py",
    }
    assert set(read_back) == {writer.name for writer in WRITERS.values() if writer.cuts}


@pytest.mark.parametrize("name", [w.name for w in WRITERS.values() if w.cuts and not w.prints])
def test_cut_files_have_no_artwork_marks_or_frame(name, letter):
    """Marks and panels are printed, never cut: dropping them all changes nothing."""
    from dataclasses import replace

    from kit.render import Page

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
