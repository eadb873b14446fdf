"""What is printed on the page itself, and the values a sheet is made of, in millimetres by hand."""

from __future__ import annotations

import numpy as np
import pytest

from kit.recipe import Recipe, parse_recipe
from kit.shapes import Contour, Rect, Vertex, bounding_box, rounded_rectangle
from kit.sheet import (
    ColourFill,
    CutMove,
    Panel,
    PatternFill,
    Picture,
    Placement,
    Sheet,
    frame_around,
    mark_box,
    mark_point,
    page_marks,
    plane_key,
)

HEAD = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
ROW = '[[rows]]\nsticker = "dot"\ncount = 1\nfill = "palette"\n'


def marked(text: str):
    from pathlib import Path

    recipe: Recipe = parse_recipe(HEAD + ROW + text, Path("kit.toml"))
    return recipe.marks


def mark(shape: str, more: str = ""):
    return marked(f'[[marks]]\nshape = "{shape}"\nat = "30mm x 50mm"\nsize = "8mm"\n{more}')


def points(one):
    return [(v.x_mm, v.y_mm) for v in one.contour.vertices]


def test_a_cross_is_two_strokes_through_its_place() -> None:
    """A cutter that looks for it finds it where the recipe says, or cuts beside the print."""
    across, down = page_marks(mark("cross", 'stroke = "0.3mm"\n'))
    assert points(across) == [(26, 50), (34, 50)]
    assert points(down) == [(30, 46), (30, 54)]
    for one in (across, down):
        assert (one.stroke_mm, one.colour, one.inside) == (0.3, "#000000", None)


@pytest.mark.parametrize(
    ("corner", "bend"),
    [
        ("top left", [(34, 46), (26, 46), (26, 54)]),
        ("top right", [(26, 46), (34, 46), (34, 54)]),
        ("bottom right", [(26, 54), (34, 54), (34, 46)]),
        ("bottom left", [(34, 54), (26, 54), (26, 46)]),
    ],
)
def test_a_corner_points_to_its_corner_of_the_paper(corner: str, bend) -> None:
    (one,) = page_marks(mark("corner", f'corner = "{corner}"\n'))
    # there and back along the same line, so that it encloses nothing
    assert points(one) == [*bend, bend[1]]
    assert (one.stroke_mm, one.colour, one.inside) == (0.5, "#000000", None)


@pytest.mark.parametrize("shape", ["disc", "square"])
def test_a_disc_and_a_square_are_full_and_have_no_line(shape: str) -> None:
    (one,) = page_marks(mark(shape))
    assert bounding_box(one.contour) == Rect(26, 46, 8, 8)
    assert (one.stroke_mm, one.colour, one.inside) == (0.0, "#000000", "#000000")
    bulges = [v.bulge for v in one.contour.vertices]
    assert bulges == ([1.0, 1.0] if shape == "disc" else [0.0] * 4)


def test_marks_come_in_the_recipes_order() -> None:
    two = mark("disc") + mark("cross")
    assert [one.inside for one in page_marks(two)] == ["#000000", None, None]
    assert mark_box(two[0]) == Rect(26, 46, 8, 8)
    assert page_marks(()) == ()


def test_the_frame_runs_a_millimetre_outside_all_that_is_printed() -> None:
    paper = Rect(0, 0, 210, 297)
    printed = [Rect(20, 40, 30, 10), Rect(60, 30, 15, 15), Rect(25, 60, 5, 100)]
    assert bounding_box(frame_around(printed, paper)) == Rect(19, 29, 57, 132)
    assert not any(v.bulge for v in frame_around(printed, paper).vertices)


def test_the_frame_stays_on_the_paper() -> None:
    paper = Rect(0, 0, 210, 297)
    (left, top, right, bottom) = (Rect(0.5, 50, 5, 5), Rect(50, 0.4, 5, 5), Rect(204, 50, 5.5, 5),
                                  Rect(50, 291, 5, 5.9))  # fmt: skip
    assert bounding_box(frame_around([left, top, right, bottom], paper)) == paper
    within = frame_around([Rect(1.25, 1.5, 207.5, 294.25)], paper)
    assert bounding_box(within) == Rect(0.25, 0.5, 209.5, 296.25)


# ---- values


def test_a_plane_is_known_by_its_pattern_and_its_angle() -> None:
    assert plane_key("pods", 0.0) == "pods"
    assert plane_key("pods", 12.5) == "pods @ 12.5"
    fill = PatternFill("pods", (1.0, 2.0), (10.0, 10.0), angle_deg=30.0)
    assert fill.plane == "pods @ 30"
    assert PatternFill("pods", (1.0, 2.0), (10.0, 10.0)).plane == "pods"
    assert plane_key("pods", 0.0, 1.5) == "pods x 1.5"
    larger = PatternFill("pods", (1.0, 2.0), (10.0, 10.0), angle_deg=30.0, scale=0.5)
    assert larger.plane == "pods @ 30 x 0.5"


