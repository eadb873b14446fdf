"""Stickers of the kind "motif": lifted from a pattern, each its own, with border and cut."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from kit.compose.coordinates import coordinates_of
from kit.recipe import Recipe, parse_recipe, with_patterns
from kit.recipe_error import RecipeError
from kit.stickers import slots_of
from palette.choose import Palette

RECIPE = """
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A4"
[[patterns]]
file = "tile.png"
[[patterns]]
file = "bare.png"
[[patterns]]
file = "one.png"
[[rows]]
sticker = "motif"
count = {count}
{keys}
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A tile with a disc over its corner and a bar, and one with nothing on it."""
    made = tmp_path_factory.mktemp("motifs")
    tile = Image.new("RGB", (300, 300), "#f4ecdc")
    pen = ImageDraw.Draw(tile)
    for x in (0, 300):
        for y in (0, 300):
            pen.ellipse((x - 50, y - 50, x + 50, y + 50), fill="#3b5b7a")
    pen.rectangle((120, 140, 200, 160), fill="#a8573f")
    tile.save(made / "tile.png")
    Image.new("RGB", (60, 60), "#f4ecdc").save(made / "bare.png")
    one = Image.new("RGB", (120, 120), "#f4ecdc")
    ImageDraw.Draw(one).ellipse((30, 30, 90, 90), fill="#3b5b7a")
    one.save(made / "one.png")
    return made


def recipe_of(folder: Path, keys: str, count: int = 3) -> Recipe:
    return parse_recipe(RECIPE.format(keys=keys, count=count), folder / "kit.toml")


def test_each_sticker_has_the_next_motif_and_after_the_last_the_first(folder: Path) -> None:
    recipe = recipe_of(folder, 'from = "tile"\nsize = "20mm x 20mm"\ndistance = "1mm"')
    disc, bar, again = slots_of(recipe)
    assert (disc.width_mm, disc.height_mm) == pytest.approx((22.0, 22.0), abs=0.1)
    assert bar.width_mm == pytest.approx(22.0, abs=0.1)
    assert bar.height_mm == pytest.approx(20.0 * 21.0 / 81.0 + 2.0, abs=0.1)
    assert again.made_from == disc.made_from != bar.made_from
    assert disc.drawing is not None
    assert np.array_equal(disc.drawing.on_white[50, 50], (0x3B, 0x5B, 0x7A))
    assert disc.drawing.alpha[0, 0] == 0, "the ground would be printed round the motif"


@pytest.mark.parametrize(
    ("border", "colour"),
    [("", "#ffffff"), ('border = "white"', "#ffffff"), ('border = "#a8573f"', "#a8573f")],
)
def test_the_border_is_white_or_a_colour(folder: Path, border: str, colour: str) -> None:
    slots = slots_of(recipe_of(folder, f'from = "tile"\n{border}'))
    assert {slot.wish for slot in slots} == {colour}


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        (
            'from = "tilt"',
            'rows.1.from: "tilt" is not a pattern of this recipe. Did you mean "tile"? '
            "The patterns: tile, bare, one.",
        ),
        (
            'from = "bare"',
            "rows.1.from: nothing can be lifted from bare: nothing stands out from its ground. "
            "Take motifs from a pattern on a plain ground, or take the row out.",
        ),
        ('from = "tile"\nborder = "3mm"', 'Write "white" or a colour'),
        ('from = "tile"\nborder = "#102030"\nfill = "#ffffff"', "Take one out"),
        ("", 'needs from = "pods"'),
        (
            'from = "tile"\nsize = "4mm x 4mm"\ndistance = "0.2mm"',
            "rows.1.size: motif 2 of tile would be cut 1.4 mm across, smaller than a blade can "
            "follow. Write a larger size or distance, so that it is 3 mm at least, or show fewer "
            "motifs.",
        ),
    ],
)
def test_what_cannot_be_is_told_in_one_line(folder: Path, keys: str, said: str) -> None:
    with pytest.raises(RecipeError) as caught:
        slots_of(recipe_of(folder, keys))
    assert said in caught.value.line()
    assert len(caught.value.line()) <= 300 + len(str(folder))


def test_three_millimetres_across_are_the_least_that_is_cut(folder: Path) -> None:
    """The bar is 81 by 21 px; shown alone, the disc before it may be as small as it likes."""
    wide = 'from = "tile"\nsize = "{}mm x 30mm"\ndistance = "0.2mm"'
    assert len(slots_of(recipe_of(folder, wide.format(10.4)))) == 3
    with pytest.raises(RecipeError, match=r"motif 2 of tile would be cut 2\.9 mm across"):
        slots_of(recipe_of(folder, wide.format(9.7)))
    (alone,) = slots_of(recipe_of(folder, wide.format(9.7), count=1))
    assert alone.made_from.endswith(" motif 1")
    assert alone.upright


def all_over_of(folder: Path, keys: str) -> Recipe:
    text = RECIPE.format(keys='from = "tile"', count=1)
    drawn = f'[[coordinates]]\nkind = "all-over"\n{keys}'
    return parse_recipe(f"{text}\n{drawn}", folder / "kit.toml")


def test_an_all_over_shows_the_motif_that_is_asked_for_on_its_ground(folder: Path) -> None:
    keys = 'from = "tile"\nmotif = 2\ncolours = ["#dfe8d0"]\nsize = "10mm"\nspacing = "1mm"'
    recipe = all_over_of(folder, keys)
    one = coordinates_of(recipe, Palette(()))["all-over"]
    x, y = one.figure.centre_mm
    seen = one.sample(x - 5.0, y - 5.0, 10.0, 10.0, 300.0)
    assert np.array_equal(seen[59, 59], (0xA8, 0x57, 0x3F)), "another motif than was asked for"
    assert np.array_equal(seen[0, 59], (0xDF, 0xE8, 0xD0)), "the artwork's own ground came along"
    assert one.height_mm == pytest.approx(10.0, abs=0.05)


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ('colours = ["#fff"]\nsize = "9mm"', 'needs from = "pods"'),
        ('from = "tilt"\ncolours = ["#fff"]\nsize = "9mm"', "Did you mean"),
        (
            'from = "bare"\ncolours = ["#fff"]\nsize = "9mm"',
            "coordinates.1.from: nothing can be lifted from bare: nothing stands out from its "
            "ground. Take motifs from a pattern on a plain ground, or take the coordinate out.",
        ),
        (
            'from = "tile"\nmotif = 3\ncolours = ["#fff"]\nsize = "9mm"',
            "coordinates.1.motif: tile has 2 motifs, not 3. Write a number from 1 to 2.",
        ),
        (
            'from = "one"\nmotif = 2\ncolours = ["#fff"]\nsize = "9mm"',
            "coordinates.1.motif: one has one motif, not 2. Take it out.",
        ),
        ('from = "tile"\ncolours = ["#fff", "#000"]\nsize = "9mm"', "Give one, the ground."),
        ('from = "tile"\nspacing = "9mm"\ncolours = ["#fff"]\nsize = "9mm"', "leaves 0 mm"),
        ('from = "tile"\nstyle = "grid"\ncolours = ["#fff"]\nsize = "9mm"', "tossed"),
    ],
)
def test_an_all_over_that_cannot_be_is_told_in_one_line(folder: Path, keys: str, said: str) -> None:
    with pytest.raises(RecipeError) as caught:
        coordinates_of(all_over_of(folder, keys), Palette(()))
    assert said in caught.value.line()
    assert len(caught.value.line()) <= 300 + len(str(folder))


def test_keys_of_a_motif_on_another_coordinate_are_refused(folder: Path) -> None:
    text = RECIPE.format(keys='from = "tile"', count=1)
    drawn = '[[coordinates]]\nkind = "check"\nfrom = "tile"\ncolours = ["red", "tan"]\nsize = "9mm"'
    with pytest.raises(RecipeError, match="only an all-over shows a motif"):
        parse_recipe(f"{text}\n{drawn}", folder / "kit.toml")


def test_an_all_over_of_another_seasons_artwork_shows_what_takes_its_tiles_place(
    folder: Path,
) -> None:
    recipe = all_over_of(folder, 'from = "tile"\ncolours = ["#fff"]\nsize = "9mm"')
    other, _ = with_patterns(recipe, [folder / "frost.png"])
    assert other.coordinates[0].source == other.patterns[0].label == "tile"
    fewer, _ = with_patterns(
        all_over_of(folder, 'from = "bare"\ncolours = ["#fff"]\nsize = "9mm"'),
        [folder / "frost.png"],
    )
    assert fewer.coordinates[0].source == "tile"
