"""Rows and packing: no overlap, gaps and margins kept, sheets against bound and rectpack."""

from __future__ import annotations

import math
import random
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.layout.ground import Item, area_bound
from kit.layout.packing import pack
from kit.layout.rows import rows
from kit.recipe_error import RecipeError
from kit.shapes import Rect

LETTER = Rect(10.0, 10.0, 195.9, 259.4)  # 10 mm margins
FULL, HALF, CHECKLIST = (44.0, 46.0), (44.0, 23.0), (7.33, 46.0)

sizes = st.tuples(st.floats(5.0, 60.0), st.floats(5.0, 60.0))
kits = st.lists(
    st.tuples(sizes, st.integers(1, 14), st.booleans(), st.booleans()), min_size=1, max_size=6
).map(
    lambda kinds: [
        Item(w, h, row, may_turn=turn, beside=beside)
        for row, ((w, h), count, turn, beside) in enumerate(kinds)
        for _ in range(count)
    ]
)
corner_marks = [Rect(x, y, 14.0, 14.0) for x in (10.0, 191.9) for y in (10.0, 255.4)]
keep_outs = st.lists(
    st.tuples(st.floats(0, 180), st.floats(0, 250), st.floats(2, 30), st.floats(2, 30)).map(
        lambda four: Rect(*four)
    ),
    max_size=3,
) | st.just(corner_marks)


def check(layout, items, usable, gap, outs):
    """What every layout must keep, to a hundredth of a millimetre and better."""
    seen = sorted(spot.index for sheet in layout.sheets for spot in sheet)
    assert seen == list(range(len(items)))
    for sheet in layout.sheets:
        for spot in sheet:
            item = items[spot.index]
            size = (item.width_mm, item.height_mm)
            assert (spot.box.width_mm, spot.box.height_mm) == (
                size[::-1] if spot.on_its_side else size
            )
            assert item.may_turn or not spot.on_its_side
            assert usable.holds(spot.box, slack_mm=1e-6)
            assert not any(spot.box.overlaps(out, slack_mm=1e-6) for out in outs)
        for a, b in combinations((spot.box for spot in sheet), 2):
            across = max(a.x_mm - b.right_mm, b.x_mm - a.right_mm)
            down = max(a.y_mm - b.bottom_mm, b.y_mm - a.bottom_mm)
            assert max(across, down) >= gap - 1e-6
    assert len(layout.sheets) >= layout.sheets_at_least
    assert layout.sheets_at_least == max(1, math.ceil(area_bound(items, usable, gap) - 1e-9))


@settings(max_examples=80, deadline=None)
@given(kits, st.floats(0.0, 4.0), keep_outs)
def test_no_overlap_and_gap_and_margin_kept(items, gap, outs):
    try:
        plain = rows(items, LETTER, gap, outs)
    except RecipeError:
        return  # a keep-out may leave no room for an item; tested by itself below
    check(plain, items, LETTER, gap, outs)
    dense = pack(items, LETTER, gap, outs)
    check(dense, items, LETTER, gap, outs)
    assert len(dense.sheets) <= len(plain.sheets)
    spots = [spot for sheet in plain.sheets for spot in sheet]
    for row in range(6):  # a row beside another may begin before the other ends
        in_order = [spot.index for spot in spots if items[spot.index].row == row]
        assert in_order == sorted(in_order)


def of(size, count, row):
    return [Item(*size, row) for _ in range(count)]


@pytest.mark.parametrize("gap", [2.0, 3.0])
def test_sample_kit_takes_one_letter_sheet(gap):
    """Two rows of full boxes, one of half boxes, one of checklists."""
    kit = of(FULL, 4, 0) + of(FULL, 3, 1) + of(HALF, 4, 2) + of(CHECKLIST, 12, 3)
    layout = rows(kit, LETTER, gap)
    assert len(layout.sheets) == 1
    assert layout.proven_fewest
    check(layout, kit, LETTER, gap, [])


