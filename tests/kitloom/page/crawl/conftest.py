"""The kits that the page is crawled on, each with a server of its own (``crawling.py`` crawls)."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from kitloom.measure import mark_of

from ..conftest import ROOT, Served, cropped_tile, lines_file, neon_tile, tile_file
from .crawling import save_pieces

PROFILE = ROOT / "tests" / "standards" / "data" / "FOGRA39L_coated.icc"
NAMES = {
    "waves": "Rosé & salt, 50% + #1",
    "cut": "cut",
    "lines": "lines",
    "seen": "seen",
    "neon": "neon",
}
HEAD = """[kit]
name = "Salt & <b>sage</b>"

[planner]
box = "{box}"

[sheet]
paper = "A5"
margin = "8mm"
gap = "3mm"
bleed = "{bleed}"

[palette]
colours = 5
"""
ROWS = """
[[rows]]
sticker = "half box"
count = 2
offset = ["auto", "3.5mm x 2mm"]

[[rows]]
sticker = "full box"
count = 1
fill = "Rosé & salt, 50% + #1"
panel = "white"

[[rows]]
sticker = "label"
count = 3
fill = "palette"
"""


def write_recipe(folder: Path, *, box: str = "36mm x 30mm", bleed: str = "0.4mm") -> None:
    """Write a kit whose artwork has every kind of fault, and one tile that was looked at."""
    art = folder / "artwork"
    tile_file(art / "waves.png", 1)
    cropped_tile(art / "cut.png")
    lines_file(art / "lines.png")
    lines_file(art / "seen.png", "#7a3b5b")
    neon_tile(art / "neon.png")
    text = HEAD.format(box=box, bleed=bleed)
    for stem, name in NAMES.items():
        text += f'\n[[patterns]]\nfile = "artwork/{stem}.png"\nname = "{name}"\nrepeat = "16mm"\n'
        text += f'looked = "{mark_of(art / "seen.png")}"\n' if stem == "seen" else ""
    (folder / "kit.toml").write_text(text + ROWS, "utf-8")
    palettes = folder / "palettes"
    palettes.mkdir()
    (palettes / "autumn & winter.csv").write_text("name,hex\ncream,#f4e7cf\nrust,#8c2f1b\n")


def whole(folder: Path) -> None:
    """A kit that can be made."""
    write_recipe(folder)


def too_large(folder: Path) -> None:
    """A kit that cannot be laid out."""
    write_recipe(folder, box="400mm x 300mm")


def missing(folder: Path) -> None:
    """A kit of which one tile's file is not there."""
    write_recipe(folder)
    (folder / "artwork" / "neon.png").unlink()


def broken(folder: Path) -> None:
    """A recipe that cannot be read."""
    write_recipe(folder)
    with (folder / "kit.toml").open("a") as recipe:
        recipe.write("[[rows]]\nsticker = 'half bocks'\n")


def empty(folder: Path) -> None:
    """Nothing yet."""
    folder.mkdir()


def damaged(folder: Path) -> None:
    """A folder of artwork, of which one file is none."""
    folder.mkdir()
    tile_file(folder / "waves.png", 1)
    (folder / "torn.png").write_bytes(b"not a picture")


KITS: dict[str, Callable[[Path], None]] = {
    made.__name__: made for made in (whole, too_large, missing, broken, empty, damaged)
}


@contextmanager
def served_kit(name: str, folder: Path) -> Iterator[Served]:
    """Lay a kit of ``KITS`` into a folder, and have a server of its own serve it."""
    kit = folder / f"My {name} kit"
    KITS[name](kit)
    served = Served(kit, settings=folder / "settings")
    save_pieces(served.settings)
    yield served
    served.stop()


@pytest.fixture
def kit(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Served]:
    with served_kit(request.param, tmp_path) as served:
        yield served


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Something for each field that takes a file."""
    folder = tmp_path_factory.mktemp("given")
    shutil.copy(PROFILE, folder / "mine.icc")
    (folder / "spring.css").write_text(":root { --leaf: #557a46; --bud: #d8a7b1; }\n")
    (folder / "leaf.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M1 1H8L4 8Z"/></svg>'
    )
    write_recipe(folder)
    return {
        ".png": tile_file(folder / "ripples.png", 2),
        ".icc": folder / "mine.icc",
        ".css": folder / "spring.css",
        ".svg": folder / "leaf.svg",
        ".toml": folder / "kit.toml",
    }
