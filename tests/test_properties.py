"""What holds for every plane, lattice, layout, recipe, length, tolerance and lock that is drawn."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from fractions import Fraction
from itertools import combinations, product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from kit.compose import Lock, lock_text
from kit.compose.lock import parse_lock
from kit.layout import Layout
from kit.layout.ground import Item
from kit.layout.packing import pack
from kit.layout.rows import rows
from kit.recipe import parse_recipe
from kit.recipe_error import RecipeError
from kit.registration import Registration, measure_tolerance
from kit.registration.tolerance import largest_shift_mm
from kit.shapes import Rect
from palette.errors import KitloomError, is_unshown
from patterns.plane import HALF_BRICK, HALF_DROP, Lattice, Plane
from patterns.plane.linear_light import to_light
from patterns.units import MM_PER_INCH, LengthError, parse_length, parse_size
from tests import strategies as draw

WHERE = Path("kit.toml")
Pixels = np.ndarray

# --- the plane ------------------------------------------------------------------------------------


def codes_apart(a: Pixels, b: Pixels) -> int:
    return int(np.abs(a.astype(int) - b).max())


@settings(max_examples=60)
@given(
    draw.tiles, draw.lattices, st.floats(0.5, 40), st.floats(-300, 300), st.floats(-300, 300),
    st.integers(-3, 3), st.integers(-3, 3), st.floats(72, 600),
)  # fmt: skip
def test_the_plane_is_the_same_one_step_of_its_lattice_on(
    tile: Pixels, lattice: Lattice, repeat: float, x: float, y: float,
    across: int, down: int, dpi: float,
) -> None:  # fmt: skip
    """A step right is a repeat and the drop, a step down a height and the slide (textile trade)."""
    plane = Plane(tile, repeat, lattice)
    dx = across * repeat + down * lattice.slide * repeat
    dy = down * plane.height_mm + across * lattice.drop * plane.height_mm
    here = plane.sample(x, y, 1, 1, dpi, shape=(7, 9))
    there = plane.sample(x + dx, y + dy, 1, 1, dpi, shape=(7, 9))
    # a hundred thousandth of a tile pixel, from floating point, on an edge of full contrast
    assert codes_apart(here, there) <= 1


@settings(max_examples=60)
@given(
    draw.tiles, draw.lattices, st.floats(0.5, 40), st.floats(-99, 99), st.floats(72, 600),
    st.integers(0, 9), st.integers(0, 9),
)  # fmt: skip
def test_a_window_is_a_part_of_a_larger_one(
    tile: Pixels, lattice: Lattice, repeat: float, x: float, dpi: float, right: int, below: int
) -> None:
    plane, pixel_mm = Plane(tile, repeat, lattice), MM_PER_INCH / dpi
    large = plane.sample(x, -x, 1, 1, dpi, shape=(16, 17))
    small = plane.sample(x + right * pixel_mm, -x + below * pixel_mm, 1, 1, dpi, shape=(7, 8))
    assert codes_apart(large[below : below + 7, right : right + 8], small) <= 1


@settings(max_examples=60)
@given(draw.tiles, draw.lattices, st.integers(2, 24), st.integers(2, 24))
def test_the_mean_light_stays(
    tile: Pixels, lattice: Lattice, rows_px: int, columns_px: int
) -> None:
    """Over one tile, of which every part is shown once; in linear light, as paper reflects it.

    Shrunk only, where each printer pixel is a mean: enlarging interpolates, which keeps no means.
    """
    rows_px, columns_px = min(rows_px, tile.shape[0]), min(columns_px, tile.shape[1])
    shown = Plane(tile, 10.0, lattice).one_tile(rows_px, columns_px)
    before, after = (to_light(one).mean(axis=(0, 1)) for one in (tile, shown))
    step = float(to_light(np.uint8([[[255]]]))[0, 0, 0] - to_light(np.uint8([[[254]]]))[0, 0, 0])
    assert np.abs(before - after).max() <= step  # rounding to 8 bits, where its steps are largest


# --- the lattice ----------------------------------------------------------------------------------

sides = st.fractions(Fraction(1, 2), 60, max_denominator=12)


def corners(lattice: Lattice, width: Fraction, height: Fraction, reach: Fraction) -> set[Any]:
    """The tiles' corners within a reach of the origin, exactly."""
    drop, slide = Fraction(lattice.drop), Fraction(lattice.slide)
    most = int(2 * reach / min(width, height)) + 2
    found = (
        (i * width + (j * slide % 1) * width, j * height + (i * drop % 1) * height)
        for i, j in product(range(-most, most + 1), repeat=2)
    )
    return {point for point in found if max(abs(v) for v in point) <= reach}