def test_twenty_full_boxes_fill_letter():
    """4 x 5 at 2 mm: 79.7 % of the usable area (44 x 46 x 20 / 195.9 x 259.4)."""
    layout = rows(of(FULL, 20, 0), LETTER, 2.0)
    assert len(layout.sheets) == 1
    assert layout.share_of_usable == pytest.approx(0.7966, abs=5e-4)
    assert len(rows(of(FULL, 21, 0), LETTER, 2.0).sheets) == 2


def test_rows_are_aligned_and_the_block_centred():
    kit = of(FULL, 4, 0) + of(FULL, 3, 1) + of(CHECKLIST, 12, 2)
    (sheet,) = rows(kit, LETTER, 3.0).sheets
    lines = [sheet[0:4], sheet[4:7], sheet[7:19]]
    for line in lines:
        assert len({spot.box.y_mm for spot in line}) == 1
        gaps = [b.box.x_mm - a.box.right_mm for a, b in pairwise(line)]
        assert max(gaps) - min(gaps) < 1e-9
    left, right = sheet[0].box.x_mm, sheet[3].box.right_mm
    assert [line[0].box.x_mm for line in lines] == pytest.approx([left] * 3)
    assert sheet[18].box.right_mm == pytest.approx(right)  # a little more gap fills the width
    assert sheet[6].box.x_mm == pytest.approx(sheet[2].box.x_mm)  # three below four: same columns
    assert (left + right) / 2 == pytest.approx(LETTER.centre_mm[0])
    top, bottom = sheet[0].box.y_mm, sheet[-1].box.bottom_mm
    assert (top + bottom) / 2 == pytest.approx(LETTER.centre_mm[1])


def test_a_row_too_wide_wraps_into_equal_lines():
    (sheet,) = rows(of(FULL, 6, 0), LETTER, 3.0).sheets
    tops = [spot.box.y_mm for spot in sheet]
    assert tops[:3] == [tops[0]] * 3
    assert tops[3:] == [tops[3]] * 3
    assert tops[3] == pytest.approx(tops[0] + 46.0 + 3.0)


def test_a_short_row_is_not_torn_apart():
    (sheet,) = rows(of(FULL, 4, 0) + of(HALF, 3, 1) + of(CHECKLIST, 4, 2), LETTER, 3.0).sheets
    for first, line in ((sheet[0], sheet[4:7]), (sheet[0], sheet[7:11])):
        assert line[0].box.x_mm == pytest.approx(first.box.x_mm)
        gaps = [b.box.x_mm - a.box.right_mm for a, b in pairwise(line)]
        assert gaps == pytest.approx([3.0] * len(gaps))


def test_stickers_of_one_width_stand_in_the_columns_of_the_fullest_line():
    narrow = Item(20.0, 20.0, 0)
    kit = [narrow] * 7 + [Item(20.0, 30.0, 1)] * 3 + [Item(160.0, 10.0, 2)]
    (sheet,) = rows(kit, LETTER, 2.0).sheets
    assert sheet[6].box.right_mm == pytest.approx(sheet[-1].box.right_mm)  # 3.33 mm apart
    for above, below in zip(sheet[:3], sheet[7:10], strict=True):
        assert below.box.x_mm == pytest.approx(above.box.x_mm)


def test_corner_keep_outs_leave_the_middle_usable():
    kit = of(FULL, 4, 0) + of(FULL, 4, 1) + of(HALF, 4, 2)
    layout = rows(kit, LETTER, 3.0, corner_marks)
    assert len(layout.sheets) == 1
    check(layout, kit, LETTER, 3.0, corner_marks)


