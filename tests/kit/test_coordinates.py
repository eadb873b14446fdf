"""Coordinates in a recipe: read or refused in one line, laid middle on middle, kept by a lock."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from kit.compose import Kit, Pattern, compose
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.render import render_sheet
from palette.choose import Palette, Role, Swatch, bins_of, choose
from palette.errors import KitloomError
from palette.space import hex_to_lab
from patterns.plane import Plane
from tests.conftest import dot_tile

RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "A5"
dpi = 254
[[patterns]]
file = "dots.png"
repeat = "16mm"
{coordinates}
{rows}
"""
GINGHAM = """\
[[coordinates]]
kind = "gingham"
colours = ["#f6f0e2", "#5c7854"]
size = "7mm"
"""
ROW = """\
[[rows]]
sticker = "full box"
count = {count}
fill = {fill}
"""


def text_of(coordinates: str = GINGHAM, rows: str = ROW.format(count=1, fill='"gingham"')) -> str:
    return RECIPE.format(coordinates=coordinates, rows=rows)


def palette() -> Palette:
    return choose({"dots": bins_of(dot_tile(64))})


def composed(text: str) -> Kit:
    pattern = Pattern("dots", Plane(dot_tile(64), 16.0), np.array([80.0, 0.0, 0.0]))
    return compose(parse_recipe(text, Path("kit.toml")), [pattern], palette())


def printed(kit: Kit, number: int = 0) -> np.ndarray:
    """A sticker's pixels, whole ones inside its cut line."""
    box = kit.sheets[0].placements[number].box
    raster = render_sheet(kit.sheets[0], kit.planes).astype(np.int16)
    rows = slice(round(box.y_mm * 10) + 2, round(box.bottom_mm * 10) - 2)
    return raster[rows, round(box.x_mm * 10) + 2 : round(box.right_mm * 10) - 2]


def test_a_row_is_filled_with_it_and_both_sides_match() -> None:
    """Else a stripe is cut to a sliver on one side of each box, and not on the other."""
    kit = composed(text_of())
    shown = printed(kit)
    assert np.abs(shown - shown[:, ::-1]).max() <= 40  # a box may lie half a pixel off the raster
    assert np.abs(shown - shown[::-1]).max() <= 40
    colours = {tuple(one) for one in shown.reshape(-1, 3).tolist()}
    assert {(0xF6, 0xF0, 0xE2), (0x5C, 0x78, 0x54)} <= colours


@pytest.mark.parametrize("angle", [0, 90, 37])
def test_its_middle_lies_on_the_stickers_whatever_its_turn(angle: int) -> None:
    row = ROW.format(count=1, fill='"gingham"') + f'turn = "{angle}deg"\n'
    shown = printed(composed(text_of(rows=row)))
    turned_about = shown[::-1, ::-1]
    assert np.abs(shown - turned_about).mean() < 6.0


def test_a_pinned_offset_stays() -> None:
    row = ROW.format(count=2, fill='"gingham"') + 'offset = "1.5mm x 2mm"\n'
    assert composed(text_of(rows=row)).windows.offsets_mm == ((1.5, 2.0), (1.5, 2.0))


def test_it_may_stand_beside_a_tile_in_a_list_and_on_a_panel() -> None:
    rows = ROW.format(count=3, fill='["gingham", "dots", "#3b5b7a"]') + (
        '[[rows]]\nsticker = "full box"\ncount = 1\nfill = "dots"\npanel = "gingham"\n'
    )
    kit = composed(text_of(rows=rows))
    assert [one.fill for one in kit.choices] == ["gingham", "dots", "#3b5b7a", "dots"]
    assert kit.choices[3].panel == "gingham"
    assert kit.windows.offsets_mm[0] is not None
    assert kit.windows.panel_offsets_mm[3] is not None
    assert list(kit.coordinates) == ["gingham"]


def test_patterns_and_palette_leave_coordinates_to_those_who_name_them() -> None:
    rows = ROW.format(count=3, fill='"patterns"') + ROW.format(count=3, fill='"palette"')
    assert "gingham" not in {one.fill for one in composed(text_of(rows=rows)).choices}


def test_colours_are_named_by_the_palette_before_css() -> None:
    swatch = palette().swatches[0]
    coordinates = GINGHAM.replace('"#f6f0e2"', f'"{swatch.name}"').replace('"#5c7854"', '"Navy"')
    made = composed(text_of(coordinates)).coordinates["gingham"]
    assert made.colours == (swatch.hex, "#000080")


def test_a_role_in_the_palette_is_its_main_colour_of_that_role() -> None:
    """So that the same recipe dresses another season's artwork."""
    swatches = palette().swatches
    ground = next(one.hex for one in swatches if one.role == "ground")
    made = composed(text_of(GINGHAM.replace('"#f6f0e2"', '"ground"'))).coordinates["gingham"]
    assert made.colours == (ground, "#5c7854")


def test_a_role_that_no_colour_has_is_given_to_the_nearest() -> None:
    """Else a recipe drafted from one set fails with every set of other colours."""
    swatches = palette().swatches
    own = {str(one.role) for one in swatches}
    gone = next(role for role in ("deep", "mid", "neutral") if role not in own)
    other = GINGHAM.replace('"#f6f0e2", "#5c7854"', f'"ground", "{gone}"')
    ground, found = composed(text_of(other)).coordinates["gingham"].colours
    assert found != ground, "the pattern could not be seen"
    assert found in {one.hex for one in swatches}


