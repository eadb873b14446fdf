"""Pictures that show patterns are kept apart from tiles: else a maker prints a shop's title.

No published source: the pages are drawn here.
"""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter

from palette.arrays import Pixels
from patterns.covers import find_cover


def print_of(seed: int, width: int, height: int) -> Image.Image:
    """Return a print of discs on a ground, cut off wherever it ends."""
    rng = np.random.default_rng(seed)
    ground = tuple(int(v) for v in rng.integers(60, 200, 3))
    image = Image.new("RGB", (width, height), ground)
    pen = ImageDraw.Draw(image)
    for _ in range(width * height // 400):
        x, y = rng.uniform(0, width), rng.uniform(0, height)
        colour = tuple(int(v) for v in rng.integers(0, 255, 3))
        pen.ellipse((x - 7, y - 7, x + 7, y + 7), fill=colour)
    return image


def page(margin: int, gutter: int = 12) -> Pixels:
    image = Image.new("RGB", (2 * margin + 360 + 2 * gutter,) * 2, "#fbf8f2")
    for row in range(3):
        for column in range(3):
            place = (margin + column * (120 + gutter), margin + row * (120 + gutter))
            image.paste(print_of(3 * row + column, 120, 120), place)
    return np.asarray(image)


@pytest.mark.parametrize("margin", [0, 12, 30])
def test_a_collage_is_no_tile(margin: int) -> None:
    found = find_cover(page(margin))
    assert found is not None
    assert (found.kind, found.panels) == ("collage", 9)


def test_a_quilt_of_prints_is_a_tile() -> None:
    """Its bands go on over its edges in their own rhythm."""
    assert find_cover(page(6)) is None


def test_a_quilt_of_patches_of_any_size_is_a_tile_wherever_it_begins() -> None:
    """A patch that lies across the edge goes on at the other one."""
    wide, high = (70, 130, 95), (110, 60, 90)
    quilt = Image.new("RGB", (sum(wide) + 36, sum(high) + 36), "#fbf8f2")
    for row in range(3):
        for column in range(3):
            place = (sum(wide[:column]) + 12 * column, sum(high[:row]) + 12 * row)
            patch = print_of(3 * row + column, wide[column], high[row])
            quilt.paste(patch, place)
    pixels = np.asarray(quilt)
    for by in ((30, 40), (130, 100), (115, 75), (0, 0)):
        assert find_cover(np.roll(pixels, by, axis=(0, 1))) is None


def test_four_pictures_without_a_margin_are_a_collage() -> None:
    """At its edges other pictures meet."""
    four = page(0)[:252, :252]
    found = find_cover(four)
    assert found is not None
    assert (found.kind, found.panels) == ("collage", 4)


def test_a_scan_with_a_border_is_no_tile() -> None:
    image = Image.new("RGB", (460, 420), "#fafaf7")
    image.paste(print_of(1, 380, 350), (40, 30))
    found = find_cover(np.asarray(image))
    assert found is not None
    assert found.kind == "frame"
    np.testing.assert_allclose(found.box_px, (40, 30, 380, 350), atol=3)


def test_a_title_is_told_and_a_plain_box_is_not() -> None:
    image = print_of(2, 460, 460)
    pen = ImageDraw.Draw(image)
    pen.rectangle((90, 180, 370, 290), fill="#ffffff")
    assert find_cover(np.asarray(image)) is None
    for left in range(120, 330, 16):  # strokes of letters, without a font
        pen.rectangle((left, 220, left + 10, 245), fill="#222222")
    found = find_cover(np.asarray(image))
    assert found is not None
    assert found.kind == "title"


def test_bare_ground_between_motifs_is_no_gutter() -> None:
    image = Image.new("RGB", (400, 400), "#f4eedc")
    pen = ImageDraw.Draw(image)
    for x in range(20, 400, 80):
        for y in range(20, 400, 80):
            pen.ellipse((x, y, x + 40, y + 40), fill="#3b5b7a")
    assert find_cover(np.asarray(image)) is None


def mock_up(thing: Image.Image, turn: float, *, shadow: bool, radius: int = 0) -> Pixels:
    """Return a thing that lies turned on pale ground, with a soft shadow or without."""
    place = ((460 - thing.width) // 2, (460 - thing.height) // 2)
    outline = Image.new("L", thing.size, 0)
    ImageDraw.Draw(outline).rounded_rectangle(
        (0, 0, thing.width - 1, thing.height - 1), radius, fill=255
    )
    shape, picture = Image.new("L", (460, 460), 0), Image.new("RGB", (460, 460), "#efe9e2")
    shape.paste(outline, place)
    shape = shape.rotate(turn, Image.Resampling.BICUBIC)
    laid = Image.new("RGB", (460, 460))
    laid.paste(thing, place)
    if shadow:
        soft = Image.new("L", (460, 460), 0)
        soft.paste(shape, (7, 9))
        soft = soft.filter(ImageFilter.GaussianBlur(7)).point(lambda value: value * 2 // 5)
        picture.paste("#3a3630", mask=soft)
    picture.paste(laid.rotate(turn, Image.Resampling.BICUBIC), mask=shape)
    return np.asarray(picture)


def page_of_a_planner() -> Image.Image:
    paper = Image.new("RGB", (240, 320), "#fffef9")
    for number in range(4):
        paper.paste(print_of(number, 90, 120), (20 + number % 2 * 110, 25 + number // 2 * 140))
    return paper


@pytest.mark.parametrize(
    ("thing", "radius", "turn"),
    [
        (print_of(3, 240, 320), 8, 0.0),
        (print_of(4, 170, 330), 30, 14.0),
        (page_of_a_planner(), 4, 14.0),
    ],
    ids=["cover", "case", "page"],
)
def test_a_mock_up_is_no_tile(thing: Image.Image, radius: int, turn: float) -> None:
    """On pale ground, with its shadow."""
    found = find_cover(mock_up(thing, turn, shadow=True, radius=radius))
    assert found is not None
    assert found.kind == "mock-up"
    x, y, width, height = found.box_px
    assert abs(x + width / 2 - 230) < 12
    assert abs(y + height / 2 - 230) < 12


def test_one_large_motif_on_bare_ground_is_a_tile() -> None:
    """A flat one with four sides; a round one with a shadow."""
    plain = Image.new("RGB", (240, 200), "#7a5b3b")
    ImageDraw.Draw(plain).rectangle((90, 80, 150, 120), fill="#e8d9b0")
    assert find_cover(mock_up(plain, 14.0, shadow=False, radius=12)) is None
    assert find_cover(mock_up(print_of(5, 300, 300), 0.0, shadow=True, radius=150)) is None