def test_an_edge_keep_out_shrinks_the_area():
    edge = Rect(0.0, 263.4, 215.9, 16.0)  # six millimetres into the usable area
    layout = rows(of(FULL, 20, 0), LETTER, 2.0, [edge])
    check(layout, of(FULL, 20, 0), LETTER, 2.0, [edge])
    assert len(layout.sheets) == 1
    low = rows(of(FULL, 20, 0), LETTER, 2.0, [Rect(0.0, 245.0, 215.9, 34.4)])
    assert len(low.sheets) == 2


def test_turning_saves_a_sheet_where_allowed():
    usable = Rect(0, 0, 100, 62)
    lying = [Item(30.0, 100.0, 0, may_turn=True) for _ in range(2)]
    layout = pack(lying, usable, 2.0)
    assert len(layout.sheets) == 1
    assert all(spot.on_its_side for spot in layout.sheets[0])
    with pytest.raises(RecipeError):
        pack([Item(30.0, 100.0)], usable, 2.0)


def test_what_fits_nowhere_is_told_with_numbers():
    with pytest.raises(RecipeError, match=r"200\.00 x 20\.00 mm"):
        rows([Item(200.0, 20.0)], LETTER, 2.0)


def random_kit(seed):
    """A kit of 24 to 125 stickers in seven sizes."""
    source = random.Random(seed)
    kinds = [FULL, HALF, CHECKLIST, (44.0, 11.5), (22.0, 22.0), (88.0, 23.0), (25.4, 50.8)]
    chosen = source.sample(kinds, source.randint(3, 6))
    return [
        Item(*size, row) for row, size in enumerate(chosen) for _ in range(source.randint(8, 25))
    ]


def rectpack_sheets(items, gap):
    """Sheets by the rectpack library (maximal rectangles, best short side fit, no turns)."""
    import rectpack

    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline, pack_algo=rectpack.MaxRectsBssf, rotation=False
    )
    for index, item in enumerate(items):  # hundredths of a millimetre, rounded up
        width, height = (math.ceil((v + gap) * 100) for v in (item.width_mm, item.height_mm))
        packer.add_rect(width, height, rid=index)
    packer.add_bin(int((195.9 + gap) * 100), int((259.4 + gap) * 100), count=float("inf"))
    packer.pack()
    return len(packer)


@pytest.mark.parametrize("gap", [2.0, 3.0])
def test_packing_is_as_good_as_rectpack(gap):
    """Over 25 random kits; the areas ask for at least the bound."""
    totals = {"bound": 0, "rows": 0, "pack": 0, "rectpack": 0}
    for seed in range(25):
        kit = random_kit(seed)
        dense = pack(kit, LETTER, gap)
        totals["bound"] += dense.sheets_at_least
        totals["rows"] += len(rows(kit, LETTER, gap).sheets)
        totals["pack"] += len(dense.sheets)
        totals["rectpack"] += rectpack_sheets(kit, gap)
        assert len(dense.sheets) <= dense.sheets_at_least + 1
    assert totals["bound"] <= totals["pack"] <= totals["rows"]
    assert totals["pack"] <= totals["rectpack"]


# sizes, whether they may turn, how many; and the sheets of 100 x 80 mm, two millimetres apart
ONE_WAY_ALONE = {
    "in blocks, the widest first": ([(20, 49, 0, 4), (13, 24, 1, 6), (17, 13, 0, 2)], 1),
    "in blocks, the slimmest first, at the top": (
        [(44, 36, 0, 5), (16, 50, 1, 6), (15, 44, 0, 6), (42, 39, 1, 5)],
        4,
    ),
    "the highest first": ([(13, 24, 1, 1), (43, 21, 0, 1), (34, 13, 1, 6), (46, 53, 1, 1)], 1),
    "the longest first": ([(9, 51, 1, 4), (59, 48, 1, 2), (51, 12, 1, 7), (25, 22, 1, 2)], 2),
    "the widest first": ([(22, 26, 0, 5), (35, 23, 0, 6), (24, 56, 1, 3), (30, 37, 0, 6)], 3),
    "the broadest first": ([(33, 55, 1, 4), (38, 16, 0, 4), (35, 45, 0, 5)], 3),
    "the slimmest first": ([(25, 56, 1, 7), (16, 32, 0, 3)], 2),
    "the highest first, at the top": ([(12, 27, 0, 5), (22, 29, 1, 5), (48, 26, 1, 1)], 1),
    "the longest first, at the top": ([(42, 24, 1, 1), (24, 30, 1, 6), (10, 49, 0, 2)], 1),
    "the broadest first, at the top": (
        [(16, 36, 0, 7), (34, 52, 0, 2), (45, 12, 1, 2), (23, 25, 0, 7)],
        2,
    ),
}


