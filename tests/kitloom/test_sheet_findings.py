"""What is said of through cuts, a clipped bleed and derived sizes; and where the frame runs."""

from __future__ import annotations

import pytest
from PIL import Image

from kit.layout import mark_zones
from kit.recipe import parse_recipe
from kit.shapes import bounding_box
from kitloom.kits import make_kit
from kitloom.page.views.page_words import said_here
from kitloom.page.views.remedy_view import remedy_for

HEAD = """\
[planner]
box = "{box}"
[palette]
colours = 2
[[patterns]]
file = "blue.png"
repeat = "20mm"
"""
FULL = '[[rows]]\nsticker = "full box"\ncount = {count}\nfill = "#3b5b7a"\n'
HALF = '[[rows]]\nsticker = "half box"\ncount = {count}\nfill = "#7a3b4f"\n'


def marks(*places):
    head = '[[marks]]\nshape = "square"\nsize = "6mm"\n'
    return "".join(f'{head}at = "{x}mm x {y}mm"\n' for x, y in places)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("sheets")
    Image.new("RGB", (200, 200), "#3b5b7a").save(made / "blue.png")
    return made


def job_of(folder, sheet, rows, more="", box="40mm x 52mm"):
    text = f'{HEAD.format(box=box)}[sheet]\npaper = "A4"\ndpi = 100\n{sheet}{rows}{more}'
    return make_kit(parse_recipe(text, folder / "kit.toml"), [], lambda: None)


def told(job, *codes):
    return [one for one in job.findings if one.code in codes]


@pytest.mark.parametrize("through", ["groups", "both"])
@pytest.mark.parametrize(("gap", "left"), [(3.0, 1.0), (4.5, 1.5), (6.0, None)])
def test_slivers_of_backing_ask_for_a_gap_that_leaves_none(folder, through, gap, left):
    """Else strips of 1 mm lift under the blade and spoil the cards beside them."""
    rows = FULL.format(count=3) + HALF.format(count=3)
    cut = f'[cut]\nthrough = "{through}"\n'
    job = job_of(folder, f'gap = "{gap}mm"\n', rows, cut)
    found = told(job, "through-sliver")
    if left is None:
        assert found == []
        return
    (one,) = found
    assert one.measures["backing_mm"] == pytest.approx(left, abs=0.01)
    needed = one.measures["needed_gap_mm"]
    assert needed == pytest.approx(6.0)
    assert remedy_for(job, one).fields["gap"] == "6"
    wider = job_of(folder, f'gap = "{needed}mm"\n', rows, cut)
    assert told(wider, "through-sliver") == []


def test_one_line_round_all_has_no_slivers_but_may_go_round_a_mark(folder):
    rows, cut = FULL.format(count=12), '[cut]\nthrough = "{}"\n'
    around = job_of(folder, "", rows, cut.format("sheet") + marks((105, 100)))
    (one,) = told(around, "through-sliver", "through-mark")
    assert (one.code, one.measures["marks"]) == ("through-mark", [1])
    groups = job_of(folder, 'gap = "6mm"\n', rows, cut.format("groups") + marks((105, 100)))
    assert told(groups, "through-sliver", "through-mark") == []
    lines = [bounding_box(line) for sheet in groups.kit.sheets for line in sheet.cut.through]
    assert len(lines) > len(groups.kit.sheets)
    (zone,) = mark_zones(groups.recipe)
    assert not any(line.overlaps(zone) for line in lines)


@pytest.mark.parametrize(
    ("sheet", "bleed"),
    [('bleed = "1.5mm"\ngap = "2mm"\n', 1.0), ('bleed = "1.5mm"\ngap = "3mm"\n', None)],
)
def test_a_bleed_smaller_than_asked_for_is_told(folder, sheet, bleed):
    job = job_of(folder, f'{sheet}registration = "0.3mm"\n', FULL.format(count=4))
    found = told(job, "bleed-clipped")
    assert [one.measures["bleed_mm"] for one in found] == ([bleed] if bleed else [])
    for one in found:
        assert "1.00 mm" in one.what
        assert "1.50" in one.what


