"""Through cuts round groups and sheet: clear of every sticker, last in every cut file."""

from __future__ import annotations

import io
import math
import random
import re
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import shapely

from kit.cut.paths import KISS, THROUGH, cut_plan
from kit.layout import check_gap, through_cuts
from kit.layout.through_cut import group_hulls, narrowest_backing_mm, room_at_edge_mm
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.render import Page
from kit.shapes import Rect, bounding_box, flatten_contour, rounded_rectangle
from kit.sheet import ColourFill, CutMove, CutStyle, Placement, Sheet
from kit.writers import WRITERS

GAP = 3.0
CUT_FILES = [writer.name for writer in WRITERS.values() if writer.cuts]


def polygon(contour):
    return shapely.Polygon(flatten_contour(contour, 1e-3))


def some_rows(seed):
    chance = random.Random(seed)
    boxes, rows, y = [], [], 10.0
    for row in range(5):
        x, height = 10.0, chance.uniform(8, 40)
        for _ in range(chance.randint(1, 5)):
            width = chance.uniform(8, 30)
            boxes.append(Rect(x, y, width, height * chance.uniform(0.5, 1.0)))
            rows.append(row)
            x += width + GAP
        y += height + GAP if chance.random() < 0.8 else height / 2 + GAP
    return boxes, rows


@pytest.mark.parametrize("seed", range(8))
def test_through_cuts_keep_a_third_of_the_gap_from_all_else(seed):
    boxes, rows = some_rows(seed)
    cuts = [polygon(c) for c in through_cuts(boxes, rows, "groups", GAP, 2.0)]
    for a, b in combinations(cuts, 2):
        assert a.distance(b) >= GAP / 3 - 1e-6
    for box in boxes:
        square = shapely.box(box.x_mm, box.y_mm, box.right_mm, box.bottom_mm)
        (around,) = [cut for cut in cuts if cut.contains(square)]
        assert around.exterior.distance(square) >= GAP / 3 - 2.0 * (1 - 0.5**0.5) - 1e-6


def test_rows_in_each_others_way_are_one_group():
    boxes = [Rect(0, 0, 10, 30), Rect(13, 0, 10, 10), Rect(13, 13, 10, 17), Rect(0, 40, 10, 10)]
    assert group_hulls(boxes, [0, 0, 1, 2], GAP) == [Rect(0, 0, 23, 30), Rect(0, 40, 10, 10)]


def test_both_means_groups_first_and_one_round_all():
    boxes, rows = some_rows(1)
    groups = through_cuts(boxes, rows, "groups", GAP, 2.0)
    (sheet,) = through_cuts(boxes, rows, "sheet", GAP, 2.0)
    assert through_cuts(boxes, rows, "both", GAP, 2.0) == (*groups, sheet)
    assert all(polygon(sheet).contains(polygon(group)) for group in groups)
    assert through_cuts(boxes, rows, "none", GAP, 2.0) == ()
    assert through_cuts([], [], "both", GAP, 2.0) == ()
    hull = group_hulls(boxes, [0] * len(boxes), GAP)[0]
    assert shapely.box(
        *(hull.grow(room_at_edge_mm("both", GAP)).corners()[k][i] for k in (0, 2) for i in (0, 1))
    ).covers(polygon(sheet))


def test_a_gap_too_narrow_is_refused_with_its_remedy():
    with pytest.raises(RecipeError, match=r"gap of 1 mm .* sheet\.gap"):
        check_gap("groups", 1.0)
    check_gap("none", 0.0)
    check_gap("both", 2.0)


