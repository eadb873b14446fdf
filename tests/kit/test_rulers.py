"""The printed rulers: as long as the paper lets them, true to size, and what their readings do."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from kit.compose import print_scale
from kit.layout import check_reading, ruler_box, ruler_down_box, ruler_down_mm, usable_area
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.render import Page, render_page
from kit.shapes import Rect, circle
from kit.sheet import Mark, Sheet
from kit.writers import WRITERS

HEAD = '[planner]\nbox = "40mm x 52mm"\n[[patterns]]\nfile = "a.png"\n'
ROW = '[[rows]]\nsticker = "full box"\ncount = 1\n'


def recipe(sheet: str = "", paper: str = "Letter"):
    return parse_recipe(f'{HEAD}{ROW}[sheet]\npaper = "{paper}"\n{sheet}', Path("kit.toml"))


# ---- how long


@pytest.mark.parametrize(
    ("paper", "across", "down"), [("Letter", 180, 240), ("A4", 180, 260), ("A5", 110, 170)]
)
def test_rulers_are_as_long_as_the_reachable_area_lets_them(paper, across, down):
    """Another centimetre would leave no 10 mm for the length in figures."""
    area = usable_area(recipe(paper=paper).sheet)
    assert (ruler_box(area).width_mm, ruler_down_mm(area, 3.0)) == (across, down)
    assert area.width_mm - 10.0 < across + 10.0
    assert area.height_mm - 4.0 - 3.0 - 10.0 < down + 10.0


def test_the_ruler_down_takes_the_free_side_and_no_stickers_place():
    area = Rect(10.0, 10.0, 195.9, 259.4)
    left, right = Rect(12.0, 50.0, 40.0, 50.0), Rect(170.0, 50.0, 34.0, 50.0)
    assert ruler_down_box(area, 3.0, []) == Rect(10.0, 10.0, 5.0, 240.0)
    on_the_right = ruler_down_box(area, 3.0, [left])
    assert on_the_right is not None
    assert on_the_right.right_mm == pytest.approx(205.9)
    assert ruler_down_box(area, 3.0, [left, right]) is None
    assert ruler_down_box(area, 3.0, [Rect(16.5, 50.0, 40.0, 50.0)]).x_mm == 10.0  # 1.5 mm off


def test_rulers_are_printed_as_long_as_they_say():
    """Measured on the pixels at 300 dpi: from the first tick's middle to the last one's."""
    area = Rect(10.0, 10.0, 195.9, 259.4)
    sheet = Sheet("Rulers", 215.9, 279.4, 300, (), ruler_box(area), "print at 100 %")
    page = render_page(replace(sheet, ruler_down=ruler_down_box(area, 3.0, [])), {})
    dark = (page.raster < 128).all(axis=2)
    per_mm = 300 / 25.4
    # the row between short and long ticks' tops, before the figures; the same down the page
    for line, long in (
        (dark[round((area.bottom_mm - 1.05) * per_mm), : round(190.6 * per_mm)], 180.0),
        (dark[: round(250.6 * per_mm), round((area.x_mm + 1.05) * per_mm)], 240.0),
    ):
        places = np.flatnonzero(line)
        ticks = [one.mean() for one in np.split(places, np.flatnonzero(np.diff(places) > 1) + 1)]
        assert len(ticks) == long / 5.0 + 1  # every fifth is longer
        assert (ticks[-1] - ticks[0]) / per_mm == pytest.approx(long, abs=0.05)
        assert np.diff(ticks) / per_mm == pytest.approx(5.0, abs=0.1)


# ---- readings


def test_what_to_do_with_the_ruler_stays_on_the_page():
    """Behind a ruler as wide as the page its words ran off the paper, unread."""
    ruler, words = Rect(10.0, 260.0, 180.0, 4.0), "print at 100 %, then lay a ruler here"
    page = render_page(Sheet("Rulers", 215.9, 279.4, 100, (), ruler, words), {})
    inked = np.argwhere(page.raster[..., 0] < 250) * 25.4 / 100
    assert inked[:, 1].max() < 205.0
    above = inked[inked[:, 0] < 264.0 - 2.4 - 0.3]  # over the longest ticks
    assert above[:, 1].min() < 15.0


def test_one_length_is_the_ruler_across_and_taken_for_both():
    asked = recipe('ruler_reads = "178.2mm"\ncorrect_scale = true\n')
    assert print_scale(asked) == pytest.approx((180 / 178.2, 180 / 178.2))
    both = recipe('ruler_reads = "178.2 x 241.2 mm"\ncorrect_scale = true\n')
    assert print_scale(both) == pytest.approx((180 / 178.2, 240 / 241.2))
    assert print_scale(recipe('ruler_reads = "178.2mm"\n')) == (1.0, 1.0)


@pytest.mark.parametrize(
    ("reads", "says"),
    [
        ("189.4mm", "ruler_reads: 189.4 mm .* printed ruler is 180 mm long; did you mean 180mm?"),
        ("99.7mm", "180 mm long; did you mean 180mm?"),
        ("18.02mm", "180 mm long; did you mean 18.02cm?"),
        ("7.08mm", "180 mm long; did you mean 7.08in?"),
        ("1802mm", "180 mm long; did you mean 180.2mm?"),
        ("180mm x 230mm", "ruler down .* 240 mm long; did you mean 240mm?"),
    ],
)
def test_a_reading_of_another_ruler_is_refused(reads, says):
    asked = recipe(f'ruler_reads = "{reads}"\n')
    with pytest.raises(RecipeError, match=says.replace("?", r"\?")) as told:
        check_reading(asked, usable_area(asked.sheet))
    assert len(str(told.value)) <= 300


@pytest.mark.parametrize("reads", ["174.7mm", "185.3mm", "180mm x 233mm", "7.09in"])
def test_a_reading_up_to_three_percent_off_is_believed(reads):
    asked = recipe(f'ruler_reads = "{reads}"\n')
    check_reading(asked, usable_area(asked.sheet))


@pytest.mark.parametrize("reads", ["0mm", "180mm x", "180mm x 0mm", "long"])
def test_what_is_no_length_is_refused(reads):
    with pytest.raises(RecipeError, match="ruler_reads"):
        recipe(f'ruler_reads = "{reads}"\n')


def test_the_caption_stays_over_its_ruler_where_there_is_none_down_the_page():
    """It ran off the paper behind the ruler's end, and nobody could read what to do."""
    box = ruler_box(Rect(10.0, 10.0, 195.9, 259.4))
    words = "sheet 12 of 12: print at 100%, then lay a ruler here"
    sheet = Sheet("Rulers", 215.9, 279.4, 300, (), box, words)
    without = render_page(replace(sheet, caption=""), {}).raster
    rows, cols = np.nonzero((render_page(sheet, {}).raster != without).any(axis=2))
    per_mm = 300 / 25.4
    assert box.y_mm * per_mm <= rows.min() < rows.max() < (box.bottom_mm - 1.8) * per_mm
    assert box.x_mm * per_mm < cols.min() < cols.max() < box.right_mm * per_mm