@pytest.mark.parametrize("way", ONE_WAY_ALONE)
def test_each_order_saves_a_sheet_that_no_other_saves(way: str) -> None:
    """Kits found by trying: of all rules and orders one alone lays each on so few sheets."""
    kinds, sheets = ONE_WAY_ALONE[way]
    kit = [
        Item(float(w), float(h), row, may_turn=bool(turn))
        for row, (w, h, turn, count) in enumerate(kinds)
        for _ in range(count)
    ]
    area = Rect(0.0, 0.0, 100.0, 80.0)
    found = pack(kit, area, 2.0)
    assert len(found.sheets) == sheets < len(rows(kit, area, 2.0).sheets)
    check(found, kit, area, 2.0, [])


def test_a_row_beside_stands_at_the_end_of_the_lines_before_it() -> None:
    """Checklists in the width that boxes leave, in columns that end where the block does."""
    kit = of((40.0, 52.0), 8, 0) + [Item(6.67, 52.0, 1, beside=True)] * 4
    (sheet,) = rows(kit, LETTER, 3.0).sheets
    boxes = [spot.box for spot in sheet]
    assert [box.y_mm for box in boxes[8:]] == [boxes[0].y_mm] * 2 + [boxes[4].y_mm] * 2
    assert all(box.x_mm > boxes[3].right_mm for box in boxes[8:])
    assert boxes[9].right_mm == boxes[11].right_mm == max(box.right_mm for box in boxes)


def test_small_ones_beside_a_line_stand_in_a_grid_that_reads_line_by_line() -> None:
    kit = of((40.0, 26.0), 4, 0) + [Item(10.0, 10.0, 1, beside=True)] * 4
    (sheet,) = rows(kit, LETTER, 3.0).sheets
    left, right, below, last = (spot.box for spot in sheet[4:])
    assert (left.y_mm, below.y_mm) == (right.y_mm, last.y_mm)
    assert (left.x_mm, right.x_mm) == (below.x_mm, last.x_mm)
    assert (left.y_mm, last.bottom_mm) == (sheet[0].box.y_mm, sheet[0].box.bottom_mm)


def test_dots_at_the_ends_of_lines_are_evenly_apart() -> None:
    """Six dots in a column that boxes leave look dropped there where their gaps differ."""
    dot = Item(10.0, 10.0, 1, beside=True)
    kit = of((40.0, 26.0), 4, 0) + [dot] * 4
    kit += of((40.0, 13.0), 4, 2) + [Item(10.0, 10.0, 3, beside=True)] * 2
    (sheet,) = rows(kit, LETTER, 3.0).sheets
    dots = [spot.box for spot in sheet if kit[spot.index].beside]
    steps = [b.y_mm - a.y_mm for a, b in pairwise(dots[::2])]
    assert steps == pytest.approx([16.0, 14.5])
    assert {round(box.x_mm, 3) for box in dots} == {round(box.x_mm, 3) for box in dots[:2]}


