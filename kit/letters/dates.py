"""The words of a calendar: the days of a week, and the dates of a month, by Python's calendar.

In: a month such as "2027-01", and the day that weeks start with. Out: words in their order. Not
done here: months or days in other languages than English.
"""

from __future__ import annotations

import re
from calendar import Calendar

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
DATES = tuple(str(day) for day in range(1, 32))
_MONTH = re.compile(r"(?!0000)[0-9]{4}-(0[1-9]|1[0-2])")


def is_month(text: str) -> bool:
    """Tell whether a text is a year and a month's number, such as "2027-01"."""
    return _MONTH.fullmatch(text) is not None


def days_from(first: str) -> tuple[str, ...]:
    """Return the seven days, starting with this one."""
    start = DAYS.index(first)
    return DAYS[start:] + DAYS[:start]


def dates_of(month: str, first: str = DAYS[0]) -> tuple[tuple[str, ...], ...]:
    """Return a month's dates, week by week; its first and last week may be short.

    Args:
        month: such as "2027-01" (``is_month``).
        first: the day that a week starts with, one of ``DAYS``.
    """
    year, number = map(int, month.split("-"))
    weeks = Calendar(DAYS.index(first)).monthdayscalendar(year, number)
    return tuple(tuple(str(day) for day in week if day) for week in weeks)
