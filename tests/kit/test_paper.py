"""Papers by name and by measure."""

from __future__ import annotations

import pytest

from kit.recipe import find_paper
from kit.recipe_error import RecipeError


@pytest.mark.parametrize(
    ("text", "width", "height"),
    [
        ("Letter", 215.9, 279.4),
        ("a4", 210.0, 297.0),
        (" A5 ", 148.0, 210.0),
        ("8.5in x 11in", 215.9, 279.4),
        ("8.5 x 11in", 215.9, 279.4),
        ("11in x 8.5in", 279.4, 215.9),
        ("100mm×148mm", 100.0, 148.0),
    ],
)
def test_papers(text, width, height):
    paper = find_paper(text)
    assert (paper.width_mm, paper.height_mm) == pytest.approx((width, height), abs=1e-9)


@pytest.mark.parametrize(
    "text", ["", "foolscape", "8.5 x 11", "1mm x 100mm", "100in x 3in", "-5in x 5in"]
)
def test_not_a_paper(text):
    with pytest.raises(RecipeError) as caught:
        find_paper(text, where="sheet.paper")
    assert caught.value.where == "sheet.paper"
    assert caught.value.remedy
