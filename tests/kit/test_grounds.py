"""Bands, frames and lines round panels: where each colour lies on the printed raster."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from kit.compose import Kit, Pattern, compose
from kit.recipe import parse_recipe
from kit.render import render_sheet
from palette.choose import bins_of, choose
from palette.space import parse_hex
from patterns.plane import Plane
from tests.conftest import dot_tile

GROUND, BAND, FRAME = "#2f4a63", "#c4503f", "#5c7854"
RECIPE = """\
[planner]
box = "30mm x 40mm"
[sheet]
paper = "A5"
dpi = 254
gap = "4mm"
bleed = "1mm"
layout = "{layout}"
[[patterns]]
file = "dots.png"
repeat = "16mm"
[[rows]]
sticker = "full box"
count = {count}
{keys}
"""


def composed(keys: str, *, count: int = 1, layout: str = "rows") -> Kit:
    dots = dot_tile(64)
    text = RECIPE.format(keys=keys, count=count, layout=layout)
    pattern = Pattern("dots", Plane(dots, 16.0), np.array([80.0, 0.0, 0.0]))
    return compose(parse_recipe(text, Path("kit.toml")), [pattern], choose({"dots": bins_of(dots)}))


def colour_at(kit: Kit, x_mm: float, y_mm: float, number: int = 0) -> tuple[int, ...]:
    """The colour at a place of a sticker, from its box's corner, as it is not turned."""
    box = kit.sheets[0].placements[number].box
    raster = render_sheet(kit.sheets[0], kit.planes)
    row, column = (round(10.0 * mm) for mm in (box.y_mm + y_mm, box.x_mm + x_mm))
    return tuple(raster[row, column])


def test_a_band_runs_along_the_foot_and_into_the_bleed() -> None:
    """Else a cut that misses a little shows the fill, or paper, beside the band."""
    kit = composed(f'fill = "{GROUND}"\nband = "{BAND}"\nband_height = "12mm"\n')
    ground, band = (tuple(parse_hex(one)) for one in (GROUND, BAND))
    for x, y in ((15.0, 27.5), (0.2, 27.5), (15.0, 0.2)):
        assert colour_at(kit, x, y) == ground, (x, y)
    for x, y in ((15.0, 28.5), (15.0, 40.7), (-0.7, 39.0), (30.7, 39.0)):
        assert colour_at(kit, x, y) == band, (x, y)
    assert colour_at(kit, 15.0, 41.5) == (255, 255, 255)


def test_the_band_of_a_sticker_on_its_side_lies_along_its_own_foot() -> None:
    keys = f'fill = "{GROUND}"\nband = "{BAND}"\nsize = "50mm x 125mm"\n'
    kit = composed(keys, count=3, layout="pack")
    lying = [
        (number, placed)
        for number, placed in enumerate(kit.sheets[0].placements)
        if placed.box.width_mm > placed.box.height_mm
    ]
    assert lying, "no sticker lies on its side"
    number, placed = lying[0]
    band = tuple(parse_hex(BAND))
    middle = placed.box.height_mm / 2.0
    # a quarter turn clockwise has the foot on the left
    assert colour_at(kit, 2.0, middle, number) == band
    assert colour_at(kit, placed.box.width_mm - 2.0, middle, number) == tuple(parse_hex(GROUND))


def test_a_frame_lies_between_artwork_and_panel() -> None:
    keys = f'fill = "dots"\npanel = "white"\nborder = "6mm"\nframe = "{FRAME}"\n'
    kit = composed(keys + 'frame_width = "2mm"\n')
    assert colour_at(kit, 5.0, 20.0) == tuple(parse_hex(FRAME))
    assert colour_at(kit, 7.0, 20.0) == (255, 255, 255)
    assert colour_at(kit, 15.0, 35.0) == tuple(parse_hex(FRAME))
    assert colour_at(kit, 3.5, 20.0) != tuple(parse_hex(FRAME))


@pytest.mark.parametrize(
    ("keys", "has_line"),
    [
        ('fill = "#fdf8f2"\n', True),  # a panel whose edge nobody would see
        (f'fill = "{GROUND}"\n', False),
        (f'fill = "{GROUND}"\npanel_line = true\n', True),
        ('fill = "#fdf8f2"\npanel_line = false\n', False),
        (f'fill = "#fdf8f2"\nframe = "{FRAME}"\n', False),  # its frame shows where it ends
        (f'fill = "{GROUND}"\nframe = "#fffdf8"\n', True),
    ],
)
def test_a_panel_that_its_ground_would_hide_has_a_thin_line(keys: str, has_line: bool) -> None:
    """Else a box to write on with white artwork round it looks as if it had no box."""
    (placed,) = composed(keys + 'panel = "white"\n').sheets[0].placements
    assert (placed.edge is not None) == has_line


def test_artwork_on_a_white_ground_hides_a_panel_and_dark_artwork_does_not() -> None:
    """Dots cover about a fifth of the tile; the rest is what the panel lies on."""
    dots = dot_tile(64)
    white = np.where(np.abs(dots.astype(int) - dots[0, 0]).sum(-1, keepdims=True) < 30, 255, dots)
    text = RECIPE.format(keys='fill = "dots"\npanel = "white"\n', count=1, layout="rows")
    recipe, palette = parse_recipe(text, Path("kit.toml")), choose({"dots": bins_of(dots)})

    def edge(tile: np.ndarray):
        plane = Plane(tile.astype(np.uint8), 16.0)
        pattern = Pattern("dots", plane, np.array([80.0, 0.0, 0.0]))
        return compose(recipe, [pattern], palette).sheets[0].placements[0].edge

    assert edge(white) is not None
    assert edge(255 - white) is None