# ---- two scales in the print PDF

SPOTS = [(30.0, 40.0), (180.0, 45.0), (100.0, 139.7), (35.0, 250.0), (185.0, 240.0)]


@pytest.fixture(scope="module")
def spotted():
    spots = tuple(Mark(circle(x, y, 3.0), 0.0, "#000000", "#000000") for x, y in SPOTS)
    sheet = Sheet("Spots", 215.9, 279.4, 150, (), marks=spots, print_scale=(1.012, 0.994))
    return render_page(sheet, {})


def centres(pixels, dpi=150):
    """The middles of the spots in millimetres, by their ink; where each is meant to come out."""
    grey = 255.0 - pixels.astype(float).mean(axis=2)
    per_mm = dpi / 25.4
    found = []
    for x, y in SPOTS:
        there = 107.95 + 1.012 * (x - 107.95), 139.7 + 0.994 * (y - 139.7)
        left, top = (round((v - 6.0) * per_mm) for v in there)
        part = grey[top : top + round(12 * per_mm), left : left + round(12 * per_mm)]
        rows, cols = (np.arange(n) + 0.5 for n in part.shape)
        middle = (part.sum(axis=0) @ cols, part.sum(axis=1) @ rows)
        seen = [
            (v / part.sum() + start) / per_mm for v, start in zip(middle, (left, top), strict=True)
        ]
        found.append((seen, there))
    return np.array(found).transpose(1, 0, 2)


def test_the_print_pdf_is_drawn_larger_by_both_scales(spotted):
    """By pypdf, about the page's middle; PDFium lays edges on whole pixels: to two of them."""
    import pypdf
    import pypdfium2

    data = WRITERS["pdf"].write(spotted)
    operations = pypdf.PdfReader(io.BytesIO(data)).pages[0].get_contents().operations
    whole, art = ([float(v) for v in given] for given, operator in operations if operator == b"cm")
    assert (whole[0], whole[3]) == pytest.approx((1.012, 0.994), abs=1e-6)
    middle = (
        whole[0] * 306.0 + whole[4],
        whole[3] * 396.0 + whole[5],
    )
    assert middle == pytest.approx((306.0, 396.0), abs=1e-3)
    assert art == pytest.approx([612.0, 0.0, 0.0, 792.0, 0.0, 0.0], abs=1e-3)
    document = pypdfium2.PdfDocument(data)
    shown = document[0].render(scale=600 / 72).to_pil().convert("RGB")
    document.close()
    seen, meant = centres(np.asarray(shown), 600)
    assert seen == pytest.approx(meant, abs=2 * 25.4 / 600)


@pytest.mark.parametrize("name", ["all-svg", "print-png", "layers-pdf"])
def test_a_picture_that_goes_with_cut_lines_stays_on_them(name, spotted):
    """Else the machine, which corrects its lines by the marks beside it, corrects them twice."""
    plain = Page(replace(spotted.sheet, print_scale=(1.0, 1.0)), spotted.raster)
    assert WRITERS[name].write(spotted) == WRITERS[name].write(plain)
