"""Twelve sets of artwork of unlike hands, each drafted and made: how full, how mixed, how it looks.

Run ``python -m benchmarks.draft_sets FOLDER [--sets 1,2,…]``. The folder gets the sets, a recipe
and a kit of each, and ``NAME.png``, its sheets side by side, to be looked at one by one. Set by
set another day box (four) and paper (two) is taken; all boxes and papers, without artwork, are in
``benchmarks.drafts``. Printed: how many sheets, what they cover, tiles used, the commonest kind's
share of the stickers, and of all stickers side by side how many have the same fill.
"""

from __future__ import annotations

import argparse
import json
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from benchmarks.drafts import BOXES, PAPERS
from kit.layout import sticker_area, usable_area
from kit.recipe import read_recipe
from learning.drawings.hands import HANDS
from learning.drawings.hands_apart import EVERY_APART
from learning.drawings.hands_ruled import MORE_LINED, RULED, STUFFS
from learning.tiles import GEOMETRIC, LINED, PUBLIC_FOLDERS, SCATTERED, public_tiles
from palette.arrays import Pixels

ROOT = Path(__file__).resolve().parents[1]
SAMPLES = ROOT / "samples" / "allotment"
_SOME = (SCATTERED, GEOMETRIC, LINED, HANDS, RULED, STUFFS, MORE_LINED, EVERY_APART)
FAMILIES = {name: draw for some in _SOME for name, draw in some.items()}
DRAWN = {
    "one-flower": "posies",
    "three-florals": "blooms vines roses",
    "pen-and-ink": "doodles outlines letters birds lone",
    "ruled": "hexagons zigzags cubes argyle stripes polka rings",
    "washes": "wash washed pastel blotches clouds splashes layered painted",
    "cloth": "plaid tartan linen herringbone dogtooth knitting window checks basket",
    "brush": "brushed gouache marks dots sprinkles ditsy grand sprigs waves ogees terrazzo",
    "everything": " ".join(sorted(FAMILIES)[::2]),
}
SAME_SEED = 7  # within a set, so that its tiles share colours as a bought set's do
BESIDE_MM = 5.0
LEAST_PX = 96  # public tiles smaller than that are specks on a sticker


def lay_sets(folder: Path) -> dict[str, Path]:
    """Write the artwork of each set into a folder of its own, and return these by name."""
    sets: dict[str, list[tuple[str, Pixels | Path]]] = {}
    for name, families in DRAWN.items():
        sets[name] = [
            (f"{one}.png", FAMILIES[one](np.random.default_rng(SAME_SEED + len(name)), 2.0))
            for one in families.split()
        ]
    for name, place in zip(("file-manager", "window-manager"), PUBLIC_FOLDERS, strict=True):
        known = [one for one in public_tiles() if one.family == place.split("/")[2]]
        large = [one for one in known if min(one.pixels.shape[:2]) >= LEAST_PX]
        sets[name] = [(f"{one.name}.png", one.pixels) for one in large[:16]]
    for name, place in (("allotment", "tiles"), ("evening", "evening")):
        sets[name] = [(path.name, path) for path in sorted((SAMPLES / place).iterdir())]
    for name, tiles in sets.items():
        (folder / name).mkdir(parents=True, exist_ok=True)
        for file, tile in tiles:
            place = folder / name / file
            if isinstance(tile, Path):
                shutil.copyfile(tile, place)
            else:
                Image.fromarray(tile).save(place)
    return {name: folder / name for name, tiles in sets.items() if tiles}


def called(*words: str) -> dict[str, Any]:
    """Return what a command of kitloom answers."""
    ran = subprocess.run(
        [sys.executable, "-m", "kitloom", *words, "--json"], capture_output=True, check=False
    )
    if ran.returncode not in {0, 1}:  # 1: made, and something in it is to be mended
        raise SystemExit(ran.stderr.decode())
    answer: dict[str, Any] = json.loads(ran.stdout)
    return answer


def beside(stickers: Sequence[dict[str, Any]]) -> Iterator[tuple[Any, Any]]:
    """Yield the fills of each two stickers that are side by side."""
    for i, one in enumerate(stickers):
        for other in stickers[i + 1 :]:
            across = _apart(one, other, "x_mm", "width_mm")
            down = _apart(one, other, "y_mm", "height_mm")
            if max(across, down) <= BESIDE_MM and min(across, down) < 0.0:
                yield _shown(one), _shown(other)


def _apart(one: dict[str, Any], other: dict[str, Any], at: str, size: str) -> float:
    """Return the gap between two stickers along an axis; below 0 where they overlap on it."""
    return float(max(other[at] - one[at] - one[size], one[at] - other[at] - other[size]))


def _shown(sticker: dict[str, Any]) -> Any:
    fill = sticker["fill"]
    return fill.get("pattern") or fill.get("colour")


def contact(kit: Path, picture: Path) -> None:
    """Put the previews of a kit's sheets side by side."""
    sheets = [Image.open(path).convert("RGB") for path in sorted(kit.glob("sheet-[0-9].png"))]
    high = 1000
    small = [one.resize((round(one.width * high / one.height), high)) for one in sheets]
    wide = Image.new("RGB", (sum(one.width + 12 for one in small), high), "#888888")
    left = 0
    for one in small:
        wide.paste(one, (left, 0))
        left += one.width + 12
    wide.save(picture)


def main() -> None:
    """Print a line for each set."""
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--sets", default="")
    chosen = parser.parse_args()
    folder: Path = chosen.folder
    sets = lay_sets(folder / "sets")
    wanted = [int(one) for one in chosen.sets.split(",") if one] or range(1, len(sets) + 1)
    print("set, box, paper: sheets; covered; tiles used; share of the commonest kind; alike")
    for number, (name, artwork) in enumerate(sets.items(), 1):
        if number not in wanted:
            continue
        box, paper = BOXES[number % len(BOXES)], PAPERS[number % len(PAPERS)]
        recipe, kit = folder / f"{name}.toml", folder / f"{name}-kit"
        words = ("draft", str(artwork), "--box", box, "--paper", paper, "--out", str(recipe))
        called(*words, "--overwrite")
        made = called("make", str(recipe), "--out", str(kit), "--overwrite")
        contact(kit, folder / f"{name}.png")
        stickers = [one for sheet in made["sheets"] for one in sheet["stickers"]]
        kinds = Counter(one["kind"] for one in stickers)
        kind, most = kinds.most_common(1)[0]
        asked = read_recipe(recipe)
        area = sticker_area(usable_area(asked.sheet), asked).area_mm2 * len(made["sheets"])
        covered = sum(one["width_mm"] * one["height_mm"] for one in stickers) / area
        pairs = [pair for sheet in made["sheets"] for pair in beside(sheet["stickers"])]
        alike = sum(a == b for a, b in pairs)
        tiles = len(list(artwork.iterdir()))
        used = len({_shown(one) for one in stickers} & {path.stem for path in artwork.iterdir()})
        print(
            f"{name}, {box}, {paper}: {len(made['sheets'])}; {covered:.3f}; "
            f"{used} of {tiles}; {most / len(stickers):.0%} {kind}; {alike} of {len(pairs)}",
            flush=True,
        )


if __name__ == "__main__":
    main()
