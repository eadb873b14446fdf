"""Offsets pinned sticker by sticker: a list in a row, one entry for each sticker in turn."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.stickers import slots_of

TEXT = """
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A4"
[[patterns]]
file = "pods.png"
[[rows]]
sticker = "half box"
count = 4
offset = {offset}
"""


@pytest.mark.parametrize(
    ("offset", "pins"),
    [
        ('"5mm x 12mm"', [(5.0, 12.0)] * 4),
        ('"centred"', ["centred"] * 4),
        ('"auto"', [None] * 4),
        ('["auto", "centred", "1in x 2mm"]', [None, "centred", (25.4, 2.0), None]),
        ('["1mm x 2mm", "3mm x 4mm"]', [(1.0, 2.0), (3.0, 4.0), None, None]),
        ("[]", [None] * 4),
    ],
)
def test_each_sticker_gets_its_own(offset: str, pins: list[object]) -> None:
    recipe = parse_recipe(TEXT.format(offset=offset), Path("kit.toml"))
    assert [slot.pin for slot in slots_of(recipe)] == pins


@pytest.mark.parametrize("offset", ["5", '"left"', '["auto", 3]', '["5mm"]', '[["auto"]]'])
def test_what_is_no_offset_is_refused(offset: str) -> None:
    with pytest.raises(RecipeError, match="offset"):
        parse_recipe(TEXT.format(offset=offset), Path("kit.toml"))