def test_the_recipe_asks_for_it():
    head = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
    row = '[[rows]]\nsticker = "full box"\ncount = 1\n'
    plain = parse_recipe(head + row, Path("kit.toml")).cut
    assert (plain.through, plain.hpgl_arcs, plain.overcut, plain.blade_offset) == (
        "none",
        True,
        0.0,
        0.0,
    )
    assert plain.spot == ""
    asked = '[cut]\nthrough = "both"\nhpgl_arcs = false\novercut = "0.3mm"\nspot = "Cut here"\n'
    cut = parse_recipe(head + row + asked, Path("kit.toml")).cut
    assert (cut.through, cut.hpgl_arcs, cut.overcut) == ("both", False, 0.3)
    assert cut.spot == "Cut here"
    with pytest.raises(RecipeError, match="line 11"):
        parse_recipe(head + row + '[cut]\nthrough = "edges"\n', Path("kit.toml"))


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("All", "PDF keeps All and None for itself"),
        ("None", "PDF keeps All and None for itself"),
        ("ü" * 64, "up to 127"),  # bytes of a name: ISO 32000-1, annex C
        ("two\\nlines", "that can be seen"),
        (" around ", "that can be seen"),
    ],
)
def test_a_spot_name_that_no_pdf_can_hold_is_refused(name, says):
    head = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
    row = '[[rows]]\nsticker = "full box"\ncount = 1\n'
    with pytest.raises(RecipeError, match=says) as told:
        parse_recipe(f'{head}{row}[cut]\nspot = "{name}"\n', Path("kit.toml"))
    assert "cut.spot" in str(told.value)
    assert len(str(told.value)) <= 300


# ---- in every file


@pytest.fixture(scope="module")
def page(letter):
    boxes = [p.box for p in letter.sheet.placements]
    cuts = through_cuts(boxes, [0] * 4 + [1] * 2 + [2] * 2, "both", GAP, 2.0)
    return Page(replace(letter.sheet, cut=CutStyle(through=cuts)), letter.raster)


def test_all_kiss_cuts_come_before_the_first_through_cut(page):
    kinds = [path.cut for path in page.cuts.paths]
    assert kinds == [KISS] * 8 + [THROUGH] * (len(kinds) - 8)
    # the cut round all comes last of all
    assert page.cuts.paths[-1].number == len(page.sheet.cut.through) - 1


@pytest.mark.parametrize("name", CUT_FILES)
def test_a_sheet_without_through_cuts_says_nothing_of_them(name, letter):
    # a picture in base64 may hold any three letters
    data = re.sub(rb"base64,[^\"]*", b"", WRITERS[name].write(letter))
    assert b"hrough" not in data
    assert b"SP2" not in data


def test_svg_has_a_group_of_them(page):
    root = ET.fromstring(WRITERS["svg"].write(page))  # noqa: S314  our own file
    kiss, through, edge = root.findall("{http://www.w3.org/2000/svg}g")
    names = [one.attrib["id"] for one in (kiss, through, edge)]
    assert names == ["kiss-cut", "through-cut", "page"]
    assert kiss.attrib["stroke"] != through.attrib["stroke"]
    assert len(through) == len(page.sheet.cut.through)


def test_dxf_has_a_layer_of_them(page):
    from ezdxf import recover

    drawing, auditor = recover.read(io.BytesIO(WRITERS["dxf"].write(page)))
    assert not auditor.has_errors
    layers = [entity.dxf.layer for entity in drawing.modelspace()]
    assert layers == ["KISS_CUT"] * 8 + ["THROUGH_CUT"] * len(page.sheet.cut.through) + ["PAGE"]


def test_hpgl_has_a_pen_for_them(page):
    text = WRITERS["hpgl"].write(page).decode()
    kiss, through = re.split("SP2;", text)
    assert "SP1;" in kiss
    assert kiss.count("PU") == 16  # up to each start, and up after it
    assert through.count("PU;") == len(page.sheet.cut.through)


def test_layered_pdf_has_a_hidden_layer_of_them(page):
    import pikepdf
    import pypdfium2

    data = WRITERS["layers-pdf"].write(page)
    with pikepdf.open(io.BytesIO(data)) as pdf:
        groups = {str(g.Name): g for g in pdf.Root.OCProperties.OCGs}
        assert list(groups) == ["Artwork", "Kiss cut", "Through cut"]
        metadata = groups["Through cut"].GTS_Metadata
        assert metadata.GTS_ProcStepsGroup == "/Structural"
        assert metadata.GTS_ProcStepsType == "/Cutting"  # ISO 19593-1 by the Arlington model
        assert [str(g.Name) for g in pdf.Root.OCProperties.D.OFF] == ["Kiss cut", "Through cut"]
    plain = WRITERS["pdf"].write(page)
    shown = []
    for one in (data, plain):
        document = pypdfium2.PdfDocument(one)
        shown.append(document[0].render(scale=1).to_pil().tobytes())
        document.close()
    assert shown[0] == shown[1]


# ---- by hand


