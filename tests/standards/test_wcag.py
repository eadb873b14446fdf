"""Contrast ratios against the definitions of WCAG.

Source: WCAG 2.2 (W3C Recommendation, 2023), definitions of "relative luminance" and "contrast
ratio", from which 21:1 for black on white follows. The other ratios were worked from it here; that
#767676 and #777777 lie either side of 4.5 is a value from memory. coloraide checks all of them.
The two thresholds are those of WCAG 2.0 and 2.1 (2008, 2018: 0.03928) and of their text since 2021
(0.04045), as IEC 61966-2-1:1999 has it.
"""

from __future__ import annotations

import numpy as np
import pytest

from palette.space import hex_of, ratio
from palette.space.legibility import luminance


@pytest.mark.parametrize(
    ("colour", "on_white"),
    [("#000000", 21.0), ("#ffffff", 1.0), ("#767676", 4.54), ("#777777", 4.48), ("#949494", 3.03)],
)
def test_ratio_of_the_definition(colour: str, on_white: float) -> None:
    assert round(ratio(colour, "#ffffff"), 2) == on_white
    assert ratio("#ffffff", colour) == ratio(colour, "#ffffff")


def test_agrees_with_coloraide() -> None:
    from coloraide import Color

    random = np.random.default_rng(3).integers(0, 256, (200, 2, 3))
    for a, b in ((hex_of(one), hex_of(other)) for one, other in random):
        theirs = Color(a).contrast(Color(b), method="wcag21")
        assert abs(ratio(a, b) - theirs) < 0.01


def test_threshold_of_either_edition_is_the_same_at_eight_bits() -> None:
    """0.03928 and 0.04045 lie between the same two codes, 10 and 11 of 255."""
    codes = np.arange(256) / 255.0
    assert ((codes > 0.03928) == (codes > 0.04045)).all()
    assert luminance("#0a0a0a") == pytest.approx(10 / 255 / 12.92, abs=1e-6)
