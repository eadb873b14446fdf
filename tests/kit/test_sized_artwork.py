"""Artwork turned and sized inside single stickers: read, refused, drawn, and kept by a lock."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from kit.compose import Lock, LockedSticker, Pattern, compose, lock_text
from kit.fills import Choice, choose_windows
from kit.kinds import KINDS
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.render import render_sheet
from kit.stickers import Slot, slots_of
from palette.choose import bins_of, choose
from patterns.coordinates import Coordinate
from patterns.plane import Plane
from tests.conftest import dot_tile

TEXT = """\
[planner]
box = "20mm x 20mm"
[sheet]
paper = "A5"
dpi = 254
[[patterns]]
file = "dots.png"
repeat = "16mm"
[[rows]]
sticker = "full box"
count = 3
fill = "dots"
{keys}
"""
GINGHAM = """\
[[coordinates]]
kind = "gingham"
colours = ["#f6f0e2", "#5c7854"]
size = "7mm"
"""
KIT = Path("kit.toml")


def composed(keys: str, keep: Lock | None = None):
    pattern = Pattern("dots", Plane(dot_tile(64), 16.0), np.array([80.0, 0.0, 0.0]))
    palette = choose({"dots": bins_of(dot_tile(64))})
    return compose(parse_recipe(TEXT.format(keys=keys), KIT), [pattern], palette, keep)


def printed(kit, number: int) -> np.ndarray:
    """A sticker's pixels, whole ones inside its cut line."""
    box = kit.sheets[0].placements[number].box
    left, top = int(np.ceil(box.x_mm * 10)), int(np.ceil(box.y_mm * 10))
    right, bottom = int(box.right_mm * 10), int(box.bottom_mm * 10)
    return render_sheet(kit.sheets[0], kit.planes)[top:bottom, left:right].astype(int)


@pytest.mark.parametrize(
    ("keys", "angles", "scales"),
    [
        ("", [0.0] * 3, [1.0] * 3),
        ("turn = 30\nscale = 2", [30.0] * 3, [2.0] * 3),
        ('turn = [0, "-90deg", 12.5]\nscale = [1, 0.5, 1.25]', [0, 270, 12.5], [1, 0.5, 1.25]),
        ("turn = [45]\nscale = [1.5]", [45.0, 0.0, 0.0], [1.5, 1.0, 1.0]),
    ],
)
def test_each_sticker_has_its_own_turn_and_size(keys, angles, scales) -> None:
    slots = slots_of(parse_recipe(TEXT.format(keys=keys), KIT))
    assert [slot.angle_deg for slot in slots] == angles
    assert [slot.scale for slot in slots] == scales


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ("scale = 0", "0.1 to 10"),
        ("scale = [1, 11]", "0.1 to 10"),
        ("scale = true", "it must be a number"),
        ('scale = "large"', "it must be a number"),
        ("scale = [[1]]", "it must be a number"),
        ("scale = nan", "it must be a number"),
        ("turn = [0, 361]", "360"),
        ('turn = ["left"]', "it must be an angle"),
    ],
)
def test_what_is_no_turn_or_size_is_refused_in_its_line(keys: str, words: str) -> None:
    with pytest.raises(RecipeError) as told:
        parse_recipe(TEXT.format(keys=keys), KIT)
    assert words in told.value.line()
    assert "line 13" in told.value.line()
    assert len(told.value.line()) <= 300


def test_artwork_twice_as_large_shows_half_as_many_repeats() -> None:
    kit = composed('scale = [1, 2]\noffset = ["0mm x 0mm", "0mm x 0mm"]')
    fills = [one.fill for one in kit.sheets[0].placements]
    assert [one.repeat_mm[0] for one in fills[:2]] == [16.0, 32.0]
    plain, large = printed(kit, 0), printed(kit, 1)
    # each second pixel of what is twice as large shows the same place of the artwork
    assert np.abs(large[1::2, 1::2][:90, :90] - plain[:90, :90]).mean() < 6.0
    assert np.abs(large[:90, :90] - plain[:90, :90]).mean() > 15.0


@pytest.mark.parametrize(("angle", "scale"), [(0.0, 0.7), (37.0, 1.6)])
def test_a_pin_is_the_very_number_that_was_asked_for(angle: float, scale: float) -> None:
    """Else a kept lock would give another sheet."""
    pin = (5.123456789, 12.3)
    slot = Slot(KINDS["full box"], 0, 8.0, 8.0, "dots", pin=pin, angle_deg=angle, scale=scale)
    planes = {"dots": Plane(dot_tile(64), 16.0)}
    made = choose_windows([slot], [Choice("dots")], planes, corner_radius_mm=1.0, variety=0.5)
    assert made.offsets_mm == (pin,)


def test_a_drawn_pattern_at_a_size_is_its_own_under_smaller_pixels() -> None:
    plain = composed(GINGHAM).coordinates["gingham"]
    figure = plain.figure
    for turn in (0.0, 90.0, 31.0):
        one = Coordinate(figure, plain.colours, turn, 2.0).sample(3.0, -4.0, 20.0, 12.0, 127.0)
        other = Coordinate(figure, plain.colours, turn).sample(1.5, -2.0, 10.0, 6.0, 254.0)
        assert np.array_equal(one, other)
    assert Coordinate(figure, plain.colours, 0.0, 2.0).repeat_mm == 2.0 * plain.repeat_mm


ROW = '[[rows]]\nsticker = "full box"\ncount = 1\nfill = "gingham"\nscale = 0.1\n'


def test_sizes_that_no_printer_holds_are_refused() -> None:
    text = TEXT.replace('"16mm"', '"2mm"').format(keys="scale = 0.1")
    pattern = Pattern("dots", Plane(dot_tile(64), 2.0), np.array([80.0, 0.0, 0.0]))
    palette = choose({"dots": bins_of(dot_tile(64))})
    with pytest.raises(RecipeError, match="one repeat of dots"):
        compose(parse_recipe(text, KIT), [pattern], palette)
    with pytest.raises(RecipeError, match="finest line would be"):
        composed("scale = 1\n" + GINGHAM.replace('"7mm"', '"0.8mm"') + ROW)


def test_a_lock_keeps_a_window_as_long_as_its_size_is_the_same() -> None:
    slot = composed("scale = 2").slots[0]
    sticker = LockedSticker(
        *(0, 0, "dots", "full box", slot.width_mm, slot.height_mm, "dots", None, (1.0, 2.0)),
        scale=2.0,
    )
    lock = Lock(1, "", "", (), (), (sticker,))
    assert '"scale": 2.0' in lock_text(lock)
    assert "scale" not in lock_text(Lock(1, "", "", (), (), (replace(sticker, scale=1.0),)))
    assert composed("scale = 2", lock).windows.offsets_mm[0] == (1.0, 2.0)
    assert composed("scale = 1.5", lock).windows.offsets_mm[0] != (1.0, 2.0)
