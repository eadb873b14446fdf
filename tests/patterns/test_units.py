"""Lengths as people write them, and what is said of those that cannot be read."""

from __future__ import annotations

import pytest

from patterns.units import LengthError, parse_length, parse_size


def test_a_decimal_comma_is_answered_with_the_point() -> None:
    with pytest.raises(LengthError) as refused:
        parse_length(" 38,5mm ", where="planner.box")
    assert refused.value.remedy == 'Use a point: "38.5mm".'
    with pytest.raises(LengthError, match="is not a length"):
        parse_size("38,5 x 48mm")


@pytest.mark.parametrize("text", ["1,000,5mm", "wide", "38,5 ells"])
def test_what_no_point_would_mend_gets_an_example(text: str) -> None:
    with pytest.raises(LengthError) as refused:
        parse_length(text)
    assert refused.value.remedy == 'Write it like "40mm" or "1.6in".'
