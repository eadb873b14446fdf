"""A kit with every kind of sticker on it: made, read back from every cut file, tried on a strip."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
import shapely
from PIL import Image, ImageDraw

from kit.cut import cut_plan
from kit.cut.order import travel_mm
from kit.kinds import KINDS
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.render import render_page
from kit.shapes import bounding_box, flatten_contour
from kit.writers import WRITERS
from kitloom.kits import make_kit
from kitloom.make import box_line, cut_lines, habit_from, registration_line, strip_of, trial_files

HEAD = """\
[planner]
box = "40mm x 52mm"
[sheet]
paper = "Letter"
dpi = 150
[cut]
through = "both"
[palette]
colours = 4
[[patterns]]
file = "drops.png"
repeat = "18mm"
"""
LEAF = "M50 2 C84 18 98 52 76 80 C68 90 58 94 53 96 L53 112 L47 112 L47 96 C42 94 32 90 24 80 Z"
EXTRA = {
    "header": 'text = "days"',
    "dot": 'text = "dates"\nsize = "9mm x 9mm"',
    "pennant": 'text = ["Bin day", "Mülltag"]',
    "custom": 'outline = "leaf.svg"\nsize = "20mm x 30mm"\ncount = 2',
    "icon": 'picture = "pot.png"\nsize = "22mm x 22mm"\ndistance = "1.5mm"\ncount = 2',
    "motif": 'from = "drops"\nsize = "20mm x 20mm"\ncount = 2',
}
FILLS = ('"patterns"', '"palette"', '"#3b5b7a"', '"#f2e3c0"')


def rows():
    for i, name in enumerate(KINDS):
        extra = EXTRA.get(name, "count = 2")
        yield f'[[rows]]\nsticker = "{name}"\nfill = {FILLS[i % 4]}\n{extra}\n'


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("kit")
    tile = Image.new("RGB", (240, 240), "#f4ecd8")
    pen = ImageDraw.Draw(tile)
    pen.ellipse((60, 60, 130, 130), fill="#7a3b4f")
    pen.ellipse((150, 140, 200, 190), fill="#3f6b4a")
    tile.save(made / "drops.png")
    pot = Image.new("RGBA", (400, 400), (0, 0, 0, 0))
    pen = ImageDraw.Draw(pot)
    pen.polygon([(110, 180), (290, 180), (260, 380), (140, 380)], fill="#a8573f")
    pen.ellipse((120, 20, 280, 200), fill="#5c7854")
    pot.save(made / "pot.png")
    (made / "leaf.svg").write_text(f'<svg><path d="{LEAF}"/></svg>')
    return made


@pytest.fixture(scope="module")
def job(folder):
    recipe = parse_recipe(HEAD + "".join(rows()), folder / "kit.toml")
    return make_kit(recipe, [], lambda: None)


@pytest.fixture(scope="module")
def pages(job):
    return [render_page(sheet, job.kit.planes) for sheet in job.kit.sheets]


def test_every_kind_is_on_it(job):
    placed = [p for sheet in job.kit.sheets for p in sheet.placements]
    assert {p.kind for p in placed} == set(KINDS)
    words = [w.words for p in placed for w in p.lettering]
    assert words.count("Monday") == words.count("31") == words.count("Mülltag") == 1
    assert len(words) == 7 + 31 + 2
    assert sum(p.picture is not None for p in placed) == 4  # two icons, two motifs


def from_svg(data, _height):
    import svgelements

    found = []
    drawing = svgelements.SVG.parse(io.BytesIO(data), ppi=25.4)
    groups = drawing.elements(lambda e: isinstance(e, svgelements.Group))
    for path in (path for group in groups if "-cut" in str(group.id) for path in group):
        path.reify()
        points = []
        for segment in path:
            steps = {svgelements.Move: 0, svgelements.Arc: 60}.get(type(segment), 1)
            points += [segment.point(k / steps) for k in range(steps)]
        found.append(shapely.Polygon([(p.x, p.y) for p in points]))
    return found


def from_dxf(data, height):
    from ezdxf import recover

    drawing, auditor = recover.read(io.BytesIO(data))
    assert not auditor.has_errors
    found = []
    for entity in drawing.modelspace().query('LWPOLYLINE[layer ? ".*_CUT"]'):
        assert entity.closed
        points = []
        for side in entity.virtual_entities():
            line = side.dxftype() == "LINE"
            piece = [side.dxf.start, side.dxf.end] if line else list(side.flattening(1e-3))
            if points and piece[0].distance(points[-1]) > piece[-1].distance(points[-1]):
                piece.reverse()  # an arc is told counter-clockwise, whichever way it is cut
            elif not points and not line and entity[0][4] < 0:
                piece.reverse()
            points += piece
        found.append(shapely.Polygon([(p.x, height - p.y) for p in points]).buffer(0))
    return found


def from_hpgl(data, height):
    ezhpgl = pytest.importorskip("ezhpgl", reason="the HP-GL reader is not installed")
    strokes = []
    for operation in ezhpgl.parse(data).pages[0].operations:
        points = [(p.x, height - p.y) for p in operation.geometry.points]
        if strokes and np.hypot(*np.subtract(strokes[-1][-1], points[0])) < 1e-6:
            strokes[-1].extend(points[1:])
        else:
            strokes.append(points)
    return [shapely.Polygon(points) for points in strokes]


@pytest.mark.parametrize(
    ("name", "reader", "limit_mm"),
    [("svg", from_svg, 0.002), ("dxf", from_dxf, 0.002), ("hpgl", from_hpgl, 0.03)],
)
def test_all_outlines_come_back_from_all_formats(name, reader, limit_mm, pages):
    for page in pages:
        found = reader(WRITERS[name].write(page), page.sheet.height_mm)
        stickers = [p.outline for p in page.sheet.placements]
        wanted = [
            (page.sheet.cut.through if path.cut.layer else stickers)[path.number]
            for path in page.cuts.paths
        ]
        assert len(found) == len(stickers) + len(page.sheet.cut.through)
        for seen, contour in zip(found, wanted, strict=True):
            true = shapely.Polygon(flatten_contour(contour, 1e-4))
            a, b = (shapely.segmentize(g.exterior, 0.5) for g in (seen, true))
            assert shapely.hausdorff_distance(a, b) <= limit_mm


def test_no_outline_touches_another(job):
    for sheet in job.kit.sheets:
        cuts = [shapely.Polygon(flatten_contour(p.outline, 1e-2)) for p in sheet.placements]
        tree = shapely.STRtree(cuts)
        for i, cut in enumerate(cuts):
            assert cut.is_valid
            near = [j for j in tree.query(cut.buffer(2.9)) if j != i]
            assert all(cut.distance(cuts[j]) >= 2.9 for j in near)  # the gap is 3 mm


def test_travel_is_short(pages):
    for page in pages:
        contours = [*(one.outline for one in page.sheet.placements), *page.sheet.cut.through]
        as_listed_mm = travel_mm(contours, (0.0, page.sheet.height_mm))
        assert page.cuts.travel_mm <= 0.70 * as_listed_mm


def test_words_too_small_are_told(folder):
    tiny = (
        '[[rows]]\nsticker = "strip"\ntext = "small print"\ntext_size = "5pt"\nfill = "#ffffff"\n'
    )
    job = make_kit(parse_recipe(HEAD + tiny, folder / "kit.toml"), [], lambda: None)
    (told,) = [one for one in job.findings if one.code == "small-words"]
    assert told.severity == "warn"
    assert told.measures == {"size_pt": 5.0, "least_pt": 6.0, "words": ["small print"]}


BAD = {
    "text on a checklist": ('sticker = "checklist"\ntext = "no"', "no room for text"),
    "outline on a box": (
        'sticker = "full box"\ncount = 1\noutline = "leaf.svg"',
        'only sticker = "cu',
    ),
    "custom without outline": ('sticker = "custom"\ncount = 1', "needs outline"),
    "icon without picture": ('sticker = "icon"\ncount = 1', "needs picture"),
    "letters the font lacks": ('sticker = "header"\ntext = "豆"', 'no letter for "豆"'),
    "words too wide": (
        'sticker = "dot"\ntext = "Wednesday"\ntext_size = "14pt"',
        "is wider than its dot",
    ),
    "words on lines": ('sticker = "writing box"\ntext = "a"', "ruled panel has no room"),
    "no such outline": ('sticker = "custom"\ncount = 1\noutline = "none.svg"', "no such outline"),
}


@pytest.mark.parametrize("name", BAD)
def test_rows_that_cannot_be_made_are_refused(name, folder):
    row, message = BAD[name]
    with pytest.raises(RecipeError, match=message):
        make_kit(
            parse_recipe(f'{HEAD}[[rows]]\nfill = "palette"\n{row}\n', folder / "kit.toml"),
            [],
            lambda: None,
        )


# ---- before the good paper


def test_the_trial_is_a_set_of_files(job):
    files = trial_files(job)
    assert set(files) == {
        "fit.pdf",
        "strip.pdf",
        "strip-print.png",
        "strip.svg",
        "strip.dxf",
        "strip.hpgl",
        "trial.txt",
    }
    assert trial_files(job) == files
    assert max(map(len, files["trial.txt"].decode().splitlines())) <= 100
    shown = {
        fill.pattern
        for fill in (p.fill for p in strip_of(job).sheet.panels)
        if hasattr(fill, "pattern")
    }
    assert shown == {"drops"}


def with_lines(text, *, sheet=(), cut=()):
    """The recipe with lines of its sheet and of its cut."""
    text = text.replace("dpi = 150\n", "\n".join(["dpi = 150", *sheet, ""]))
    return text.replace('through = "both"\n', "\n".join(['through = "both"', *cut, ""]))


def test_readings_become_lines_of_the_recipe(job, folder):
    habit = habit_from(job, [[3, 3, -2, -2, 3, -2]])
    line = registration_line(habit)
    assert line.endswith("# one sheet only")
    assert cut_lines(job.recipe.cut, habit) == []
    text = HEAD.replace('box = "40mm x 52mm"', box_line(job, 0.5, -1.0))
    recipe = parse_recipe(with_lines(text + "".join(rows()), sheet=[line]), folder / "kit.toml")
    read = recipe.sheet.registration
    wanted = habit.registration
    assert (read.shift, read.turn, read.scale) == pytest.approx(
        (wanted.shift_mm, wanted.turn_deg, wanted.scale), rel=0.03
    )
    assert read.shift >= wanted.shift_mm
    assert read.turn >= wanted.turn_deg
    assert read.scale >= wanted.scale
    assert recipe.planner.box == (40.5, 51.0)


def test_several_strips_move_the_cut_and_further_ones_move_it_on(folder):
    """What the recipe moves already was in the strips' cut files, so it stays in the sum."""
    text = HEAD + "".join(rows())

    def trial(**lines):
        return make_kit(parse_recipe(with_lines(text, **lines), folder / "kit.toml"), [], int)

    first = trial()
    habit = habit_from(first, [[3, 3, -2, -2, 3, -2], [4, 4, -2, -2, 4, -2], [2, 2, -2, -2, 2, -2]])
    assert "#" not in registration_line(habit)
    lines = cut_lines(first.recipe.cut, habit)
    assert lines == ['offset = "-0.30mm 0.20mm"', 'turn = "0.000deg"']
    second = trial(cut=lines)
    outlines = [p.outline for p in strip_of(second).sheet.placements]
    (path, *_) = [p for p in cut_plan(strip_of(second).sheet).paths if p.number == 0]
    was, now = bounding_box(outlines[0]), bounding_box(path.contour)
    assert (now.x_mm - was.x_mm, now.y_mm - was.y_mm) == pytest.approx((-0.3, 0.2))
    again = habit_from(second, [[1, 1, 0, 0, 1, 0]] * 3)
    assert cut_lines(second.recipe.cut, again)[0] == 'offset = "-0.40mm 0.20mm"'


