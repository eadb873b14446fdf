"""kitloom's own pictures lie beside tiles and must never be taken for tiles."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kitloom.report import picture_bytes, png_bytes
from patterns.artwork import find_artwork, open_artwork
from patterns.artwork.own_pictures import is_own_picture

PIXELS = np.full((20, 30, 3), 90, np.uint8)


@pytest.mark.parametrize("name", ["a.before-after.png", "a.print.png", "anything.PNG"])
def test_a_picture_for_people_is_left_out_of_a_folder(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(picture_bytes(PIXELS, dpi=(300, 300)))
    (tmp_path / "a.tile.png").write_bytes(png_bytes(PIXELS))
    assert [path.name for path in find_artwork(tmp_path)] == ["a.tile.png"]
    # named on its own it is still opened, with its resolution
    assert open_artwork(tmp_path / name).dpi == pytest.approx(300, abs=0.1)


def test_other_programs_read_the_words(tmp_path: Path) -> None:
    """The chunk is a plain tEXt of the PNG recommendation: Pillow reads it by its keyword."""
    (tmp_path / "a.png").write_bytes(picture_bytes(PIXELS))
    with Image.open(tmp_path / "a.png") as picture:
        assert picture.info["kitloom"] == "picture, not a tile"


def test_a_picture_saved_again_is_still_told_by_its_ending(tmp_path: Path) -> None:
    for name in ("a.seam.png", "a.before-after.png"):
        Image.fromarray(PIXELS).save(tmp_path / name)
        assert is_own_picture(tmp_path / name)


@pytest.mark.parametrize("name", ["roses.print.png", "before-after.png", "seam.png", "a.seam.jpg"])
def test_a_makers_own_tile_is_not_taken_for_one(tmp_path: Path, name: str) -> None:
    Image.fromarray(PIXELS).save(tmp_path / name)
    assert not is_own_picture(tmp_path / name)


def test_what_cannot_be_read_is_left_to_who_opens_it(tmp_path: Path) -> None:
    assert not is_own_picture(tmp_path / "none.png")