def test_the_sentence_on_bleed_counts_the_half_pixel(folder):
    """At 100 dpi half a pixel is 0.127 mm: 0.50 + 0.13 is more than the 0.60 that is printed."""
    sheet = 'bleed = "0.6mm"\ngap = "3mm"\nregistration = "0.5mm"\n'
    (one,) = told(job_of(folder, sheet, FULL.format(count=2)), "bleed")
    assert "by 0.50 mm, and printed edges are true to 0.13 mm" in one.what
    assert "only 0.60 mm past it" in one.what
    assert one.measures["needed_bleed_mm"] == pytest.approx(0.627)


def test_sizes_that_follow_from_a_small_box_are_doubted(folder):
    """A strip of 1.75 mm cannot be peeled, whoever made it so small."""
    rows = "".join(
        f'[[rows]]\nsticker = "{kind}"\ncount = 1\nfill = "#3b5b7a"\n'
        for kind in ("strip", "dot", "full box")
    )
    found = told(job_of(folder, 'registration = "0.1mm"\n', rows, box="12mm x 14mm"), "small-size")
    sizes = [
        (one.measures["key"], one.measures["width_mm"], one.measures["height_mm"]) for one in found
    ]
    assert sizes == [("rows.1.size", 12.0, 1.75), ("rows.2.size", 3.0, 3.0)]
    assert all("measure your day box again" in one.remedy for one in found)


# ---- the frame and the ruler


@pytest.mark.slow
@pytest.mark.parametrize(
    ("sheet", "more", "high"),
    [
        # five boxes and their gaps fill what is above the ruler
        ('gap = "1mm"\nbleed = "0.5mm"\n', "", 53.6),
        ('gap = "2mm"\nbleed = "1mm"\n', "", 52.6),
        ('gap = "3mm"\n', "", 51.6),
        ('gap = "1mm"\nbleed = "4mm"\n', "", 53.6),
        ('gap = "3mm"\n', marks((15, 15), (195, 15), (15, 279), (195, 279)), 40),
        ('gap = "3mm"\n', marks((15, 15), (195, 15), (15, 262), (195, 262)), 40),
    ],
)
def test_no_line_of_the_frame_runs_through_a_ruler(folder, sheet, more, high):
    """Else the ruler, its ticks and figures, cannot be read where the frame crosses them."""
    box = f"40mm x {high}mm"
    job = job_of(folder, f"frame = true\n{sheet}", FULL.format(count=20), more, box)
    for one in job.kit.sheets:
        frame = bounding_box(one.frame)
        for ruler in filter(None, (one.ruler, one.ruler_down)):
            # figures stand 10 mm behind its end
            wide = ruler.width_mm >= ruler.height_mm
            band = bounding_box_of(ruler, 10.0 if wide else 0.0, 0.0 if wide else 10.0)
            inside = frame.holds(band)
            outside = not frame.overlaps(band)
            assert inside or outside
        if any(one.machine_marks):  # in the corners: no reason to go to the paper's edge
            assert frame.x_mm == pytest.approx(min(p.bleed.x_mm for p in one.placements) - 1.0)
        for placed in one.placements:
            assert frame.holds(placed.bleed)
            assert not placed.bleed.overlaps(one.ruler)


def bounding_box_of(ruler, across, down):
    return type(ruler)(ruler.x_mm, ruler.y_mm, ruler.width_mm + across, ruler.height_mm + down)


def test_artwork_shown_larger_is_judged_at_that_size(folder):
    """200 pixels at 20 mm are 254 to the inch; twice as large they are too few."""
    row = '[[rows]]\nsticker = "full box"\ncount = 2\nfill = "blue"\nscale = {}\n'
    own = told(job_of(folder, "", row.format(1)), "resolution")
    job = job_of(folder, "", row.format("[1, 2]"))
    large = told(job, "resolution")
    assert len(large) == len(own) + 1
    last = min(large, key=lambda one: one.measures["effective_dpi"])
    assert (last.severity, last.measures["effective_dpi"]) == ("stop", 127.0)
    assert last.measures["key"] == "rows.1.scale"
    assert remedy_for(job, last) is None
    said = said_here(job, last).remedy
    assert "choose sticker 2 of row 1" in said  # the page has no keys
    assert "84%" in said  # floor(254 / 300)
    assert "rows." not in said