SIX = [Rect(10, 20, 30, 12), Rect(43, 20, 10, 8), Rect(10, 60, 20, 20)]


def corners(contour):
    box = shapely.Polygon(flatten_contour(contour, 1e-3)).bounds
    return tuple(round(v, 6) for v in box)


def test_groups_run_a_third_of_the_gap_outside_and_the_sheet_two_thirds():
    groups = through_cuts(SIX, [0, 0, 1], "groups", 6.0, 2.0)
    assert [corners(c) for c in groups] == [(8, 18, 55, 34), (8, 58, 32, 82)]
    (sheet,) = through_cuts(SIX, [0, 0, 1], "sheet", 6.0, 2.0)
    assert corners(sheet) == (6, 16, 57, 84)
    both = through_cuts(SIX, [0, 0, 1], "both", 6.0, 2.0)
    assert both == (*groups, sheet)
    # the corners are as round as asked for: 4 - pi of the radius squared is missing
    for contour, rect in zip(both, ((47, 16), (24, 24), (51, 68)), strict=True):
        assert polygon(contour).area == pytest.approx(
            rect[0] * rect[1] - (4 - 3.14159) * 4, abs=0.02
        )


@pytest.mark.parametrize(("apart", "groups"), [(2.99, 1), (3.01, 2)])
def test_groups_nearer_than_a_gap_are_one(apart, groups):
    for step in ((20 + apart, 0), (0, 20 + apart), (-20 - apart, 0), (0, -20 - apart)):
        boxes = [Rect(50, 50, 20, 20), Rect(50, 50, 20, 20).shift(*step)]
        assert len(group_hulls(boxes, [0, 1], 3.0)) == groups


def test_a_group_that_grows_may_meet_a_third():
    """Rows 0 and 2 clash; round both, the line runs over row 1 as well."""
    boxes = [Rect(0, 0, 10, 10), Rect(30, 30, 10, 10), Rect(8, 0, 10, 60), Rect(14, 25, 13.5, 4)]
    assert group_hulls(boxes, [0, 1, 2, 3], 3.0) == [Rect(0, 0, 40, 60)]


@pytest.mark.parametrize("wish", ["groups", "sheet", "both"])
def test_two_millimetres_are_the_least_gap_for_a_through_cut(wish):
    check_gap(wish, 2.0)
    with pytest.raises(RecipeError) as told:
        check_gap(wish, 1.99, where="my.toml")
    assert str(told.value) == (
        "my.toml: a gap of 1.99 mm leaves no room for a through cut. "
        'Set sheet.gap to at least "2mm", or cut.through = "none".'
    )
    with pytest.raises(RecipeError, match=r"^recipe: "):
        check_gap(wish, 0.0)


def test_room_at_the_edge_is_what_the_outermost_line_takes():
    assert [room_at_edge_mm(w, 6.0) for w in ("none", "groups", "sheet", "both")] == [0, 2, 4, 4]


# ---- round marks, and what is left between two lines


def marked_rows(seed):
    """Rows and columns of stickers, and two zones of marks in the place of one sticker each."""
    chance = random.Random(seed)
    boxes, rows, y = [], [], 10.0
    for _ in range(7):
        x, height = 10.0, chance.uniform(8, 40)
        for _ in range(chance.randint(1, 6)):
            width = chance.uniform(8, 30)
            boxes.append(Rect(x, y, width, height * chance.uniform(0.5, 1.0)))
            x += width + GAP
        y += height + GAP
    for _ in range(7):  # some rows take several lines, and end beside others
        rows += [len(rows)] * chance.randint(1, 9)
    rows = (rows + [99] * len(boxes))[: len(boxes)]
    zones = []
    for _ in range(2):
        if len(boxes) > 3:
            at = chance.randrange(1, len(boxes) - 1)
            # what keeps off the neighbours as far as the layout has stickers keep off zones
            zones.append(boxes.pop(at))
            rows.pop(at)
    return boxes, rows, zones