@settings(max_examples=50)
@given(sides, sides)
def test_half_drop_is_half_brick_of_twice_the_width_and_half_the_height(
    width: Fraction, height: Fraction
) -> None:
    assume(max(width, height) < 8 * min(width, height))
    reach = 2 * max(width, height)
    dropped = corners(HALF_DROP, width, height, reach)
    assert dropped == corners(HALF_BRICK, 2 * width, height / 2, reach)
    assert dropped


def both_pictures(tile: Pixels, x: float, printer_pixels: float) -> tuple[Pixels, Pixels]:
    """Return a window of a half-drop and of its half-brick, at printer pixels to a tile's."""
    half = tile.shape[0] // 2
    wide = np.concatenate([tile, np.roll(tile, half, axis=0)], axis=1)[:half]
    dropped, slid = Plane(tile, 10.0, HALF_DROP), Plane(wide, 20.0, HALF_BRICK)
    dpi = dropped.effective_dpi * printer_pixels
    dropped, slid = (one.sample(x, -x, 1, 1, dpi, shape=(20, 30)) for one in (dropped, slid))
    return dropped, slid


even_tiles = draw.tiles.filter(lambda tile: len(tile) > 1).map(lambda t: t[: len(t) // 2 * 2])


@settings(max_examples=40)
@given(even_tiles, st.floats(-50, 50), st.floats(0.2, 0.95))
def test_and_so_are_the_pictures(tile: Pixels, x: float, shrunk: float) -> None:
    """Made smaller, where all is a mean."""
    assert codes_apart(*both_pictures(tile, x, shrunk)) <= 1


@settings(max_examples=40)
@given(even_tiles, st.floats(-50, 50), st.floats(1.05, 5))
def test_and_the_pictures_made_larger(tile: Pixels, x: float, enlarged: float) -> None:
    """A half-drop goes down its columns first, a half-brick along its rows; it is not seen."""
    assert codes_apart(*both_pictures(tile, x, enlarged)) <= 1


# --- the layout -----------------------------------------------------------------------------------


def check_layout(
    layout: Layout, items: list[Item], usable: Rect, gap: float, outs: list[Rect]
) -> None:
    assert sorted(spot.index for sheet in layout.sheets for spot in sheet) == [*range(len(items))]
    for sheet in layout.sheets:
        for spot in sheet:
            item = items[spot.index]
            size = (item.width_mm, item.height_mm)[:: -1 if spot.on_its_side else 1]
            assert (spot.box.width_mm, spot.box.height_mm) == size
            assert item.may_turn or not spot.on_its_side
            assert usable.holds(spot.box, slack_mm=1e-6)
            assert not any(spot.box.overlaps(out, slack_mm=1e-6) for out in outs)
        for a, b in combinations([spot.box for spot in sheet], 2):
            across = max(a.x_mm - b.right_mm, b.x_mm - a.right_mm)
            down = max(a.y_mm - b.bottom_mm, b.y_mm - a.bottom_mm)
            assert max(across, down) >= gap - 1e-6


@settings(max_examples=80)
@given(draw.items, draw.usable_areas, draw.gaps, draw.keep_outs, st.sampled_from([rows, pack]))
def test_every_sticker_lies_once_apart_and_inside(
    items: list[Item], usable: Rect, gap: float, outs: list[Rect], lay: Any
) -> None:
    try:
        layout = lay(items, usable, gap, outs)
    except RecipeError as error:
        told = error.line()
    else:
        check_layout(layout, items, usable, gap, outs)
        assert layout == lay(list(items), usable, gap, list(outs))
        return
    assert "does not fit" in told
    # not without cause: where nothing is kept out, what fits by itself is always laid
    assert outs or any(not fits(item, usable) for item in items)


def fits(item: Item, usable: Rect) -> bool:
    return item.width_mm <= usable.width_mm and item.height_mm <= usable.height_mm


def refusals(read: Callable[[], object]) -> list[KitloomError]:
    """Return the faults that something is refused with; none where it is read."""
    try:
        read()
    except RecipeError as error:
        return [error, *error.also]
    return []


def can_be_shown(line: str) -> bool:
    return not any(is_unshown(character) for character in line)


# --- the recipe -----------------------------------------------------------------------------------


@settings(max_examples=80)
@given(draw.recipe_tables)
def test_a_sound_recipe_is_read_and_reads_the_same_again(tables: dict[str, Any]) -> None:
    recipe = parse_recipe(draw.toml(tables), WHERE)
    assert recipe == parse_recipe(draw.toml(tables), WHERE)
    assert len(recipe.rows) == len(tables["rows"])
    assert [str(part.file) for part in recipe.patterns] == [
        part["file"] for part in tables["patterns"]
    ]
    box = parse_size(tables["planner"]["box"])
    assert recipe.planner.box == pytest.approx(box)


@settings(max_examples=120)
@given(draw.broken_tables())
def test_any_recipe_is_read_or_refused_with_its_place(tables: dict[str, Any]) -> None:
    text = draw.toml(tables)
    for fault in refusals(lambda: parse_recipe(text, WHERE)):
        assert fault.where.startswith("kit.toml")
        assert can_be_shown(fault.line())
        assert fault.remedy
        if ", line " in fault.where:
            assert 1 <= int(fault.where.rpartition(" ")[2]) <= text.count("\n") + 1


@settings(max_examples=150)
@given(st.text(st.characters(codec="utf-8"), max_size=60))
def test_any_text_is_no_recipe(text: str) -> None:
    with pytest.raises(RecipeError) as caught:
        parse_recipe(text, WHERE)
    assert can_be_shown(caught.value.line())


# --- units ----------------------------------------------------------------------------------------


def test_an_inch_and_a_half() -> None:
    assert parse_length("1.5in") == pytest.approx(38.1)


@settings(max_examples=100)
@given(draw.numbers, draw.units)
def test_a_length_is_its_number_times_its_unit(number: str, unit: str) -> None:
    in_mm = {
        "mm": Fraction(1),
        "cm": Fraction(10),
        "in": Fraction(127, 5),
        "pt": Fraction(127, 360),
    }
    value = parse_length(f" {number} {unit} ")
    assert value == pytest.approx(float(Fraction(number) * in_mm[unit]), abs=1e-12)
    assert math.isclose(parse_length(f"{value:.9f}mm"), value, abs_tol=1e-9)


@settings(max_examples=60)
@given(draw.lengths, draw.lengths)
def test_a_size_is_two_lengths(wide: str, high: str) -> None:
    assert parse_size(f"{wide} x {high}") == (parse_length(wide), parse_length(high))


NO_LENGTHS = st.sampled_from(
    ["", " ", "mm", "nan mm", "inf in", "1e3mm", "1mm2mm", "1 m", "1,500mm"]
)


@settings(max_examples=100)
@given(draw.numbers | NO_LENGTHS | st.builds("{}{}".format, draw.lengths, draw.lengths))
def test_what_has_no_unit_or_two_is_no_length(text: str) -> None:
    with pytest.raises(LengthError):
        parse_length(text)


@settings(max_examples=60)
@given(draw.numbers, draw.units)
def test_no_recipe_takes_a_length_below_nothing(number: str, unit: str) -> None:
    assume(Fraction(number) > 0)
    text = draw.toml(
        {
            "planner": {"box": "30mm x 40mm"},
            "sheet": {"paper": "A4", "gap": f"-{number}{unit}"},
            "patterns": [{"file": "a.png"}],
            "rows": [{"sticker": "dot", "count": 1}],
        }
    )
    with pytest.raises(RecipeError, match="gap"):
        parse_recipe(text, WHERE)


# --- the tolerance --------------------------------------------------------------------------------

registrations = st.builds(
    Registration, st.floats(0, 1.5), st.floats(0, 1.0), st.sampled_from([0.0, 0.001, 0.004])
)


def moves(box: Rect, r: Registration, centre: tuple[float, float]) -> np.ndarray:
    """How far the box's corners move along x and y for a grid of all errors within bounds."""
    points = np.array(box.corners()) - centre
    found = []
    for turn, scale in product(np.linspace(-r.turn_deg, r.turn_deg, 21), (-r.scale, 0.0, r.scale)):
        angle = math.radians(turn)
        turned = points @ np.array(
            [[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]]
        )
        found.append(turned * (1.0 + scale) - points)
    return np.abs(np.array(found)) + r.shift_mm


@settings(max_examples=80)
@given(registrations, draw.boxes, st.floats(0.0, 6.0))
def test_white_shows_exactly_where_the_bleed_is_less_than_the_worst_corner(
    registration: Registration, box: Rect, bleed: float
) -> None:
    centre = (105.0, 148.5)
    needed = largest_shift_mm(registration, [box], centre)
    worst = float(moves(box, registration, centre).max())
    # the grid holds the bounds themselves; between its steps of turning nothing is larger by more
    assert worst <= needed + 1e-9
    assert needed - worst < 0.02
    assume(abs(bleed - needed) > 0.02)
    told = measure_tolerance(registration, [box], [box.grow(bleed)], centre)
    assert told.bleed_ok is bool(worst < bleed)


# --- the lock -------------------------------------------------------------------------------------


@settings(max_examples=60)
@given(draw.locks)
def test_a_lock_reads_back_as_it_was_written(lock: Lock) -> None:
    assert parse_lock(lock_text(lock), where="kit.lock.json") == lock


@settings(max_examples=120)
@given(draw.locks, st.data())
def test_any_lock_is_read_or_refused(lock: Lock, data: st.DataObject) -> None:
    text = lock_text(lock)
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 9)))
    broken = text[:start] + data.draw(st.text(max_size=5)) + text[end:]
    for error in refusals(lambda: parse_lock(broken, where="kit.lock.json")):
        assert can_be_shown(error.line())
        assert error.remedy


@given(st.sampled_from(["repeat_mm", "lattice", "offset"]), st.sampled_from(["NaN", "Infinity"]))
def test_a_lock_decides_nothing_out_of_bounds(key: str, value: str) -> None:
    sticker = {"row": 0, "place": 0, "wish": "a", "kind": "a", "width_mm": 1, "height_mm": 1,
               "fill": "a", "panel": None, "offset_mm": [0, 0]}  # fmt: skip
    pattern = {"name": "a", "file": "a", "sha256": "a", "repeat_mm": 9, "lattice": "straight"}
    text = json.dumps(
        {"lock": 1, "kitloom": "0", "recipe_sha256": "a", "patterns": [pattern], "palette": [],
         "stickers": [sticker]}
    )  # fmt: skip
    parse_lock(text, where="kit.lock.json")
    given_, broken = {
        "repeat_mm": ('"repeat_mm": 9', f'"repeat_mm": {value}'),
        "lattice": ('"straight"', f'"{value}"'),
        "offset": ("[0, 0]", f"[0, {value}]"),
    }[key]
    with pytest.raises(RecipeError):
        parse_lock(text.replace(given_, broken), where="kit.lock.json")
