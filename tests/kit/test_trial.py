"""Before the good paper: combs read off what was cut, and the planner's box corrected."""

from __future__ import annotations

import io
import math
from itertools import combinations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.recipe_error import RecipeError
from kit.registration import BODY_MM, TOOTH_MM, Comb, misfit_of
from kit.registration.tolerance import largest_shift_mm
from kit.render import render_page
from kit.shapes import Rect, bounding_box, flatten_contour
from kit.sheet import ColourFill
from kit.trial import FOOT_MM, HEIGHT_MM, corrected_box, fit_sheet, trial_strip
from kit.trial.strip import LINES_MM, TYPE_PT
from kit.writers import WRITERS

LETTER, A5 = (215.9, 279.4), (148.0, 210.0)
COLOURS = ["#26443b", "#5c7854", "#d93a56", "#f4c7bd", "#f6efe0", "#b9cc8f"]


def strip(paper=LETTER, dpi=150):
    area = Rect(10, 10, paper[0] - 20, paper[1] - 20)
    fills = [ColourFill(colour) for colour in COLOURS]
    return trial_strip(paper, area, COLOURS, fills, dpi=dpi, title="strip")


def misplaced(points, centre, shift, turn_deg, scale):
    """Where a machine cuts that misses the print: scaled each way and turned about a point."""
    angle = math.radians(turn_deg)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    return (points - centre) @ turn.T * (1 + np.array(scale)) + centre + shift


def read_off(comb, cut):
    """The number that a person reads: at the line whose tip lies nearest to it."""
    axis = 0 if comb.along == "x" else 1
    others = 1 - axis
    tips = sorted(cut, key=lambda p: p[others])[:21]  # the tips are the outermost vertices
    tips = np.sort(np.array(tips)[:, axis])
    lines = sorted(
        (contour.vertices[0].x_mm if axis == 0 else contour.vertices[0].y_mm, number)
        for number, contour in comb.lines()
    )
    away = [abs(tip - place) for tip, (place, _) in zip(tips, lines, strict=True)]
    return lines[int(np.argmin(away))][1]


@settings(max_examples=60, deadline=None)
@given(
    st.floats(-0.5, 0.5),
    st.floats(-0.5, 0.5),
    st.floats(-0.1, 0.1),
    st.tuples(st.floats(-0.001, 0.001), st.floats(-0.002, 0.002)),
    st.sampled_from([(0.5, 0.5), (0.0, 0.0), (1.0, 1.0)]),
)
def test_what_is_read_off_is_what_the_machine_does(dx, dy, turn_deg, scale, held):
    """Whether the sheet is held in its middle or in a corner; another scale down than across."""
    made = strip()
    centre = np.array(LETTER) * held
    numbers = []
    for comb in made.combs:
        points = np.array([(v.x_mm, v.y_mm) for v in comb.outline().vertices])
        numbers.append(read_off(comb, misplaced(points, centre, (dx, dy), turn_deg, scale)))
    if max(map(abs, numbers)) > 9:
        return  # off the combs
    found = misfit_of(made.combs, numbers, tuple(centre))
    assert found.shift_mm == pytest.approx((dx, dy), abs=found.read_mm + 0.01)
    assert found.turn_deg == pytest.approx(turn_deg, abs=found.read_deg + 0.002)
    assert found.scale == pytest.approx(scale, abs=found.read_scale + 2e-5)
    # what goes into the recipe covers what the machine does
    told = found.registration
    assert told.shift_mm >= max(abs(dx), abs(dy)) - 0.01
    assert told.turn_deg >= abs(turn_deg) - 0.002
    assert told.scale >= max(map(abs, scale)) - 2e-5


def test_a_paper_fed_short_is_seen_from_a_corner():
    """0.2 % short down the page, laid in a corner: combs along the top alone read 0 0 1 1.

    By hand: 0.002 over the combs' heights. At the far end of a Letter page's usable 269.4 mm the
    cut lies .54 mm off, of which a white sliver would come.
    """
    made = strip()
    numbers = [
        round(20 * (0.0 if comb.along == "x" else 0.002 * comb.tip[1])) / 2 for comb in made.combs
    ]
    assert numbers == [0, 0, 1, 1, 0, 5]
    told = misfit_of(made.combs, numbers, (0.0, 0.0)).registration
    assert largest_shift_mm(told, [Rect(10, 10, 195.9, 259.4)], (0.0, 0.0)) >= 0.54