def test_the_edge_of_what_is_printed_is_the_ink_or_else_the_bleed() -> None:
    box, bleed = Rect(10, 10, 20, 20), Rect(9, 9, 22, 22)
    shape = rounded_rectangle(Rect(8, 8, 24, 24), 3)
    plain = Placement("dot", box, rounded_rectangle(box), ColourFill("#3b5b7a"), bleed)
    assert plain.printed_outline == rounded_rectangle(bleed)
    odd = Placement("dot", box, rounded_rectangle(box), ColourFill("#3b5b7a"), bleed, ink=shape)
    assert odd.printed_outline == shape
    assert Panel(shape).fill == ColourFill("#ffffff")  # to write on


@pytest.mark.parametrize(
    ("paper", "dpi", "px"),
    [
        ((215.9, 279.4), 300, (3300, 2550)),  # Letter is whole pixels
        ((210.0, 297.0), 300, (3508, 2481)),  # A4 is not: one more, so that the edge is covered
        ((25.4, 50.8), 100, (200, 100)),
        ((25.5, 50.9), 100, (201, 101)),
    ],
)
def test_the_raster_covers_the_paper(paper, dpi: float, px) -> None:
    assert Sheet("", *paper, dpi, ()).raster_px == px


def test_a_picture_agrees_with_its_alpha_and_cannot_be_written_to() -> None:
    alpha = np.zeros((4, 5), np.uint8)
    made = Picture(Rect(0, 0, 5, 4), np.zeros((4, 5, 3), np.uint8), alpha)
    for pixels in (made.on_white, made.alpha):
        with pytest.raises(ValueError, match="read-only"):
            pixels[0, 0] = 1
    for shape in ((5, 4, 3), (4, 5, 4), (4, 5)):
        with pytest.raises(ValueError, match="do not agree"):
            Picture(Rect(0, 0, 5, 4), np.zeros(shape, np.uint8), alpha)


def test_a_band_is_printed_before_a_frame() -> None:
    box = Rect(10, 10, 20, 20)
    outline = rounded_rectangle(box)
    band, frame = Panel(outline), Panel(rounded_rectangle(box.grow(-2)))
    plain = Placement("dot", box, outline, ColourFill("#3b5b7a"), box)
    assert plain.grounds == ()
    both = Placement("dot", box, outline, ColourFill("#3b5b7a"), box, band=band, frame=frame)
    assert both.grounds == (band, frame)
    framed = Placement("dot", box, outline, ColourFill("#3b5b7a"), box, frame=frame)
    assert framed.grounds == (frame,)


def test_what_is_cut_is_turned_about_where_the_sheet_is_held_and_then_moved() -> None:
    """Clockwise as seen: what lies to the right of it comes to lie below it."""
    line = Contour((Vertex(30, 20, 0.25), Vertex(10, 20), Vertex(10, 12)))
    moved = CutMove((1.0, 2.0), 90.0, (10.0, 20.0))(line)
    places = [(v.x_mm, v.y_mm) for v in moved.vertices]
    for place, there in zip(places, [(11, 42), (11, 22), (19, 22)], strict=True):
        assert place == pytest.approx(there)
    assert [v.bulge for v in moved.vertices] == [0.25, 0.0, 0.0]
    assert CutMove(about_mm=(10.0, 20.0))(line) is line
    for one in (CutMove((0.0, 0.5)), CutMove((0.5, 0.0)), CutMove((0.0, 0.0), 1.0)):
        assert one(line) != line
    assert CutMove((0.0, 0.5))(line).vertices[1] == Vertex(10, 20.5)


def test_guides_are_the_page_the_marks_and_the_frame_if_there_are_any() -> None:
    page = rounded_rectangle(Rect(0, 0, 210, 297))
    assert Sheet("", 210, 297, 300, ()).guides == {"page": (page,)}
    (disc,) = page_marks(mark("disc"))
    frame = rounded_rectangle(Rect(5, 5, 50, 50))
    both = Sheet("", 210, 297, 300, (), machine_marks=(disc,), frame=frame)
    assert both.guides == {"page": (page,), "marks": (disc.contour,), "frame": (frame,)}
    assert list(both.guides) == ["page", "marks", "frame"]


def test_a_machine_takes_a_mark_for_its_middle_and_a_corner_for_where_its_lines_meet() -> None:
    assert mark_point(mark("disc")[0]) == (30, 50)
    for corner, place in (("top left", (26, 46)), ("top right", (34, 46)),
                          ("bottom right", (34, 54)), ("bottom left", (26, 54))):  # fmt: skip
        (part,) = mark("corner", f'corner = "{corner}"\n')
        assert mark_point(part) == place