def test_strips_have_the_makers_marks_and_keep_off_them(folder):
    """Without its marks a machine that looks for them cannot cut the strip."""
    marks = "".join(
        f'[[marks]]\nshape = "square"\nat = "{x}mm x {y}mm"\nsize = "6mm"\n'
        for x, y in ((16, 16), (194, 16), (16, 263))
    )
    text = HEAD + "".join(rows()) + marks
    strip = strip_of(make_kit(parse_recipe(text, folder / "kit.toml"), [], int))
    assert len(strip.sheet.machine_marks) == 3
    assert len(strip.combs) == 6
    zones = [bounding_box(mark.contour).grow(2.0) for mark in strip.sheet.machine_marks]
    parts = [bounding_box(one.contour) for one in (*strip.sheet.panels, *strip.sheet.marks)]
    parts += [placed.box for placed in strip.sheet.placements]
    parts += [words.box for words in strip.sheet.lettering]
    assert not any(part.overlaps(zone) for part in parts for zone in zones)


def test_the_recipe_path_is_read_in_lengths(folder):
    """A row's size may be a width and a height, or shares of the box."""
    row = '[[rows]]\nsticker = "full box"\ncount = 1\nsize = "{}"\n'
    for size, wanted in (("20mm x 1in", (20.0, 25.4)), ("0.5 x 0.5 box", (20.0, 26.0))):
        recipe = parse_recipe(HEAD + row.format(size), Path(folder / "kit.toml"))
        assert recipe.rows[0].size_mm(recipe.planner.box) == pytest.approx(wanted)