def test_readings_are_fine_enough_to_be_worth_it():
    made = strip()
    found = misfit_of(made.combs, [0] * 6, (LETTER[0] / 2, LETTER[1] / 2))
    assert (*found.shift_mm, found.turn_deg, *found.scale) == (0.0,) * 5
    assert found.read_mm < 0.15  # half a tenth, and the turn over the 110 mm to the centre
    assert found.read_deg < 0.04  # 0.1 mm over 180 mm
    assert found.read_scale < 0.0012


def test_one_turned_strip_by_hand():
    """Teeth at both ends 0.3 mm apart, up and down, over their distance: tan of the angle."""
    combs = (
        Comb("a", "x", (50, 50)),
        Comb("b", "x", (150, 50)),
        Comb("c", "y", (20, 50)),
        Comb("d", "y", (180, 50)),
    )
    found = misfit_of(combs, [0, 0, -1.5, 1.5], (100.0, 50.0))
    assert found.turn_deg == pytest.approx(math.degrees(0.3 / 160))
    assert found.shift_mm == pytest.approx((0.0, 0.0), abs=1e-9)
    assert misfit_of(combs, [-2, 2, 0, 0], (100.0, 50.0)).scale == pytest.approx((0.4 / 100,) * 2)
    assert misfit_of(combs, [3, 3, -2, -2], (100.0, 50.0)).shift_mm == pytest.approx((0.3, -0.2))


@pytest.mark.parametrize(
    ("numbers", "message"), [([1, 2], "2 numbers for 6"), ([0, 0, 11, 0, 0, 0], "11")]
)
def test_bad_readings_are_refused(numbers, message):
    with pytest.raises(RecipeError, match=message):
        misfit_of(strip().combs, numbers, (100.0, 100.0))


@pytest.mark.parametrize("paper", [LETTER, A5])
def test_the_strip_keeps_to_its_strip_and_its_parts_apart(paper):
    """And to the foot of the page: its two combs lie in the lowest 48 mm."""
    made = strip(paper)
    area = shapely.union(
        shapely.box(10, 10, paper[0] - 10, 10 + HEIGHT_MM),
        shapely.box(10, paper[1] - 10 - FOOT_MM, paper[0] - 10, paper[1] - 10),
    )
    cuts = [shapely.Polygon(flatten_contour(p.outline, 1e-3)) for p in made.sheet.placements]
    assert len(cuts) == 7
    letters = {w.words: w for w in made.sheet.lettering if w.words in set("ABCDEF")}
    for comb, letter in zip(made.combs, "ABCDEF", strict=True):
        (x, y), body = letters[letter].box.centre_mm, comb.box()
        assert body.grow(-0.5).holds(letters[letter].box), "its letter is cut into"
        assert (x, y) == pytest.approx(comb.at(0.0, -TOOTH_MM - BODY_MM / 2), abs=0.5)
    printed = [shapely.Polygon(flatten_contour(panel.contour, 1e-3)) for panel in made.sheet.panels]
    words = [
        shapely.box(w.box.x_mm, w.box.y_mm, w.box.right_mm, w.box.bottom_mm)
        for w in made.sheet.lettering
        if w.words not in letters
    ]
    ruler = made.sheet.ruler
    if ruler is not None:
        printed.append(shapely.box(ruler.x_mm, ruler.y_mm, ruler.right_mm + 12, ruler.bottom_mm))
    for part in (*cuts, *printed, *words):
        assert part.is_valid
        assert area.buffer(1e-6).contains(part)
    for a, b in combinations([*cuts, *printed], 2):
        assert a.distance(b) > 0.3
    for a in cuts:
        assert all(a.distance(word) > 0.2 for word in words)
    for a, b in combinations(words, 2):
        assert not a.intersects(b)


def test_the_strip_shows_every_colour_fill_line_and_size():
    made = strip()
    shown = {panel.fill.colour for panel in made.sheet.panels}
    assert shown >= set(COLOURS)
    strokes = [mark.stroke_mm for mark in made.sheet.marks]
    for stroke in LINES_MM:
        assert strokes.count(stroke) >= 2  # dark on white and white on dark
    sizes = [(w.size_pt, w.reversed) for w in made.sheet.lettering]
    assert {(points, light) for points in TYPE_PT for light in (True, False)} <= set(sizes)
    page = render_page(made.sheet, {})
    for colour in COLOURS:
        value = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
        assert (page.raster == value).all(axis=2).sum() > 400


