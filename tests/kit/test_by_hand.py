"""Who makes room for a sticker that was put somewhere, and where to: places by hand, in mm.

Stickers here are 20 x 10 on an area of 100 x 60, two millimetres apart.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest

from kit.layout import Layout, Spot, own_box, too_near
from kit.layout.by_hand import around_placed
from kit.layout.ground import Ground, Item
from kit.layout.rows import rows
from kit.recipe import OwnPlace
from kit.shapes import Rect

AREA, GAP_MM = Rect(0.0, 0.0, 100.0, 60.0), 2.0
SMALL = Item(20.0, 10.0)
At = tuple[float, float]


def placed(
    items: Sequence[Item],
    sheets: Sequence[Mapping[int, At]],
    own: Mapping[int, OwnPlace],
    *,
    own_stickers: int | None = None,
    keep_outs: tuple[Rect, ...] = (),
) -> tuple[list[dict[int, At]], tuple[int, ...]]:
    """Lay, and return where each sticker of each sheet is, in turn, and which made room."""
    spots = [
        tuple(Spot(i, Rect(*at, items[i].width_mm, items[i].height_mm)) for i, at in on.items())
        for on in sheets
    ]
    found, gave_way = around_placed(
        items,
        Layout(tuple(spots), "rows", 1, 0.5),
        own,
        Ground(AREA, GAP_MM, keep_outs),
        lambda some: rows(some, AREA, GAP_MM),
        own_stickers=len(items) if own_stickers is None else own_stickers,
    )
    for spot in (spot for on in found for spot in on):
        sides = (items[spot.index].width_mm, items[spot.index].height_mm)
        assert (spot.box.width_mm, spot.box.height_mm) == (
            sides[::-1] if spot.on_its_side else sides
        )
    return [{s.index: (s.box.x_mm, s.box.y_mm) for s in on} for on in found], gave_way


def test_the_box_of_a_place_lies_on_its_side_where_it_should() -> None:
    assert own_box(SMALL, OwnPlace(7.0, 9.0)) == Rect(7, 9, 20, 10)
    assert own_box(SMALL, OwnPlace(7.0, 9.0, 3, on_its_side=True)) == Rect(7, 9, 10, 20)


@pytest.mark.parametrize(
    ("dx", "dy", "near"),
    [
        (21.97, 0, True),
        (21.99, 0, False),  # places are written in hundredths of a millimetre
        (22, 0, False),
        (0, 11.97, True),
        (0, 11.99, False),
        (21.5, 11.5, True),  # corner to corner, by both ways
        (21.5, 12.5, False),
        (22.5, 11.5, False),
    ],
)
def test_too_near_is_less_than_the_gap_along_both_ways(dx: float, dy: float, near: bool) -> None:
    box = Rect(30, 20, 20, 10)
    for x, y in ((dx, dy), (-dx, dy), (dx, -dy), (-dx, -dy)):
        assert too_near(box, box.shift(x, y), GAP_MM) == near


@pytest.mark.parametrize(
    ("at", "there"),
    [
        ((45, 12), (50, 0)),  # up by 10, the least
        ((45, 11), (50, 23)),  # no room above: down by 13
        ((31, 10), (53, 10)),  # to the right by 3
        ((69, 10), (47, 10)),  # to the left by 3
        ((72, 10), (50, 10)),  # a gap away: nobody moves
        ((71.99, 10), (50, 10)),
        ((71.97, 10), (49.97, 10)),
        ((50, 10), (50, 22)),
    ],
)
def test_what_is_in_the_way_moves_by_the_least(at: At, there: At) -> None:
    """Else a sheet that was set by hand is in disorder after each sticker that is put on it."""
    before = {0: (0.0, 50.0), 1: (50.0, 10.0)}
    (sheet,), gave_way = placed([SMALL] * 2, [before], {0: OwnPlace(*at)})
    assert sheet[0] == at
    assert sheet[1] == pytest.approx(there)
    assert list(sheet) == [0, 1]
    assert gave_way == (() if there == (50, 10) else (1,))


def test_of_places_as_near_the_upper_and_then_the_left_is_taken() -> None:
    before = {0: (0.0, 0.0), 1: (40.0, 25.0)}
    (sheet,), _ = placed([SMALL] * 2, [before], {0: OwnPlace(40.0, 25.0)})
    assert sheet[1] == (40, 13)
    wall = Item(20.0, 60.0)
    (sheet,), _ = placed([wall, SMALL], [before], {0: OwnPlace(40.0, 0.0)})
    assert sheet[1] == (18, 25)


@pytest.mark.parametrize(("short_mm", "sheets"), [(-0.005, 1), (0.005, 1), (0.015, 2)])
@pytest.mark.parametrize("down", [False, True])
def test_a_hole_may_be_half_a_hundredth_too_small(down: bool, short_mm: float, sheets: int) -> None:
    """Places are written in hundredths, so a hole that was just right may come out smaller."""
    side = (10.0 if down else 20.0) + GAP_MM - short_mm
    wall = Item(100.0, 60.0 - side) if down else Item(100.0 - side, 60.0)
    at = OwnPlace(0.0, side) if down else OwnPlace(side, 0.0)
    found, _ = placed([wall, SMALL], [{1: (50.0, 20.0)}], {0: at})
    assert len(found) == sheets
    if sheets == 1:
        assert found[0][1] == pytest.approx((50, 0) if down else (0, 20), abs=0.006)


def test_a_quiet_zone_is_no_place_to_move_to() -> None:
    zone = Rect(40.0, 0.0, 40.0, 9.0)
    before = {0: (0.0, 50.0), 1: (50.0, 10.0)}
    (sheet,), _ = placed([SMALL] * 2, [before], {0: OwnPlace(45.0, 12.0)}, keep_outs=(zone,))
    assert sheet[1] == (50, 24)


def test_it_stays_on_its_sheet_else_the_first_with_room_takes_it_else_one_of_its_own() -> None:
    wall, one = Item(100.0, 60.0), SMALL
    items = [wall, one, SMALL, SMALL, wall]
    own = {0: OwnPlace(0.0, 0.0, 2)}
    sheets = [{2: (0.0, 0.0)}, {1: (40.0, 20.0)}, {3: (0.0, 0.0)}, {0: (0.0, 0.0)}]
    found, gave_way = placed(items, sheets, own)
    assert found == [{2: (0, 0), 1: (40, 20)}, {0: (0, 0)}, {3: (0, 0)}]
    assert gave_way == (1,)
    sheets[0] = {4: (0.0, 0.0)}
    found, _ = placed(items, sheets, own)
    assert found == [{4: (0, 0)}, {0: (0, 0)}, {3: (0, 0), 1: (40, 20)}]
    sheets[2] = {}
    found, _ = placed(items[:2], [{1: (40.0, 20.0)}], {0: OwnPlace(0.0, 0.0)})
    assert found == [{0: (0, 0)}, {1: (40, 25)}]  # laid alone, in the middle
    two = [{2: (0.0, 0.0), 4: (40.0, 0.0)}, {1: (0.0, 0.0)}]
    found, _ = placed([wall, wall, one, wall, one], two, {0: OwnPlace(0.0, 0.0)})
    assert [list(on) for on in found] == [[0], [1], [2, 4]]


def test_the_higher_then_the_wider_then_the_first_chooses_its_place_first() -> None:
    """The only hole that is near takes one of the two."""
    wall = Item(60.0, 60.0)
    for first, second in (((20.0, 12.0), (30.0, 10.0)), ((30.0, 10.0), (20.0, 10.0)),
                          ((20.0, 10.0), (20.0, 10.0))):  # fmt: skip
        for order in ((1, 2), (2, 1)) if first != second else ((1, 2),):
            items = [wall, SMALL, SMALL]
            items[order[0]], items[order[1]] = Item(*first), Item(*second)
            before = {order[0]: (30.0, 0.0), order[1]: (30.0, 0.0)}
            (sheet,), gave_way = placed(items, [before], {0: OwnPlace(0.0, 0.0)})
            assert sheet[order[0]] == (62, 0)
            assert sheet[order[1]] == (62, first[1] + 2)
            assert gave_way == (1, 2)


def test_a_sticker_put_on_another_sheet_comes_last_there() -> None:
    """And what it left behind keeps its turn: stickers of a sheet are cut in it."""
    sheets = [{0: (0.0, 0.0), 1: (40.0, 0.0)}, {2: (0.0, 0.0), 3: (40.0, 0.0)}]
    own = {0: OwnPlace(0.0, 30.0, 2), 2: OwnPlace(70.0, 30.0, 2)}
    found, gave_way = placed([SMALL] * 4, sheets, own)
    assert [list(on) for on in found] == [[1], [2, 3, 0]]
    assert (found[1][2], found[1][0], gave_way) == ((70, 30), (0, 30), ())


def test_a_sheet_that_is_asked_for_is_there_and_an_empty_one_is_not() -> None:
    found, _ = placed([SMALL] * 2, [{0: (0.0, 0.0), 1: (40.0, 0.0)}], {0: OwnPlace(5.0, 5.0, 4)})
    assert found == [{1: (40, 0)}, {0: (5, 5)}]


# ---- stickers that only fill a sheet up


def test_a_sticker_takes_a_fillers_place_and_the_filler_another_or_none() -> None:
    """Own stickers are never let go; of fillers those that have no place are."""
    wall, left = Item(100.0, 47.0), Item(38.0, 11.0)
    items = [wall, left, SMALL, SMALL, SMALL, SMALL]
    before = {1: (0.0, 0.0), 2: (0.0, 49.0), 3: (22.0, 49.0), 4: (44.0, 49.0), 5: (66.0, 49.0)}
    (sheet,), gave_way = placed(items, [before], {0: OwnPlace(0.0, 0.0)}, own_stickers=2)
    assert sheet[1] == (0, 49)  # where fillers 2 and 3 lay; 2 finds none, nor does 3
    assert {i: sheet[i] for i in (4, 5)} == {4: (44, 49), 5: (66, 49)}
    assert sorted(sheet) == [0, 1, 4, 5]
    assert gave_way == (1,)


def test_a_filler_in_the_way_moves_or_goes_and_is_not_told() -> None:
    before = {0: (0.0, 0.0), 1: (50.0, 10.0)}
    (sheet,), gave_way = placed([SMALL] * 2, [before], {0: OwnPlace(45.0, 12.0)}, own_stickers=1)
    assert (sheet, gave_way) == ({0: (45, 12), 1: (50, 0)}, ())
    wall = Item(100.0, 60.0)
    found, gave_way = placed([wall, SMALL], [before], {0: OwnPlace(0.0, 0.0)}, own_stickers=1)
    assert (found, gave_way) == ([{0: (0, 0)}], ())


def test_a_sheet_with_nothing_but_fillers_is_none() -> None:
    sheets = [{0: (0.0, 0.0)}, {1: (0.0, 0.0), 2: (40.0, 0.0)}]
    found, _ = placed([SMALL] * 3, sheets, {1: OwnPlace(50.0, 40.0)}, own_stickers=2)
    assert found == [{0: (0, 0), 1: (50, 40)}]


def test_own_stickers_choose_before_fillers() -> None:
    """A filler that is higher waits all the same."""
    wall, high = Item(60.0, 60.0), Item(20.0, 30.0)
    before = {1: (30.0, 0.0), 2: (30.0, 0.0)}
    (sheet,), gave_way = placed(
        [wall, SMALL, high], [before], {0: OwnPlace(0.0, 0.0)}, own_stickers=2
    )
    assert (sheet[1], sheet[2], gave_way) == ((62, 0), (62, 12), (1,))


def test_a_free_place_comes_before_a_fillers() -> None:
    before = {0: (0.0, 50.0), 1: (50.0, 10.0), 2: (50.0, 0.0)}
    own = {0: OwnPlace(45.0, 12.0)}
    (sheet,), _ = placed([SMALL] * 3, [before], own, own_stickers=2)
    assert (sheet[1], sheet[2]) == ((50, 24), (50, 0))


def test_the_least_way_is_as_the_crow_flies() -> None:
    """Six to the right rather than twelve up; and five both ways rather than eight along one."""
    (sheet,), _ = placed([SMALL] * 2, [{1: (50.0, 25.0)}], {0: OwnPlace(34.0, 25.0)})
    assert sheet[1] == (56, 25)
    (sheet,), _ = placed([SMALL] * 2, [{1: (50.0, 25.0)}], {0: OwnPlace(40.0, 18.0)})
    assert sheet[1] == (50, 30)


def test_one_laid_on_its_side_says_so() -> None:
    own = {0: OwnPlace(60.0, 5.0, on_its_side=True), 1: OwnPlace(5.0, 5.0)}
    spots = (Spot(0, Rect(0, 0, 20, 10)), Spot(1, Rect(40, 0, 20, 10)))
    ((upper, lower),), _ = around_placed(
        [SMALL] * 2,
        Layout((spots,), "rows", 1, 0.5),
        own,
        Ground(AREA, GAP_MM),
        lambda some: rows(some, AREA, GAP_MM),
        own_stickers=2,
    )
    assert upper == Spot(0, Rect(60, 5, 10, 20), on_its_side=True)
    assert lower == Spot(1, Rect(5, 5, 20, 10))
