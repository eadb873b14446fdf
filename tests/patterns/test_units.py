"""Lengths as people write them, and what is said of those that cannot be read."""

from __future__ import annotations

import pytest

from patterns.units import LengthError, parse_length, parse_size


# 1 inch is exactly 25.4 mm: international yard and pound agreement, 1959
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1,5in", 38.1),
        ("1.5 inch", 38.1),
        ("1,5 inches", 38.1),
        ('1.5"', 38.1),
        ("1.5″", 38.1),
        (" 38,5mm ", 38.5),
        ("0,125in", 3.175),
        (",5 cm", 5.0),
        ("-0,3mm", -0.3),
    ],
)
def test_a_length_is_read_as_people_write_it(text: str, mm: float) -> None:
    """A maker measures in the units and with the comma of the ruler at hand."""
    assert parse_length(text) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("42 x 50 mm", (42.0, 50.0)),
        ("42,5 x 50mm", (42.5, 50.0)),
        ("1.5 × 2 inch", (38.1, 50.8)),
        ("4cm X 52mm", (40.0, 52.0)),
    ],
)
def test_a_unit_written_once_holds_for_width_and_height(
    text: str, size: tuple[float, float]
) -> None:
    assert parse_size(text) == pytest.approx(size)


def test_a_comma_that_may_part_thousands_is_asked_about() -> None:
    """Taken for a point, 1,200mm would be a millimetre; taken for thousands, 1,125in a tower."""
    with pytest.raises(LengthError) as refused:
        parse_length("1,125in", where="planner.box")
    assert refused.value.remedy == 'Write "1.125in" or "1125in".'


@pytest.mark.parametrize("text", ["1,000,5mm", "wide", "38,5 ells", "1.5,2mm"])
def test_what_is_no_length_gets_an_example(text: str) -> None:
    with pytest.raises(LengthError) as refused:
        parse_length(text)
    assert refused.value.remedy == 'Write it like "40mm" or "1.6in".'


def test_a_number_alone_is_no_length_unless_a_unit_is_agreed() -> None:
    with pytest.raises(LengthError, match="has no unit"):
        parse_length("38,5")
    assert parse_length("38,5", bare="mm") == 38.5
    assert parse_size("42 x 50", bare="mm") == (42.0, 50.0)
