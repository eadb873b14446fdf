"""The job that speed is judged by: twelve tiles of 1800 x 1800 and a Letter sheet of stickers.

Six tiles are PNG, six JPEG, a third of them have a smooth wash and grain, the others are flat with
anti-aliased motifs; flat and grainy artwork behave very differently. ``drawn`` puts tiles and the
recipe into a folder once and finds them there the next time.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

from benchmarks.planted import colours, tile
from palette.arrays import Pixels

COUNT = 12
SIDE_PX = 1800

RECIPE = """\
[kit]
name = "Twelve tiles"
[planner]
box = "38mm x 48mm"
[sheet]
paper = "Letter"
dpi = {dpi}
margin = "8mm"
gap = "3mm"
bleed = "1.1mm"
[palette]
colours = 6
{patterns}
[[rows]]
sticker = "full box"
count = 12
fill = "patterns"
[[rows]]
sticker = "half box"
count = 4
fill = "patterns"
[[rows]]
sticker = "half box"
count = 4
fill = "palette"
"""


def drawn(folder: Path, dpi: int = 300, count: int = COUNT, side_px: int = SIDE_PX) -> Path:
    """Return the recipe in a folder, drawn with its tiles where it is not there yet."""
    folder.mkdir(parents=True, exist_ok=True)
    for i, name in enumerate(names(count)):
        if not (folder / name).exists():
            _save(_tile(i, side_px), folder / name)
    patterns = "\n".join(f'[[patterns]]\nfile = "{name}"\nrepeat = "19.05mm"' for name in names(12))
    recipe = folder / f"kit-{dpi}.toml"
    recipe.write_text(RECIPE.format(dpi=dpi, patterns=patterns))
    return recipe


def names(count: int = COUNT) -> list[str]:
    """Return the tiles' file names, PNG and JPEG in turn."""
    return [f"tile-{i:04}.{'jpg' if i % 2 else 'png'}" for i in range(count)]


def _tile(number: int, side_px: int) -> Pixels:
    random = np.random.default_rng(1000 + number)
    flat = tile(random, colours(random, 4 + number % 4), side_px, motifs=40 + 10 * (number % 5))
    return _washed(flat, random) if number % 3 == 2 else flat


def _washed(flat: Pixels, random: np.random.Generator) -> Pixels:
    """Lay a periodic wash and a fine grain over a tile."""
    side = flat.shape[0]
    turn = 2.0 * np.pi * np.arange(side) / side
    wash = 10.0 * np.sin(turn)[:, None] * np.cos(turn + 1.0)[None] + 6.0 * np.sin(2.0 * turn)
    grain = random.normal(0.0, 1.5, (side, side))
    return np.clip(np.rint(flat + (wash + grain)[..., None]), 0, 255).astype(np.uint8)


def _save(pixels: Pixels, path: Path) -> None:
    if path.suffix == ".jpg":
        Image.fromarray(pixels).save(path, quality=92)
    else:
        Image.fromarray(pixels).save(path)
