"""Marks for the machine: where they may lie, and that everything else keeps off them."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from kit.layout import (
    check_marks,
    lay_out,
    mark_zones,
    ruler_box,
    ruler_down_box,
    sticker_area,
    usable_area,
)
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from kit.stickers import slots_of
from kit.writers import marks_csv

HEAD = '[planner]\nbox = "42mm x 50mm"\n[[patterns]]\nfile = "a.png"\n'
CORNERS = [("14mm x 14mm", "8mm"), ("201mm x 14mm", "8mm"), ("14mm x 264mm", "8mm")]


def mark(at: str, size: str, more: str = 'shape = "square"\n') -> str:
    return f'[[marks]]\nat = "{at}"\nsize = "{size}"\n{more}'


def recipe(marks: str, sheet: str = "", count: int = 30):
    rows = f'[[rows]]\nsticker = "full box"\ncount = {count}\n'
    rows += '[[rows]]\nsticker = "checklist"\ncount = 20\n'
    return parse_recipe(f'{HEAD}{rows}[sheet]\npaper = "Letter"\n{sheet}{marks}', Path("kit.toml"))


@pytest.mark.parametrize("way", ["rows", "pack"])
@pytest.mark.parametrize("through", ["none", "groups"])
def test_stickers_and_their_bleed_keep_off_the_quiet_zones(way, through):
    """Zones by hand: a square of 8 mm with 2 mm about it; bleed or the through cut beside them."""
    places = [(14.0, 14.0), (201.0, 14.0), (14.0, 264.0), (108.0, 140.0)]
    marks = "".join(mark(f"{x}mm x {y}mm", "8mm") for x, y in places)
    asked = recipe(f'{marks}[cut]\nthrough = "{through}"\n', f'layout = "{way}"\n')
    area = sticker_area(usable_area(asked.sheet), asked)
    layout = lay_out(asked, slots_of(asked), area, asked.sheet.gap)
    zones = [Rect(x - 6.0, y - 6.0, 12.0, 12.0) for x, y in places]
    printed = [spot.box.grow(asked.sheet.bleed) for spots in layout.sheets for spot in spots]
    assert len(printed) == 50
    assert not any(zone.overlaps(one) for zone in zones for one in printed)
    # and not without cause: without the marks stickers lie there
    free = recipe("", f'layout = "{way}"\n')
    bare = lay_out(free, slots_of(free), area, free.sheet.gap)
    taken = [spot.box for spots in bare.sheets for spot in spots]
    assert any(zone.overlaps(one) for zone in zones for one in taken)


def test_without_marks_nothing_is_kept_out():
    assert mark_zones(recipe("")) == []


def test_rulers_lie_between_the_marks_as_long_as_they_can():
    asked = recipe("".join(mark(*one) for one in CORNERS))
    area, zones = usable_area(asked.sheet), mark_zones(asked)
    across = ruler_box(area, zones)
    down = ruler_down_box(area, 3.0, [], zones)
    assert down is not None
    for ruler in (across, down):
        assert not any(ruler.overlaps(zone) for zone in zones)
    # from 20 to 205.9 mm across; from 20 to 258 mm down: less 10 mm for figures, whole centimetres
    assert (across.x_mm, across.width_mm) == (20.0, 170.0)
    assert (down.y_mm, down.height_mm) == (20.0, 220.0)


@pytest.mark.parametrize(
    ("marks", "says"),
    [
        ([("3mm x 3mm", "5mm")], r"marks.1 lies where the printer cannot reach .*10 to 205.9 mm"),
        ([("100mm x 268mm", "5mm")], r"marks.1 lies where the printer cannot reach"),
        ([("20mm x 20mm", "5mm"), ("26mm x 20mm", "5mm")], r"marks.2 lies within 2 mm of marks.1"),
        ([("20mm x 20mm", "5mm"), ("20mm x 20mm", "5mm")], r"marks.2 lies within 2 mm of marks.1"),
    ],
)
def test_marks_that_no_machine_could_find_are_refused(marks, says):
    asked = recipe("".join(mark(*one) for one in marks))
    with pytest.raises(RecipeError, match=says) as told:
        check_marks(asked)
    assert len(str(told.value)) <= 300


def test_half_a_lines_width_counts_and_touching_does_not():
    line = 'shape = "cross"\nstroke = "1mm"\n'
    check_marks(recipe(mark("13mm x 13mm", "5mm", line)))
    with pytest.raises(RecipeError, match="cannot reach"):
        check_marks(recipe(mark("12.9mm x 13mm", "5mm", line)))
    check_marks(recipe(mark("20mm x 20mm", "5mm") + mark("27mm x 20mm", "5mm")))
    narrow = 'shape = "square"\nquiet = "0.5mm"\n'
    check_marks(recipe(mark("20mm x 20mm", "5mm", narrow) + mark("25.6mm x 20mm", "5mm", narrow)))


@pytest.mark.parametrize("count", [1, 4, 12, 40])
def test_more_marks_never_take_fewer_sheets(count):
    sheets = []
    for marks in ("", mark("108mm x 140mm", "8mm"), mark("108mm x 140mm", "60mm")):
        asked = recipe(marks, count=count)
        area = sticker_area(usable_area(asked.sheet), asked)
        sheets.append(len(lay_out(asked, slots_of(asked), area, asked.sheet.gap).sheets))
    assert all(one <= other for one, other in pairwise(sheets))


def test_a_table_gives_the_marks_places():
    """From the page's left, top and bottom; a corner is where its lines meet. Letter, 279.4 mm."""
    corner = 'shape = "corner"\ncorner = "bottom left"\n'
    asked = recipe(mark("14mm x 16mm", "8mm") + mark("100mm x 200mm", "9mm", corner))
    assert marks_csv(asked.marks, 279.4).decode().splitlines() == [
        "mark,shape,from_left_mm,from_top_mm,from_bottom_mm,size_mm",
        "1,square,14.000,16.000,263.400,8.000",
        "2,corner,95.500,204.500,74.900,9.000",
    ]