@pytest.mark.parametrize(
    ("role", "found"),
    [("deep", "#402020"), ("light", "#fff0d0"), ("mid", "#808080"), ("accent", "#c02010")],
)
def test_what_stands_in_for_a_role_is_the_likest(role: str, found: str) -> None:
    hexes = ("#402020", "#808080", "#c02010", "#fff0d0")
    swatches = [
        Swatch(text, text, tuple(map(float, hex_to_lab(text))), 0.25, Role.GROUND, {})
        for text in hexes
    ]
    assert Palette(tuple(swatches)).stand_in(Role(role), ()) == found
    assert Palette(tuple(swatches)).stand_in(Role(role), hexes) is None


def test_a_number_behind_a_role_is_the_next_colour_of_that_role() -> None:
    """Else last month's red, written as a hex, stays in next month's stickers."""
    hexes = {"#402020": "deep", "#808080": "mid", "#c02010": "mid", "#fff0d0": "ground"}
    swatches = [
        Swatch(text, text, tuple(map(float, hex_to_lab(text))), 0.25, Role(role), {})
        for text, role in hexes.items()
    ]
    assert Palette(tuple(swatches)).role_colours == {
        "deep": "#402020",
        "mid": "#808080",
        "mid 2": "#c02010",
        "ground": "#fff0d0",
    }
    other = GINGHAM.replace('"#f6f0e2", "#5c7854"', '"ground", "mid 9"')
    ground, found = composed(text_of(other)).coordinates["gingham"].colours
    assert found != ground


def test_two_of_one_kind_have_names_of_their_own() -> None:
    named = GINGHAM + 'name = "small"\n' + GINGHAM.replace("7mm", "14mm") + 'name = "large"\n'
    kit = composed(text_of(named, ROW.format(count=2, fill='["small", "large"]')))
    assert [one.repeat_mm for one in kit.coordinates.values()] == [7.0, 14.0]


def changed(**keys: str) -> str:
    lines = dict(line.split(" = ", 1) for line in GINGHAM.splitlines()[1:])
    lines |= keys
    return "[[coordinates]]\n" + "".join(f"{key} = {value}\n" for key, value in lines.items())


TARTAN = {"kind": '"tartan"', "colours": '["red", "navy"]'}
FAULTS = [
    (changed(kind='"gingam"'), 'Did you mean "gingham"?'),
    (changed(kind='"paisley"'), "The kinds: stripe, gingham, windowpane, tartan, dots"),
    (changed(kind='"stripe"', style='"odd"'), 'style: "odd" is not a style of kind "stripe"'),
    (changed(kind='"stripe"', style='"odd"'), "Choose from even, ticking, awning."),
    (changed(style='"even"'), 'style: "even" is not a style of kind "gingham"'),
    (changed(**TARTAN, sett='"R4 N4"', style='"even"'), '"even" is not a style of kind "tartan"'),
    (changed(sett='"B4 W2"'), "sett has no effect: only a tartan has a sett"),
    (changed(colours='["red"]'), 'colours: "gingham" does not take 1 colours'),
    (changed(colours='["red", "reed"]'), '"reed" is not a colour. Did you mean'),
    (changed(colours='["red", "#12"]'), '"#12" is not a colour'),
    (changed(size='"0.3mm"'), "size is too small: its finest line would be 0.15 mm"),
    (changed(size='"0.3mm"'), "Write at least 0.4 mm"),
    (changed(size='"0mm"'), "must be more than 0"),
    (changed(kind='"grid"', size='"1.7mm"'), "Write at least 1.8 mm"),
    (changed(**TARTAN), "sett is empty"),
    (changed(**TARTAN, sett='"R24 N"'), 'sett: "N" is not a stripe'),
    (changed(**TARTAN, sett='"R24 N4 G2"'), "colours: has 2 colours, and its sett 3"),
    (changed(**TARTAN, sett='"R/24 N4"'), "does not have its two pivots at its ends"),
    (changed(scale='"2mm"'), 'there is no key "coordinates.1.scale"'),
    (GINGHAM + GINGHAM, 'a coordinate is called "gingham", and so is another fill'),
    (changed(name='"dots"'), 'a coordinate is called "dots", and so is another fill'),
]


@pytest.mark.parametrize(("coordinates", "said"), FAULTS)
def test_what_cannot_be_drawn_is_refused_in_one_line(coordinates: str, said: str) -> None:
    with pytest.raises(KitloomError) as caught:
        composed(text_of(coordinates))
    line = caught.value.line()
    assert said in line
    assert "\n" not in line
    assert len(line) <= 300
    assert caught.value.remedy


def test_the_line_at_fault_is_quoted() -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe(text_of(changed(**TARTAN, sett='"R24 N"')), Path("kit.toml"))
    assert caught.value.where == "kit.toml, line 13"
    assert caught.value.why == 'line: sett = "R24 N"'


def test_a_fill_nearly_named_like_it_is_answered_with_it() -> None:
    with pytest.raises(RecipeError) as caught:
        composed(text_of(rows=ROW.format(count=1, fill='"gingam"')))
    assert 'Did you mean "gingham"?' in caught.value.line()
