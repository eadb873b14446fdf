"""Where stickers may lie, who lies beside whom, what saves a sheet: limits on both sides."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from kit.layout import (
    Advice,
    Layout,
    Spot,
    advice,
    arrange,
    check_fits,
    check_marks,
    check_offset,
    check_places,
    check_reading,
    grid_at_end,
    lay_out,
    mark_keep_outs,
    mark_zones,
    neighbours,
    ruler_box,
    ruler_down_box,
    ruler_down_mm,
    sticker_area,
    usable_area,
)
from kit.layout.ground import Item, area_bound, centre, ground, layout_of, without_edges
from kit.layout.packing import pack
from kit.layout.rows import rows
from kit.recipe import Recipe, parse_recipe
from kit.recipe_error import RecipeError
from kit.shapes import Rect
from kit.stickers import slots_of

AREA = Rect(10.0, 10.0, 190.0, 260.0)


def recipe_of(rows_: str = "", sheet: str = "", *, box: str = "40mm x 52mm", paper: str = "A4"):
    text = f'[planner]\nbox = "{box}"\n[sheet]\npaper = "{paper}"\n{sheet}\n'
    return parse_recipe(text + '[[patterns]]\nfile = "a.png"\n' + rows_, Path("kit.toml"))


def boxes(count: int, kind: str = "full box", more: str = "") -> str:
    return f'[[rows]]\nsticker = "{kind}"\ncount = {count}\nfill = "palette"\n{more}'


def told(error) -> str:
    return str(error.value)


# ---- the paper


def test_margins_and_keep_outs_add_up_on_each_edge() -> None:
    sheet = (
        'margin = { top = "5mm", right = "6mm", bottom = "7mm", left = "8mm" }\n'
        'keep_out = [{ edge = "top", depth = "3mm" }, { edge = "top", depth = "2mm" },'
        ' { edge = "left", depth = "4mm" }, { edge = "right", depth = "1mm" },'
        ' { edge = "bottom", depth = "9mm" }]\n'
    )
    area = usable_area(recipe_of(boxes(1), sheet).sheet)
    assert (area.x_mm, area.y_mm, area.right_mm, area.bottom_mm) == (12.0, 10.0, 203.0, 281.0)


@pytest.mark.parametrize(
    "edges", ['left = "{}mm", right = "100mm"', 'top = "{}mm", bottom = "187mm"']
)
def test_ten_millimetres_are_the_least_that_is_left(edges: str) -> None:
    sheet = "margin = {{ {} }}\n"
    usable_area(recipe_of(boxes(1), sheet.format(edges.format(100))).sheet)
    with pytest.raises(RecipeError) as error:
        usable_area(
            recipe_of(boxes(1), sheet.format(edges.format("100.01"))).sheet, where="my.toml"
        )
    assert told(error) == (
        "my.toml: sheet.margin and sheet.keep_out leave no room on the paper (210 x 297 mm). "
        "Make them smaller, or use larger paper."
    )


def test_more_pixels_than_memory_holds_are_refused() -> None:
    """350 million: at 1200 dpi 1.44 million an inch squared, so 243.06 square inches."""
    usable_area(recipe_of(boxes(1), "dpi = 1200", paper="15in x 16.2in").sheet)
    with pytest.raises(RecipeError) as error:
        usable_area(recipe_of(boxes(1), "dpi = 1200", paper="15in x 16.21in").sheet)
    assert told(error) == (
        "recipe: the paper has 350 million pixels at 1200 dpi (more than 350 million). "
        "Choose a lower dpi or smaller paper."
    )


@pytest.mark.parametrize(
    ("width", "long"),
    [(410.0, 400), (195.9, 180), (190.0, 180), (189.9, 170), (100.0, 90), (99.9, 80), (30.0, 20),
     (29.9, 10), (20.0, 10), (10.0, 10)],
)  # fmt: skip
def test_the_ruler_is_whole_centimetres_at_the_bottom_left(width: float, long: float) -> None:
    """As long as the width lets it with 10 mm for its length in figures; a centimetre at least."""
    assert ruler_box(Rect(7.0, 9.0, width, 100.0)) == Rect(7.0, 105.0, long, 4.0)


@pytest.mark.parametrize(
    ("gap", "through", "left", "below"),
    [("3mm", "none", 0, 7), ("0.5mm", "none", 0, 5), ("3mm", "groups", 1, 8),
     ("3mm", "sheet", 2, 9), ("6mm", "both", 4, 14)],
)  # fmt: skip
def test_stickers_keep_clear_of_the_ruler_and_leave_room_for_through_cuts(
    gap: str, through: str, left: float, below: float
) -> None:
    recipe = recipe_of(boxes(1) + f'[cut]\nthrough = "{through}"\n', f'gap = "{gap}"')
    area = sticker_area(AREA, recipe)
    assert (area.x_mm, area.y_mm) == pytest.approx((10 + left, 10 + left))
    assert (area.right_mm, area.bottom_mm) == pytest.approx((200 - left, 270 - below))


@pytest.mark.parametrize(("width", "height"), [(39.999, 52), (40, 51.999)])
def test_a_sticker_larger_than_the_area_is_refused_with_its_row(
    width: float, height: float
) -> None:
    recipe = recipe_of(boxes(1, "dot") + boxes(2))
    slots = slots_of(recipe)
    check_fits(recipe, slots, Rect(0, 0, 40, 52))
    with pytest.raises(RecipeError) as error:
        check_fits(recipe, slots, Rect(0, 0, width, height))
    assert told(error) == (
        "kit.toml: rows.2: a full box of 40.0 x 52.0 mm is larger than the 40.0 x 52.0 mm that can "
        "be printed and cut. Check planner.box and its unit, use larger paper or smaller margins."
    )


def test_the_line_of_a_row_that_does_not_fit_is_told(tmp_path: Path) -> None:
    text = '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
    file = tmp_path / "kit.toml"
    file.write_text(text + boxes(1, "dot") + boxes(2), "utf-8")
    recipe = parse_recipe(file.read_text("utf-8"), file)
    with pytest.raises(RecipeError, match=r"kit\.toml, line 11: rows\.2: "):
        check_fits(recipe, slots_of(recipe), Rect(0, 0, 30, 52))


def test_a_full_sheet_is_not_topped_up() -> None:
    recipe = recipe_of(boxes(16), 'top_up = ["full box"]')
    slots = slots_of(recipe)
    own = lay_out(recipe, slots, AREA, recipe.sheet.gap)
    assert arrange(recipe, slots, AREA, own) == (slots, own)
    plain = recipe_of(boxes(12))
    few = slots_of(plain)
    assert arrange(plain, few, AREA, lay_out(plain, few, AREA, 3.0))[0] == few
    topped, layout = arrange(recipe, few, AREA, lay_out(plain, few, AREA, 3.0))
    assert (len(topped), len(layout.sheets)) == (16, 1)
    assert topped[:12] == few
    assert {(slot.row, slot.wish) for slot in topped[12:]} == {(1, "palette")}


def test_a_sticker_fits_on_its_side_only_where_it_may_lie_so() -> None:
    lying = Rect(0, 0, 52, 40)
    packed = recipe_of(boxes(1), 'layout = "pack"')
    check_fits(packed, slots_of(packed), lying)
    for recipe in (
        recipe_of(boxes(1)),
        recipe_of(boxes(1, more="upright = true\n"), 'layout = "pack"'),
    ):
        with pytest.raises(RecipeError, match="full box"):
            check_fits(recipe, slots_of(recipe), lying)


# ---- keep-outs


@pytest.mark.parametrize(
    ("out", "left"),
    [
        (Rect(10, 10, 190, 5), (10, 15, 200, 270)),
        (Rect(0, 0, 300, 15), (10, 15, 200, 270)),
        (Rect(10, 265, 190, 5), (10, 10, 200, 265)),
        (Rect(10, 10, 4, 260), (14, 10, 200, 270)),
        (Rect(196, 0, 9, 300), (10, 10, 196, 270)),
        (Rect(10.5, 10, 189.5, 5), (10, 10, 200, 270)),  # half a millimetre of the edge is left
        (Rect(10, 10, 189.5, 5), (10, 10, 200, 270)),
        (Rect(10, 10.5, 190, 5), (10, 10, 200, 270)),  # a bar across, not at the edge
        (Rect(10, 264, 190, 5.5), (10, 10, 200, 270)),
        (Rect(10, 10.5, 4, 259.5), (10, 10, 200, 270)),
        (Rect(10, 10, 4, 259.5), (10, 10, 200, 270)),
        (Rect(10.5, 10, 4, 260), (10, 10, 200, 270)),
        (Rect(195, 10, 4.5, 260), (10, 10, 200, 270)),
        (Rect(0, 0, 300, 300), (10, 300, 300, 300)),
    ],
)
def test_what_takes_a_whole_edge_shrinks_the_area(out: Rect, left: tuple[float, ...]) -> None:
    area = without_edges(AREA, [out])
    if out.width_mm == out.height_mm == 300:
        assert area.area_mm2 == 0.0  # all of it
        return
    assert (area.x_mm, area.y_mm, area.right_mm, area.bottom_mm) == left
    assert ground(AREA, 2.0, [out]).area == area


def test_two_at_one_edge_take_the_deeper() -> None:
    area = without_edges(AREA, [Rect(0, 0, 300, 30), Rect(0, 0, 300, 20)])
    assert area.y_mm == 30.0
    area = without_edges(AREA, [Rect(0, 250, 300, 50), Rect(0, 260, 300, 50)])
    assert area.bottom_mm == 250.0
    area = without_edges(AREA, [Rect(0, 0, 30, 300), Rect(0, 0, 20, 300)])
    assert area.x_mm == 30.0
    area = without_edges(AREA, [Rect(170, 0, 50, 300), Rect(180, 0, 50, 300)])
    assert area.right_mm == 170.0


@pytest.mark.parametrize(
    ("out", "place"),
    [
        (None, (95, 130)),
        (Rect(94, 125, 3, 3), (95, 130)),  # beside it
        (Rect(96, 131, 3, 3), (10, 130)),  # in the way in the middle: down only
        (Rect(9, 131, 200, 3), (95, 10)),  # in the way all across: sideways only
        (Rect(60, 0, 40, 300), (10, 130)),
    ],
)
def test_a_sheet_is_centred_unless_something_is_in_the_way(out, place) -> None:
    area = Rect(0, 0, 210, 280)
    on = ground(area, 2.0, [out] if out else [])
    spots = [Spot(4, Rect(10, 10, 20, 20), on_its_side=True)]
    (moved,) = centre(spots, on)
    assert (moved.box.x_mm, moved.box.y_mm) == place
    assert (moved.index, moved.on_its_side, moved.box.width_mm) == (4, True, 20)
    (down,) = centre(spots, ground(area, 2.0, []), across=False)
    assert (down.box.x_mm, down.box.y_mm) == (10, 130)


def test_nothing_is_moved_into_a_keep_out() -> None:
    on = ground(Rect(0, 0, 210, 280), 2.0, [Rect(96, 0, 3, 300), Rect(0, 131, 300, 3)])
    spots = [Spot(0, Rect(10, 10, 20, 20)), Spot(1, Rect(40, 10, 20, 20))]
    assert centre(spots, on) == spots


def test_the_bound_counts_each_sticker_with_its_gap() -> None:
    """(w + g)(h + g) over (W + g)(H + g), by hand: 2 x 12 x 22 over 102 x 52."""
    items = [Item(10.0, 20.0)] * 2
    area = Rect(5, 5, 100, 50)
    assert area_bound(items, area, 2.0) == pytest.approx(2 * 12 * 22 / (102 * 52))
    made = layout_of([Item(49.0, 50.0)] * 4, [[], []], "rows", area, 2.0)
    assert made.sheets_at_least == 2
    assert made.proven_fewest
    assert made.share_of_usable == pytest.approx(4 * 49 * 50 / (2 * 5000))
    one_more = layout_of([Item(49.0, 50.0)] * 5, [[], []], "rows", area, 2.0)
    assert (one_more.sheets_at_least, one_more.proven_fewest) == (3, False)
    assert layout_of([], [], "rows", area, 2.0).share_of_usable == 0.0


def test_what_fits_nowhere_is_told_with_its_size_and_the_rooms() -> None:
    with pytest.raises(RecipeError) as error:
        rows([Item(10, 10), Item(200.5, 20)], Rect(0, 0, 195.9, 259.4), 2.0)
    assert told(error) == (
        "sheet: a sticker of 200.50 x 20.00 mm does not fit the usable 195.90 x 259.40 mm. "
        "Choose larger paper, smaller margins or keep-outs, or a smaller box."
    )


# ---- rows


@pytest.mark.parametrize(("width", "first"), [(100.0, 3), (99.9, 2)])
def test_a_line_takes_what_just_fits(width: float, first: int) -> None:
    (sheet,) = rows([Item(32, 10)] * 5, Rect(0, 0, width, 90), 2.0).sheets
    assert [spot.box.y_mm for spot in sheet].count(sheet[0].box.y_mm) == first
    for a, b in pairwise(sheet[:first]):
        assert b.box.x_mm - a.box.right_mm >= 2.0


@pytest.mark.parametrize(("height", "sheets"), [(64.0, 1), (63.9, 2)])
def test_a_sheet_takes_what_just_fits(height: float, sheets: int) -> None:
    items = [Item(90, 20, row) for row in range(3)]
    assert len(rows(items, Rect(0, 5, 100, height), 2.0).sheets) == sheets
    assert len(pack(items, Rect(0, 5, 100, height), 2.0).sheets) == sheets


@pytest.mark.parametrize(
    ("gap", "wide", "apart"),
    [(2.0, 46.0, 6.0), (2.0, 46.1, 2.0), (0.5, 43.0, 3.0), (0.5, 43.1, 0.5), (2.0, 41.0, 2.0)],
)
def test_a_line_is_spread_to_the_block_where_it_still_looks_like_one(
    gap: float, wide: float, apart: float
) -> None:
    """Gaps open to three times the least one, or to 15 % of the narrowest; common practice."""
    items = [Item(20, 10, 0), Item(20, 10, 0), Item(wide, 10, 1)]
    (sheet,) = rows(items, Rect(0, 0, 100, 100), gap).sheets
    assert sheet[1].box.x_mm - sheet[0].box.right_mm == pytest.approx(apart)
    left = 50 - max(wide, 40 + gap) / 2
    assert [sheet[0].box.x_mm, sheet[2].box.x_mm] == pytest.approx([left, left])
    assert sheet[2].box.y_mm - sheet[0].box.bottom_mm == pytest.approx(gap)


@pytest.mark.parametrize(("out", "x"), [(Rect(30, 0, 10, 40), 40), (Rect(60, 0, 10, 40), 0)])
def test_a_line_goes_to_the_wider_side_of_a_keep_out(out: Rect, x: float) -> None:
    (sheet,) = rows([Item(55, 20)], Rect(0, 0, 100, 40), 2.0, [out]).sheets
    assert x <= sheet[0].box.x_mm <= sheet[0].box.right_mm <= x + 60
    assert not sheet[0].box.overlaps(out)


def test_a_row_waits_below_a_keep_out_where_that_saves_lines() -> None:
    """Beside the clip one fits in a line; below it all three do."""
    clip = Rect(40, 0, 60, 22)
    (sheet,) = rows([Item(30, 20)] * 3, Rect(0, 0, 100, 44), 2.0, [clip]).sheets
    assert len({spot.box.y_mm for spot in sheet}) == 1
    assert sheet[0].box.y_mm >= 22


@pytest.mark.parametrize(
    ("main", "wide", "gaps"),
    [
        (40, 25.6, [3.0, 3.0, 3.1, 3.1]),  # as a column of their own, from edge to edge
        (40, 16.7, [3.0, 3.0, 16.45, 16.45]),
        (40, 16.5, [3.0, 3.0, 3.0, 3.0]),  # a gap wider than they are: left together
        (16, 5, [3.0, 23 / 3, 23 / 3, 23 / 3]),  # too far apart for that: set off as well
        (18.1, 5, [3.0, 3.0, 3.0, 3.0]),  # too far apart for any of it
    ],
)
def test_what_is_beside_a_line_ends_where_the_block_does_if_that_looks_right(
    main: float, wide: float, gaps: list[float]
) -> None:
    """Gaps open to three times the least one, or as wide as what stands there; common practice."""
    lines = [Item(main, 20, 0)] * 4 + [Item(main, 20, 1)] * 2
    kit = [*lines, *[Item(wide, 20, 2, beside=True)] * 3]
    (sheet,) = rows(kit, Rect(0, 0, 200, 100), 3.0).sheets
    line = [spot.box for spot in sheet[4:]]
    assert line[0].x_mm == pytest.approx(100.0 - (4 * main + 9.0) / 2.0)  # as the block of four
    assert [b.x_mm - a.right_mm for a, b in pairwise(line)] == pytest.approx(gaps)


@pytest.mark.parametrize(("high", "apart"), [(8.5, 9.0), (8.4, 3.0), (11.0, 4.0)])
def test_stickers_above_each_other_end_where_their_line_does_if_that_looks_right(
    high: float, apart: float
) -> None:
    kit = [Item(40, 26, 0)] * 2 + [Item(10, high, 1, beside=True)] * 2
    (sheet,) = rows(kit, Rect(0, 0, 200, 100), 3.0).sheets
    upper, lower = (spot.box for spot in sheet[2:])
    assert upper.y_mm == sheet[0].box.y_mm == 37
    assert lower.y_mm - upper.bottom_mm == pytest.approx(apart)
    assert lower.x_mm == upper.x_mm == sheet[1].box.right_mm + 3


@pytest.mark.parametrize(
    ("room", "height", "across", "down"),
    [(9.9, 50, 0, 4), (10, 50, 1, 4), (22.9, 50, 1, 4), (23, 50, 2, 4), (-5, 50, 0, 4),
     (23, 9.9, 2, 0), (23, 10, 2, 1), (23, 22.9, 2, 1), (23, 23, 2, 2), (23, -20, 2, 0)],
)  # fmt: skip
def test_how_many_have_room_at_the_end_of_a_line(room, height, across: int, down: int) -> None:
    assert grid_at_end(Item(10, 10), room, height, 3.0) == (across, down)


def test_rows_beside_a_line_fill_it_and_go_on_below() -> None:
    """Read line by line: the second kind begins where the first has ended."""
    kit = [Item(40, 20)] * 2 + [Item(10, 20, 1, beside=True)] * 2
    kit += [Item(12, 20, 2, beside=True)] * 4
    for width, first in ((154, 7), (153.9, 6)):
        (sheet,) = rows(kit, Rect(0, 0, width, 100), 3.0).sheets
        assert [spot.box.y_mm for spot in sheet] == [28.5] * first + [51.5] * (8 - first)
        assert [spot.index for spot in sheet] == list(range(8))
    narrow = rows(kit, Rect(0, 0, 109, 100), 3.0).sheets[0]
    assert [spot.box.y_mm for spot in narrow] == [28.5] * 4 + [51.5] * 4


# ---- neighbours


def beside(*placed: Rect, gap: float = 3.0) -> tuple[tuple[int, ...], ...]:
    spots = tuple(Spot(i, box) for i, box in enumerate(placed))
    return neighbours(Layout((spots,), "rows", 1, 0.5), len(spots), gap)


@pytest.mark.parametrize(("gap", "reach"), [(3.0, 4.5), (2.0, 3.0), (1.0, 2.0), (0.0, 2.0)])
def test_next_to_each_other_is_a_gap_and_a_half(gap: float, reach: float) -> None:
    """Two alike at that distance are seen as a pair; a millimetre each way at the least."""
    box = Rect(10, 10, 20, 20)
    for more, near in ((-0.01, ((1,), (0,))), (0.01, ((), ()))):
        assert beside(box, box.shift(3, 20 + reach + more), gap=gap) == near
        assert beside(box, box.shift(3, -20 - reach - more), gap=gap) == near


def test_corner_to_corner_is_not_beside() -> None:
    box = Rect(10, 10, 20, 20)
    assert beside(box, box.shift(20.5, 20.5)) == ((), ())
    for half_beside in (box.shift(20.5, 19.5), box.shift(19.5, 20.5)):
        assert beside(box, half_beside) == ((1,), (0,))


def test_those_that_follow_each_other_in_a_line_are_neighbours_at_any_distance() -> None:
    box = Rect(10, 10, 20, 20)
    line = [box, box.shift(60, 0), box.shift(120, 0)]
    assert beside(*line) == ((1,), (0, 2), (1,))
    assert beside(line[0], line[2].shift(0, 100), line[1]) == ((), (), ())


def test_the_nearest_neighbour_comes_first() -> None:
    box = Rect(50, 50, 20, 20)
    near = beside(box, box.shift(0, 23), box.shift(22, 5), box.shift(-24, 1), box.shift(1, -20.5))
    assert near[0] == (4, 2, 1, 3)


def test_other_sheets_have_neighbours_of_their_own() -> None:
    box = Rect(10, 10, 20, 20)
    sheets = ((Spot(0, box), Spot(2, box.shift(0, 22))), (Spot(1, box), Spot(3, box.shift(0, 22))))
    assert neighbours(Layout(sheets, "rows", 1, 0.5), 4, 3.0) == ((2,), (3,), (0,), (1,))


# ---- what saves a sheet


def saved(count: int, height: str, sheet: str = 'gap = "3mm"') -> Advice | None:
    recipe: Recipe = recipe_of(boxes(count), sheet, box=f"40mm x {height}")
    slots = slots_of(recipe)
    return advice(recipe, slots, AREA, lay_out(recipe, slots, AREA, recipe.sheet.gap))


@pytest.mark.parametrize(
    ("height", "gap"),
    # five lines in 260 mm: (260 - 5h) / 4 is the widest gap that would do
    [("49.68mm", 2.9), ("50mm", 2.5), ("51.2mm", 1.0), ("51.24mm", None)],
)
def test_the_largest_gap_that_saves_a_sheet(height: str, gap: float | None) -> None:
    """Not under a millimetre: no blade cuts that far apart."""
    assert saved(17, height) == Advice(gap, 1)


@pytest.mark.parametrize(("count", "fewer"), [(17, 1), (20, 4), (28, 12), (29, None), (33, 1)])
def test_up_to_a_dozen_stickers_fewer_are_advised(count: int, fewer: int | None) -> None:
    """Sixteen a sheet."""
    found = saved(count, "52mm")
    assert found is not None
    assert found.fewer == fewer


def test_one_sheet_needs_no_advice() -> None:
    assert saved(16, "52mm") is None


# ---- marks and rulers


def marked(*marks: str, sheet: str = "", cut: str = "") -> Recipe:
    tables = "".join(f"[[marks]]\n{mark}\n" for mark in marks)
    return recipe_of(boxes(1) + tables + f"[cut]\n{cut}\n", sheet)


def square(x: float, y: float, more: str = "") -> str:
    return f'shape = "square"\nat = "{x}mm x {y}mm"\nsize = "6mm"\n{more}'


def test_a_marks_zone_is_its_ink_and_the_quiet_round_it() -> None:
    cross = 'shape = "cross"\nat = "50mm x 60mm"\nsize = "8mm"\nstroke = "1mm"\nquiet = "3mm"'
    recipe = marked(cross, square(100, 120, 'quiet = "1.5mm"\n'), sheet='bleed = "1.2mm"\n')
    assert mark_zones(recipe) == [Rect(42.5, 52.5, 15, 15), Rect(95.5, 115.5, 9, 9)]
    assert mark_keep_outs(recipe)[1] == Rect(94.3, 114.3, 11.4, 11.4)
    lined = marked(square(100, 120), sheet='bleed = "1.2mm"\ngap = "6mm"\n', cut='through = "both"')
    assert mark_keep_outs(lined) == [mark_zones(lined)[0].grow(4.0)]
    disc = marked('shape = "disc"\nat = "50mm x 60mm"\nsize = "8mm"\nquiet = "3mm"')
    assert mark_zones(disc) == [Rect(43, 53, 14, 14)]  # it has no line


@pytest.mark.parametrize(
    ("at", "reached"),
    [((13, 50), True), ((12.99, 50), False), ((197, 50), True), ((197.01, 50), False),
     ((50, 13), True), ((50, 12.99), False), ((50, 284), True), ((50, 284.01), False)],
)  # fmt: skip
def test_a_mark_lies_where_the_printer_reaches(at, reached: bool) -> None:
    recipe = marked(square(100, 100), square(*at))
    if reached:
        check_marks(recipe)
        return
    with pytest.raises(RecipeError) as error:
        check_marks(recipe)
    assert told(error) == (
        "kit.toml: marks.2 lies where the printer cannot reach (the margins leave 10 to 200 mm "
        "across and 10 to 287 mm down). Move it in, or set sheet.margin to what your printer "
        "really leaves white."
    )


@pytest.mark.parametrize(("quiets", "far"), [((2, 3), 3), ((3, 2), 3), ((0.5, 0.5), 0.5)])
def test_marks_keep_the_larger_quiet_between_them(quiets, far: float) -> None:
    first, second = (f'quiet = "{mm}mm"\n' for mm in quiets)
    for x, y in ((6, 0), (0, 6)):
        step = [far if side else 0 for side in (x, y)]
        check_marks(
            marked(square(50, 50, first), square(50 + x + step[0], 50 + y + step[1], second))
        )
        near = [one - 0.01 if one else 0 for one in step]
        with pytest.raises(RecipeError) as error:
            check_marks(
                marked(
                    square(150, 50),
                    square(50, 50, first),
                    square(50 + x + near[0], 50 + y + near[1], second),
                )
            )
        assert told(error) == (
            f"kit.toml: marks.3 lies within {far:g} mm of marks.2 (a machine that looks for one "
            "would see both). Move them apart, or make their quiet zones (quiet) smaller."
        )


@pytest.mark.parametrize(
    ("zones", "ruler"),
    [
        ([], (10, 180)),
        ([Rect(10, 262, 30, 20)], (40, 150)),
        ([Rect(170, 262, 60, 20)], (10, 150)),
        ([Rect(60, 262, 10, 20)], (70, 120)),
        ([Rect(140, 262, 10, 20)], (10, 120)),
        ([Rect(140, 262, 10, 20), Rect(20, 250, 10, 17)], (30, 100)),
        ([Rect(100, 262, 10, 20)], (10, 80)),  # of equal stretches the first
        ([Rect(60, 240, 10, 26)], (10, 180)),  # it ends above the ruler
    ],
)
def test_the_ruler_across_lies_in_the_widest_stretch_between_zones(zones, ruler) -> None:
    assert ruler_box(AREA, zones) == Rect(ruler[0], 266, ruler[1], 4)


@pytest.mark.parametrize(
    ("gap", "zones", "top", "long"),
    [
        (3.0, [], 10, 240),  # 260 less 4, the gap and 10 for the figures, in whole centimetres
        (6.0, [], 10, 240),
        (6.01, [], 10, 230),
        (0.5, [], 10, 240),  # a millimetre at the least
        (3.0, [Rect(0, 10, 14, 40)], 50, 200),
        (3.0, [Rect(196, 10, 14, 40)], 50, 200),  # either side counts
        (3.0, [Rect(16, 10, 14, 40)], 10, 240),
        (3.0, [Rect(0, 200, 14, 100)], 10, 180),
        (3.0, [Rect(0, 150, 14, 10), Rect(0, 100, 14, 10)], 160, 90),
    ],
)
def test_the_ruler_down_lies_in_the_longest_stretch_between_zones(gap, zones, top, long) -> None:
    assert ruler_down_mm(AREA, gap, zones) == long
    assert ruler_down_box(AREA, gap, [], zones) == Rect(10, top, 5, long)


def test_the_ruler_down_keeps_a_millimetre_off_what_is_there() -> None:
    """Its figures with it: 10 mm behind its end."""
    left, right = Rect(10, 10, 5, 240), Rect(195, 10, 5, 240)
    for taken, there in (
        (Rect(16, 50, 9, 9), left),
        (Rect(15.9, 50, 9, 9), right),
        (Rect(10, 260.9, 9, 9), right),  # the figures end at 260
        (Rect(10, 261, 9, 9), left),
    ):
        assert ruler_down_box(AREA, 3.0, [taken]) == there
    assert ruler_down_box(AREA, 3.0, [Rect(15.9, 50, 178.3, 9)]) is None


@pytest.mark.parametrize(
    ("reads", "meant"),
    [
        ("174.7mm", None), ("174.5mm", "180mm"), ("185.3mm", None), ("185.5mm", "180mm"),
        ("18.5mm", "18.5cm"), ("18.6mm", "180mm"), ("7.2mm", "7.2in"), ("1850mm", "185mm"),
        ("1900mm", "180mm"),
    ],
)  # fmt: skip
def test_three_in_a_hundred_are_the_most_that_a_reading_is_off(reads: str, meant) -> None:
    recipe = recipe_of(boxes(1), f'ruler_reads = "{reads}"')
    if meant is None:
        check_reading(recipe, AREA)
        return
    with pytest.raises(RecipeError) as error:
        check_reading(recipe, AREA)
    assert told(error) == (
        f"kit.toml: sheet.ruler_reads: {reads[:-2]} mm cannot be the printed ruler (the printed "
        f"ruler is 180 mm long; did you mean {meant}?). Measure the whole ruler. Where it really "
        'is that far off, look for "fit to page" in the driver.'
    )


@pytest.mark.parametrize(
    ("offset", "edge", "key"),
    [
        ("10.01mm 0mm", "right", "offset"),
        ("-10.01mm 0mm", "left", "offset"),
        ("0mm 10.01mm", "bottom", "offset"),
        ("0mm -10.01mm", "top", "offset"),
        ("0mm -10.01mm", "top", "turn"),
    ],
)
def test_cut_lines_are_moved_to_the_papers_edge_and_no_farther(offset, edge, key) -> None:
    cut = f'offset = "{offset}"' if key == "offset" else 'turn = "5deg"'
    area = Rect(10, 10, 190, 277)
    check_offset(marked(cut=f'offset = "{offset.replace(".01", "")}"'), area)
    with pytest.raises(RecipeError) as error:
        check_offset(marked(cut=cut), area)
    assert told(error).startswith(
        f"kit.toml: cut.{key} is larger than the margin (cut lines would "
    )
    assert told(error).endswith(
        " Measure what your cutter misses by with kitloom trial; correct more than a few "
        "millimetres in its own program."
    )
    if key == "offset":
        assert f"lie up to 0.01 mm past the paper's {edge} edge" in told(error)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("ruler_reads = '150mm'\n[cut]\noffset = '0mm 0mm'", 5),
        ("dpi = 300\n[cut]\n\noffset = '11mm 0mm'", 8),
        ("dpi = 300\n[cut]\nspot = 'Cut'\nturn = '5deg'", 8),
        ("dpi = 300\n[[marks]]\nshape = 'disc'\nat = '1mm x 50mm'\nsize = '9mm'", 6),
        (
            "[[marks]]\nshape = 'disc'\nat = '50mm x 50mm'\nsize = '9mm'\n"
            "[[marks]]\nshape = 'disc'\nat = '52mm x 50mm'\nsize = '9mm'",
            9,
        ),
        ("[[rows]]\nsticker = 'dot'\ncount = 1\n\nat = ['1mm x 1mm']", 9),
    ],
)
def test_the_line_of_what_is_wrong_on_a_sheet_is_told(tmp_path: Path, text: str, line: int) -> None:
    """A maker goes straight to it."""
    file = tmp_path / "kit.toml"
    row = '\n[[patterns]]\nfile = "a.png"\n[[rows]]\nsticker = "dot"\ncount = 1\n'
    head = f'[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n{text}{row}'
    file.write_text(head, "utf-8")
    recipe = parse_recipe(head, file)
    checks = (
        lambda: check_reading(recipe, AREA),
        lambda: check_offset(recipe, Rect(10, 10, 190, 277)),
        lambda: check_marks(recipe),
        lambda: check_places(recipe, slots_of(recipe), AREA),
    )
    said = []
    for check in checks:
        try:
            check()
        except RecipeError as error:
            said.append(str(error))
    assert [f"kit.toml, line {line}: " in one for one in said] == [True]
