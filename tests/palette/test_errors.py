"""An error is one line that a terminal can show whole, however long the names in it."""

from __future__ import annotations

import pytest

from palette.errors import MOST_CHARACTERS, KitloomError, reason_of, short, short_line

LONG = "petal-" * 900
WORDS = "a b " * 900


@pytest.mark.parametrize("long", [LONG, WORDS])
@pytest.mark.parametrize("part", ["where", "what", "why", "remedy"])
def test_a_line_is_short_whatever_part_is_long(part: str, long: str) -> None:
    parts = {
        "what": "is lost",
        "where": "kit.toml, line 4",
        "why": "line: a = 1",
        "remedy": "Mend.",
    }
    parts[part] = f'"{long}", line 3' if part == "where" else f'no "{long}" here'
    line = KitloomError(**parts).line()
    assert len(line) <= MOST_CHARACTERS
    assert "…" in line
    for name, words in parts.items():
        if name != part:
            assert words in line


def test_all_parts_may_be_long() -> None:
    line = KitloomError(LONG, where=LONG, why=WORDS, remedy=WORDS).line()
    assert len(line) == MOST_CHARACTERS


def test_a_line_that_is_short_enough_stays_as_it_is() -> None:
    name = "x" * 200
    assert KitloomError("is lost", where=name, remedy="Mend it.").line() == (
        f"{name}: is lost. Mend it."
    )
    assert short_line(name) == name


def test_the_middle_of_a_name_goes_and_both_ends_stay() -> None:
    assert short("abcdefghij", 10) == "abcdefghij"
    assert short("abcdefghijk", 10) == "abcde…hijk"
    assert len(short_line(f"Invalid value for '--dpi': '{LONG}'")) <= MOST_CHARACTERS


def test_a_system_says_why_in_plain_words() -> None:
    assert reason_of(OSError(28, "No space left on device")) == "the disk is full"
    assert reason_of(OSError(99_999, "Something else")) == "Something else"
    assert reason_of(OSError()) == "the system refuses"
