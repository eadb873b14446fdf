"""Dates of a month, against days counted one by one: else a planner's covers name a wrong day."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import groupby
from pathlib import Path

import pytest

from kit.layout import lay_out, sticker_area, usable_area
from kit.letters import dates_of, days_from, is_month
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.stickers import slots_of

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
# leap years by the rule of four, of a hundred and of four hundred; years that begin on each day
YEARS = (1900, 2000, 2023, 2024, 2025, 2026, 2027, 2028, 2032, 2100)


def recipe(row: str, sheet: str = ""):
    head = f'[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n{sheet}'
    head += '[[patterns]]\nfile = "a.png"\n[[rows]]\nsticker = "dot"\nfill = "palette"\n'
    return parse_recipe(f"{head}{row}\n", Path("kit.toml"))


def counted(year: int, month: int, first: int) -> list[list[str]]:
    """Count a month's days one by one, a new week wherever its first day comes."""
    weeks: list[list[str]] = []
    day = date(year, month, 1)
    while day.month == month:
        if not weeks or day.weekday() == first:
            weeks.append([])
        weeks[-1].append(str(day.day))
        day += timedelta(days=1)
    return weeks


@pytest.mark.parametrize("first", range(7), ids=DAYS)
def test_weeks_begin_on_the_day_that_is_asked_for(first: int) -> None:
    for year in YEARS:
        for month in range(1, 13):
            weeks = dates_of(f"{year}-{month:02d}", DAYS[first])
            assert [list(week) for week in weeks] == counted(year, month, first), (year, month)


def test_days_come_in_the_order_asked_for() -> None:
    assert days_from("Sunday") == ("Sunday", *DAYS[:6])
    words = [slot.words for slot in slots_of(recipe('text = "days"\nweek = "Saturday"'))]
    assert words == ["Saturday", "Sunday", *DAYS[:5]]


@pytest.mark.parametrize(("month", "days"), [("2027-02", 28), ("2028-02", 29), ("2027-04", 30)])
@pytest.mark.parametrize("text", ["", 'text = "dates"\n'])
def test_a_month_has_as_many_stickers_as_days(month: str, days: int, text: str) -> None:
    slots = slots_of(recipe(f'{text}month = "{month}"'))
    assert [slot.words for slot in slots] == [str(day + 1) for day in range(days)]
    assert {slot.line for slot in slots} == {0}


@pytest.mark.parametrize("first", ["Monday", "Sunday", "Thursday"])
def test_each_week_lies_on_a_line_of_its_own(first: str) -> None:
    asked = recipe(f'month = "2027-01"\nweek = "{first}"\nsize = "10mm x 10mm"')
    slots = slots_of(asked)
    area = sticker_area(usable_area(asked.sheet), asked)
    (spots,) = lay_out(asked, slots, area, asked.sheet.gap).sheets
    lines = [
        [slots[spot.index].words for spot in line]
        for _, line in groupby(spots, lambda spot: spot.box.y_mm)
    ]
    assert lines == counted(2027, 1, DAYS.index(first))


def test_a_month_asked_for_twice_begins_a_new_line() -> None:
    slots = slots_of(recipe('month = "2027-02"\nweek = "Monday"\ncount = 56'))
    assert [slot.line for slot in slots] == [i // 7 for i in range(56)]


@pytest.mark.parametrize(
    "month", ["2027-13", "2027-00", "0000-01", "2027-1", "27-01", "2027/01", "January", "", " "]
)
def test_a_month_that_is_none_is_refused(month: str) -> None:
    assert not is_month(month)
    with pytest.raises(RecipeError, match="is not a month") as told:
        recipe(f'month = "{month}"')
    assert told.value.where.endswith("line 10")
    assert len(str(told.value)) <= 300
    assert not told.value.also


@pytest.mark.parametrize("day", ["Funday", "sun", "0", ""])
def test_a_week_that_starts_with_no_day_is_refused(day: str) -> None:
    with pytest.raises(RecipeError, match="is not a day of the week") as told:
        recipe(f'month = "2027-01"\nweek = "{day}"')
    assert told.value.where.endswith("line 11")
    assert len(str(told.value)) <= 300


def test_a_packed_sheet_has_no_weeks() -> None:
    with pytest.raises(RecipeError, match="a packed sheet has no lines for weeks"):
        recipe('month = "2027-01"\nweek = "Sunday"', 'layout = "pack"\n')
    recipe('text = "days"\nweek = "Sunday"', 'layout = "pack"\n')


def test_a_month_is_refused_where_a_sticker_has_no_room_for_dates() -> None:
    """A maker would otherwise end in an error of the program, and learn nothing from it."""
    text = (
        '[planner]\nbox = "40mm x 52mm"\n[sheet]\npaper = "A4"\n[[patterns]]\nfile = "a.png"\n'
        '[[rows]]\nsticker = "icon"\npicture = "bee.png"\ncount = 2\nmonth = "2027-01"\n'
    )
    with pytest.raises(RecipeError, match=r"rows\.1\.month has no effect.*no room for dates"):
        parse_recipe(text, Path("kit.toml"))
