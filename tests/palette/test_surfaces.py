"""The list of surfaces: everything that offers surfaces follows it."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kitloom.commands.options import surface_option
from palette.press import Press, open_press
from palette.surfaces import DEFAULT_SURFACE, SURFACES, surfaces_in_words

RECIPE = """
[planner]
box = "40mm x 52mm"
[sheet]
paper = "A5"
[press]
surface = "{}"
[[patterns]]
file = "samples/allotment/tiles/dots.png"
[[rows]]
sticker = "half box"
count = 4
"""


def test_every_surface_has_a_press_of_its_own() -> None:
    presses = [open_press(name) for name in SURFACES]
    assert all(isinstance(press, Press) for press in presses)
    assert len({press.name for press in presses}) == len(SURFACES)
    assert open_press() is open_press(DEFAULT_SURFACE)


@pytest.mark.parametrize("name", SURFACES)
def test_a_recipe_and_an_option_know_every_surface(name: str) -> None:
    assert parse_recipe(RECIPE.format(name), Path("kit.toml")).press.surface == name

    def command() -> None: ...

    (option,) = surface_option(command).__click_params__
    assert name in option.type.choices
    assert f"{name} ({SURFACES[name].like}" in option.help


def test_a_recipe_refuses_another_surface_and_lists_those_it_knows() -> None:
    with pytest.raises(RecipeError, match=r"press\.surface is not one of 'glossy' or 'matt'"):
        parse_recipe(RECIPE.format("silk"), Path("kit.toml"))


def test_the_list_in_words() -> None:
    assert surfaces_in_words() == "glossy (like coated offset, the default) or matt (like uncoated)"