@pytest.mark.parametrize("seed", range(12))
def test_no_groups_line_goes_round_a_mark(seed):
    """Else a card comes off the sheet with a registration mark on it. Outside reader: shapely."""
    boxes, rows, zones = marked_rows(seed)
    cuts = [polygon(c) for c in through_cuts(boxes, rows, "groups", GAP, 2.0, zones=zones)]
    for zone in zones:
        square = shapely.box(*zone.corners()[0], *zone.corners()[2])
        assert not any(cut.intersects(square) for cut in cuts)
    for a, b in combinations(cuts, 2):
        assert a.distance(b) >= GAP / 3 - 1e-6
    for box in boxes:
        square = shapely.box(*box.corners()[0], *box.corners()[2])
        assert sum(cut.contains(square) for cut in cuts) == 1


def test_a_row_round_a_mark_is_two_groups_by_hand():
    row = [Rect(10 + 23 * i, 10, 20, 20) for i in range(5)]
    mark = row.pop(2)
    hulls = group_hulls(row, [0] * 4, 3.0, [mark])
    assert hulls == [Rect(10, 10, 43, 20), Rect(79, 10, 43, 20)]
    assert group_hulls(row, [0] * 4, 3.0, [mark.shift(0, 30)]) == [Rect(10, 10, 112, 20)]
    # a ring of stickers round a mark: no line of several is clear of it, each has its own
    ring = [Rect(10 + 23 * i, 10 + 23 * j, 20, 20) for i in range(3) for j in range(3)]
    middle = ring.pop(4)
    hulls = group_hulls(ring, [0] * 8, 3.0, [middle])
    assert not any(hull.overlaps(middle) for hull in hulls)


@pytest.mark.parametrize(
    ("frames", "left"),
    [
        ([Rect(0, 0, 10, 10), Rect(11, 0, 10, 10)], 1.0),
        ([Rect(0, 0, 10, 10), Rect(0, 12.5, 10, 10)], 2.5),
        ([Rect(0, 0, 10, 10), Rect(13, 14, 10, 10)], 5.0),
        ([Rect(0, 0, 50, 60), Rect(1.5, 2, 20, 20)], 1.5),
        ([Rect(1.5, 2, 20, 57.25), Rect(0, 0, 50, 60)], 0.75),
        ([Rect(0, 0, 50, 60), Rect(29, 20, 20, 20)], 1.0),
        ([Rect(0, 0, 50, 60), Rect(20, 39.5, 20, 20)], 0.5),
        ([Rect(0, 0, 10, 10)], math.inf),
        ([], math.inf),
    ],
)
def test_what_is_left_between_two_lines_by_hand(frames, left):
    for dx, dy in ((0, 0), (7, 9), (-30, -40)):
        moved = [frame.shift(dx, dy) for frame in frames]
        assert narrowest_backing_mm(moved) == pytest.approx(left)


def test_stickers_too_near_to_be_taken_apart_stay_together():
    boxes = [Rect(0, 0, 10, 10), Rect(11, 0, 10, 10), Rect(23, 0, 10, 10)]
    zone = Rect(10.2, 4, 0.6, 2)
    assert group_hulls(boxes, [0, 1, 2], 3.0, [zone]) == [Rect(0, 0, 33, 10)]


def test_a_sheets_cuts_by_hand() -> None:
    """The blade rests at the bottom left, (0, 80); kiss cuts first, each from a straight side."""
    boxes = [Rect(60, 50, 10, 20), Rect(10, 50, 10, 20)]
    stickers = tuple(
        Placement("dot", box, rounded_rectangle(box), ColourFill("#3b5b7a"), box) for box in boxes
    )
    round_all = rounded_rectangle(Rect(5, 45, 70, 30))
    style = CutStyle(through=(round_all,), move=CutMove((1.0, 2.0)))
    plan = cut_plan(Sheet("", 100, 80, 300, stickers, cut=style))
    assert [path.label for path in plan.paths] == ["sticker-2", "sticker-1", "through-cut-1"]
    assert [(path.cut, path.number) for path in plan.paths] == [(KISS, 1), (KISS, 0), (THROUGH, 0)]
    starts = [(path.contour.vertices[0].x_mm, path.contour.vertices[0].y_mm) for path in plan.paths]
    # the left one's foot, the right one's left side, the foot of the line round both; moved
    assert starts == [(16, 72), (61, 62), (41, 77)]
    stops = [(0, 80), *starts, (0, 80)]
    assert plan.travel_mm == pytest.approx(sum(math.dist(a, b) for a, b in pairwise(stops)))
    assert bounding_box(plan.paths[2].contour) == Rect(6, 47, 70, 30)
