"""Is the same artwork found again in a library, and is other artwork left alone?

Run ``python -m benchmarks.duplicates [--per-family N]`` (4 tiles of each of the families that
``learning.tiles`` draws). Each tile is changed as shops change artwork, and compared with
all untouched tiles. Printed for each change: recall, the share whose own original is among the
tiles at or over ``fingerprint.SAME``, and the lowest likeness to it. Then, for each set of
families, the share of pairs of different tiles that are called the same. The baseline is a
difference hash of 8 x 8 (neighbouring cells compared) that knows nothing of shifts, at 10 of its 64
bits, as is common practice.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from io import BytesIO

import numpy as np
from PIL import Image

from benchmarks.processes import option
from learning.tiles import Tile, drawn_tiles
from palette.arrays import Mask, Pixels
from patterns.motifs import SAME, fingerprint, similarity_table

Change = Callable[[Pixels, np.random.Generator], Pixels]


def shifted(pixels: Pixels, random: np.random.Generator) -> Pixels:
    return np.roll(pixels, random.integers(0, min(pixels.shape[:2]), 2), axis=(0, 1))


def rescaled(pixels: Pixels, random: np.random.Generator) -> Pixels:
    scale = random.uniform(0.35, 0.9)
    size = tuple(max(48, round(side * scale)) for side in pixels.shape[1::-1])
    return np.asarray(Image.fromarray(pixels).resize(size, Image.Resampling.LANCZOS))


def hue_turned(pixels: Pixels, random: np.random.Generator) -> Pixels:
    turn = int(random.integers(40, 216))
    hue, *rest = Image.fromarray(pixels).convert("HSV").split()
    turned = Image.merge("HSV", (hue.point(lambda code: (code + turn) % 256), *rest))
    return np.asarray(turned.convert("RGB"))


def new_colours(pixels: Pixels, random: np.random.Generator) -> Pixels:
    """Mix the channels again: what was light may become dark, near colours may part."""
    mixed = (pixels.astype(np.float64) - 128.0) @ random.normal(0.0, 0.6, (3, 3)) + 128.0
    return np.clip(np.rint(mixed), 0, 255).astype(np.uint8)


def saved_small(pixels: Pixels, random: np.random.Generator) -> Pixels:
    del random
    file = BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=70)
    return np.asarray(Image.open(file).convert("RGB"))


def all_of_them(pixels: Pixels, random: np.random.Generator) -> Pixels:
    for change in (shifted, rescaled, hue_turned, saved_small):
        pixels = change(pixels, random)
    return pixels


CHANGES: dict[str, Change] = {
    "shifted": shifted,
    "rescaled": rescaled,
    "hue turned": hue_turned,
    "new colours": new_colours,
    "JPEG 70": saved_small,
    "all but new colours": all_of_them,
}


def difference_hash(pixels: Pixels) -> Mask:
    grey = np.asarray(Image.fromarray(pixels).convert("L").resize((9, 8)), dtype=np.int16)
    return (grey[:, 1:] > grey[:, :-1]).ravel()


def recall(tiles: list[Tile]) -> None:
    prints = np.stack([fingerprint(tile.pixels) for tile in tiles])
    hashes = np.stack([difference_hash(tile.pixels) for tile in tiles])
    print(f"{'change':22}{'recall':>8}{'lowest':>8}{'baseline':>10}")
    for name, change in CHANGES.items():
        random = np.random.default_rng(31)
        likes, known = [], []
        for tile, own, bits in zip(tiles, prints, hashes, strict=True):
            changed = change(tile.pixels, random)
            likes.append(float(similarity_table(fingerprint(changed)[None], own[None])[0, 0]))
            known.append(int((difference_hash(changed) != bits).sum()) <= 10)
        found = np.mean(np.array(likes) >= SAME)
        print(f"{name:22}{found:8.1%}{min(likes):8.2f}{np.mean(known):10.1%}")


def false_alarms(tiles: list[Tile]) -> None:
    print("different tiles called the same, of all pairs")
    for name in dict.fromkeys(tile.set_name for tile in tiles):
        own = [tile for tile in tiles if tile.set_name == name]
        _pairs(name, own)
    _pairs("all sets", tiles)


def _pairs(name: str, tiles: list[Tile]) -> None:
    prints = np.stack([fingerprint(tile.pixels) for tile in tiles])
    hashes = np.stack([difference_hash(tile.pixels) for tile in tiles]).astype(np.int16)
    one, other = np.triu_indices(len(tiles), 1)
    table = similarity_table(prints, prints)[one, other]
    apart = np.abs(hashes[one] - hashes[other]).sum(axis=1)
    which = [f"{tiles[one[i]].name}/{tiles[other[i]].name}" for i in np.flatnonzero(table >= SAME)]
    print(
        f"  {name:12}{len(table):6} pairs  {np.mean(table >= SAME):8.2%}  highest {table.max():.2f}"
        f"  baseline {np.mean(apart <= 10):8.2%}  {' '.join(which[:4])}"
    )


def main() -> None:
    tiles = list(drawn_tiles(int(option("--per-family", "4")), seed=77, scale=4.0))
    print(f"{len(tiles)} tiles, same from a likeness of {SAME}")
    recall(tiles)
    false_alarms(tiles)


if __name__ == "__main__":
    sys.exit(main())