def test_the_strip_is_cut_as_drawn_and_nothing_else():
    made = strip()
    page = render_page(made.sheet, {})
    from svgelements import SVG, Group

    data = WRITERS["svg"].write(page)
    groups = SVG.parse(io.BytesIO(data), ppi=25.4).elements(lambda e: isinstance(e, Group))
    sizes = {group.id: len(group) for group in groups if group.id}
    # of what is printed, nothing: no fine line and no comb's line
    assert sizes == {"kiss-cut": len(made.sheet.placements), "page": 1}
    for writer in WRITERS.values():
        assert writer.write(page)


def test_low_paper_has_the_combs_along_its_top_alone():
    """A postcard's height has no room for upright combs twice: one scale is taken for both ways."""
    paper = (152.4, 101.6)
    made = trial_strip(paper, Rect(10, 10, 132.4, 81.6), COLOURS, [], dpi=72, title="strip")
    assert [comb.name for comb in made.combs] == [
        *("left across", "right across", "left down", "right down")
    ]
    assert misfit_of(made.combs, [-1, 1, 0, 0], (76.2, 50.8)).scale[1] > 0.001


def test_too_small_a_paper_is_refused():
    with pytest.raises(RecipeError, match="a trial strip needs"):
        trial_strip((100, 100), Rect(5, 5, 90, 90), COLOURS, [], dpi=72, title="strip")


# ---- the planner's box


def test_the_box_is_printed_in_true_size():
    """Measured on the rendered PDF: the outline's dark lines, their middles 40 and 52 mm apart."""
    import pypdfium2

    sheet = fit_sheet(LETTER, Rect(10, 10, 195.9, 259.4), (40.0, 52.0), dpi=300, title="fit")
    document = pypdfium2.PdfDocument(WRITERS["pdf"].write(render_page(sheet, {})))
    seen = 255.0 - np.asarray(document[0].render(scale=600 / 72).to_pil().convert("L"))
    document.close()
    box = bounding_box(sheet.marks[0].contour)
    per_mm = 600 / 25.4
    along = round((box.y_mm + 8) * per_mm)  # clear of the scales
    row = seen[along - 20 : along + 20].mean(axis=0)
    left, right = np.split(row, [round(box.centre_mm[0] * per_mm)])
    place = [
        (half * (np.arange(half.size) + 0.5)).sum() / half.sum() / per_mm for half in (left, right)
    ]
    width = place[1] + left.size / per_mm - place[0]
    assert width == pytest.approx(40.0, abs=0.02)
    assert (box.width_mm, box.height_mm) == pytest.approx((40.0, 52.0))


def test_readings_correct_the_box():
    assert corrected_box((40.0, 52.0), 1.5, -0.5) == (41.5, 51.5)
    with pytest.raises(RecipeError, match="not on the bottom scale"):
        corrected_box((40.0, 52.0), 0.0, 5.0)


def test_ticks_lie_where_they_say():
    sheet = fit_sheet(LETTER, Rect(10, 10, 195.9, 259.4), (40.0, 52.0), dpi=72, title="fit")
    box = bounding_box(sheet.marks[0].contour)
    ticks = [bounding_box(mark.contour) for mark in sheet.marks[1:]]
    down = sorted(round(t.x_mm - box.right_mm, 6) for t in ticks if t.height_mm > t.width_mm)
    assert down == [k / 2 for k in range(-8, 9)]
    across = sorted(round(t.y_mm - box.bottom_mm, 6) for t in ticks if t.width_mm > t.height_mm)
    assert across == down
    assert not sheet.placements  # nothing to cut


def test_a_box_too_large_for_the_paper_is_refused():
    with pytest.raises(RecipeError, match="does not fit the paper"):
        fit_sheet(A5, Rect(10, 10, 128, 190), (120.0, 52.0), dpi=72, title="fit")


@pytest.mark.parametrize(("count", "shown"), [(1, 1), (6, 6), (12, 12), (40, 19)])
def test_many_fills_are_narrower_and_only_then_left_out(count, shown):
    """195.9 mm less 30 for the combs and 8 for the blade's square, by 6 + 2 mm: 19.7."""
    area = Rect(10, 10, LETTER[0] - 20, LETTER[1] - 20)
    fills = [ColourFill(f"#0000{i:02x}") for i in range(count)]
    made = trial_strip(LETTER, area, [], fills, dpi=150, title="strip")
    windows = [bounding_box(p.contour) for p in made.sheet.panels if p.fill in fills]
    assert made.shown == len(windows) == min(shown, count)
    blade = bounding_box(made.sheet.placements[-1].outline)
    assert all(box.right_mm < blade.x_mm and box.width_mm >= 6.0 - 1e-9 for box in windows)