def test_two_columns_of_dots_end_where_the_column_of_lists_does() -> None:
    kit = of((50.0, 60.0), 3, 0) + [Item(10.0, 60.0, 1, beside=True)] * 3
    kit += of((50.0, 30.0), 3, 2) + [Item(12.5, 12.5, 3, beside=True)] * 4
    (sheet,) = rows(kit, LETTER, 3.0).sheets
    lists, dots = ([spot.box for spot in sheet if kit[spot.index].row == row] for row in (1, 3))
    ends = [
        (min(box.x_mm for box in one), max(box.right_mm for box in one)) for one in (lists, dots)
    ]
    assert ends[0] == pytest.approx(ends[1])


def test_lists_in_a_free_column_stand_in_it() -> None:
    """Else three boxes and their lists stand askew under four boxes."""
    kit = of((44.0, 46.0), 4, 0) + of((44.0, 46.0), 3, 1) + [Item(8.7, 46.0, 2, beside=True)] * 4
    (sheet,) = rows(kit, Rect(10.0, 10.0, 190.0, 200.0), 3.0).sheets
    left = [spot.box.x_mm for spot in sheet]
    assert left[4:8] == pytest.approx(left[:4], abs=0.01)
    assert sheet[10].box.right_mm == pytest.approx(sheet[3].box.right_mm, abs=0.01)


def test_what_finds_no_room_beside_has_lines_of_its_own() -> None:
    kit = of((60.0, 20.0), 3, 0) + [Item(30.0, 10.0, 1, beside=True)] * 2
    (sheet,) = rows(kit, LETTER, 3.0).sheets
    assert all(spot.box.y_mm > sheet[0].box.bottom_mm for spot in sheet[3:])


def of_rows(*kinds: tuple[float, float, int]) -> list[Item]:
    return [Item(w, h, row) for row, (w, h, count) in enumerate(kinds) for _ in range(count)]


def test_a_packed_row_stands_together_and_reads_line_by_line() -> None:
    """Days and dates that are scattered over a sheet have to be looked for."""
    kit = of_rows((40, 52, 7), (10, 10, 31), (40, 8.3, 7), (6.7, 52, 9), (40, 26, 5))
    (sheet,) = pack(kit, LETTER, 3.0).sheets
    for row in range(5):
        own = [spot for spot in sheet if kit[spot.index].row == row]
        places = [(round(spot.box.y_mm, 3), spot.box.x_mm) for spot in own]
        in_order = sorted(own, key=lambda spot: spot.index)
        assert [places[own.index(spot)] for spot in in_order] == sorted(places)
        grown = [spot.box.grow(1.51) for spot in own]
        reached, ahead = {0}, [0]
        while ahead:
            at = ahead.pop()
            beside = {i for i in range(len(own)) if grown[i].overlaps(grown[at])} - reached
            reached |= beside
            ahead += beside
        assert len(reached) == len(own), "a row lies in two places"


def test_dates_are_packed_seven_to_a_line() -> None:
    dates = [Item(10.0, 10.0, 1, across=7)] * 31
    kit = [Item(120.0, 100.0, 0)] * 2 + dates
    (sheet,) = pack(kit, Rect(0.0, 0.0, 200.0, 210.0), 3.0).sheets
    tops = [round(spot.box.y_mm, 3) for spot in sheet if spot.index >= 2]
    lines = [tops.count(top) for top in dict.fromkeys(tops)]
    assert max(lines) in (6, 7)


def test_packing_is_repeatable():
    kit = max((random_kit(seed) for seed in range(25)), key=len)
    layout = pack(kit, LETTER, 3.0)
    assert layout == pack(kit, LETTER, 3.0)


@pytest.mark.parametrize(("count", "lines"), [(5, [4, 1]), (6, [3, 3]), (7, [4, 3]), (12, [4] * 3)])
def test_lines_of_a_wrapped_row_are_full_or_equal(count: int, lines: list[int]) -> None:
    (sheet,) = rows(of(HALF, count, 0), LETTER, 3.0).sheets
    tops = [spot.box.y_mm for spot in sheet]
    assert [tops.count(top) for top in dict.fromkeys(tops)] == lines
