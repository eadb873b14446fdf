"""Paper sizes against the standards that define them; their years are values from memory."""

from __future__ import annotations

import math

import pytest

from kit.recipe import find_paper


def test_letter_is_8_5_by_11_inches():
    # ANSI/ASME Y14.1-2005, size A: 8.5 x 11 in; an inch is 25.4 mm exactly
    paper = find_paper("Letter")
    assert (paper.width_mm / 25.4, paper.height_mm / 25.4) == pytest.approx((8.5, 11.0), abs=1e-12)


@pytest.mark.parametrize(("name", "order"), [("A4", 4), ("A5", 5)])
def test_a_sizes_follow_iso_216(name, order):
    # ISO 216:2007: A0 has 1 m² at sides 1 : √2; each next one is halved, rounded down to whole mm
    width, height = math.floor(1000 / 2**0.25 + 0.5), math.floor(1000 * 2**0.25 + 0.5)
    for _ in range(order):
        width, height = height // 2, width
    paper = find_paper(name)
    assert (paper.width_mm, paper.height_mm) == (width, height)
