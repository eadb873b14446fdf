"""What the seam verdict is learnt from: clean and faulty joins of many tiles, and their figures.

Public tiles as sold (these alone are counted when recall is told), and again at other phases and
enlarged; drawn tiles of many hands and sizes, through finishes that artwork goes through; windows
of photographs, where the "join" is an ordinary cut of the picture. Drawn tiles come from seeds that
no benchmark uses, and from no hand of ``seam_hands_apart``. Out: ``Row`` after ``Row``.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from benchmarks.seam_drawings_more import finished
from benchmarks.seam_faults import EVERY_FAULT, broken_rhythm, faulty, jpeg
from benchmarks.seam_faults_varied import VARIED
from benchmarks.seam_hands import HANDS, enlarged
from benchmarks.seam_hands_ruled import MORE_LINED, RULED, STUFFS
from benchmarks.seam_tiles import SETS, Tile, drawn_tiles, phased, public_tiles
from patterns.figures import figures_of
from patterns.joins import SIDE, joins_of
from patterns.lattice import STRAIGHT

Pixels = NDArray[np.uint8]
Generator = np.random.Generator
Draw = Callable[..., Pixels]

HAND_SETS: dict[str, dict[str, Draw]] = {
    "scattered": HANDS,
    "geometric": RULED,
    "texture": STUFFS,
    "lined": MORE_LINED,
}
MOST_PX = 1800  # tiles larger than that take too long to measure
WINDOWS = 14  # of each photograph
PHOTOS = ("brick", "grass", "gravel", "astronaut", "chelsea", "coffee", "ihc", "hubble_deep_field")
PHOTO_ENDS = {"ihc": "png", "hubble_deep_field": "jpg"}


class Row(NamedTuple):
    """The figures of one join, and what it is; ``counts``: told of when recall is."""

    set_name: str
    family: str
    name: str
    axis: str
    kind: str
    de: float
    values: dict[str, float]
    large: bool
    counts: bool


def _figures(pixels: Pixels, axis: str) -> dict[str, float]:
    return figures_of(joins_of(pixels, STRAIGHT)["xy".index(axis)]).values


def _skipped(tile: Tile, kind: str) -> bool:
    """Whether a fault would make another tile of the same kind, as a crop of any bands does."""
    return tile.family == "plaid" and kind.startswith(("crop", "doubled", "first"))


def rows_of(tile: Tile, seed: int, *, large: bool = False) -> Iterator[Row]:
    """Yield a tile's joins, clean, saved as JPEG and with every fault that a person would see."""
    said = (tile.set_name, tile.family, f"{tile.name}-{seed if tile.set_name != 'real' else 0}")
    for kind, pixels in (("clean", tile.pixels), ("clean jpeg", jpeg(tile.pixels))):
        for axis in "xy":
            yield Row(*said, axis, kind, 0.0, _figures(pixels, axis), large, counts=True)
    rng = np.random.default_rng([seed, *tile.name.encode()])
    for kind in EVERY_FAULT:
        for axis in () if _skipped(tile, kind) else "xy":
            pixels, de = faulty(tile.pixels, kind, axis, rng)
            if de > 6.0:
                yield Row(*said, axis, kind, de, _figures(pixels, axis), large, counts=True)


def varied_rows(tile: Tile, rng: Generator, name: str) -> Iterator[Row]:
    """Yield a tile's clean joins, and some faults on either edge, now and then saved as JPEG."""
    large = max(tile.pixels.shape[:2]) > 600
    said = (tile.set_name, tile.family, name)
    quality = 75 if rng.random() < 0.5 else int(rng.integers(50, 95))
    for kind, pixels in (("clean", tile.pixels), ("clean jpeg", jpeg(tile.pixels, quality))):
        for axis in "xy":
            yield Row(*said, axis, kind, 0.0, _figures(pixels, axis), large, counts=False)
    for kind in (*EVERY_FAULT, *VARIED):
        for axis in () if _skipped(tile, kind) else "xy":
            if rng.random() < 0.6:
                continue
            pixels, de = _varied(tile.pixels, kind, axis, rng)
            if de > 6.0:
                if rng.random() < 0.15:
                    pixels = jpeg(pixels, int(rng.integers(60, 96)))
                yield Row(*said, axis, kind, de, _figures(pixels, axis), large, counts=False)


def _varied(pixels: Pixels, kind: str, axis: str, rng: Generator) -> tuple[Pixels, float]:
    """Return the tile with a fault at its right or left, bottom or top."""
    mirrored = rng.random() < 0.5
    across = 1 if axis == "x" else 0
    tile = np.flip(pixels, across) if mirrored else pixels
    if kind in VARIED:
        turned = tile if axis == "x" else tile.transpose(1, 0, 2)
        out, de = VARIED[kind](np.ascontiguousarray(turned), rng)
        out = out if axis == "x" else out.transpose(1, 0, 2)
    else:
        out, de = faulty(np.ascontiguousarray(tile), kind, axis, rng)
    return np.ascontiguousarray(np.flip(out, across) if mirrored else out), de


def public_rows(root: Path) -> list[Row]:
    """Return the public tiles' joins as sold."""
    return [row for tile in public_tiles(root) for row in rows_of(tile, 1)]


def more_public_rows(root: Path) -> list[Row]:
    """Return the public tiles' joins at other phases, and enlarged across their own join."""
    rows: list[Row] = []
    for tile in public_tiles(root):
        rng = np.random.default_rng([7, *tile.name.encode()])
        for again in range(4):
            by = tuple(int(v) for v in rng.uniform(0.1, 0.9, 2) * tile.pixels.shape[:2])
            pixels = np.roll(tile.pixels, by, (0, 1))
            if again == 3:
                pixels = enlarged(pixels, rng.uniform(1.4, 3.5))
            if again == 2 and max(pixels.shape) < 200:
                pixels = np.tile(pixels, (1, 2, 1) if rng.random() < 0.5 else (2, 1, 1))
            turned = dataclasses.replace(tile, pixels=pixels)
            rows.extend(varied_rows(turned, rng, f"{tile.name}-0"))
    return rows


def drawn_rows(seed: int, scale: float, count: int, finish: bool) -> list[Row]:
    """Return joins of drawn tiles as the benchmark's are, ``count`` a family, of another seed."""
    rows: list[Row] = []
    for tile in drawn_tiles(count, seed=seed, scale=scale, finish=finish):
        rows.extend(rows_of(tile, seed, large=scale > 1.0))
    for i in range(2 * count):
        pixels, axis = broken_rhythm(np.random.default_rng([seed, i, 77]), scale)
        said = ("geometric", "rhythm", f"rhythm-{i}-{seed}", axis, "rhythm", 99.0)
        rows.append(Row(*said, _figures(pixels, axis), scale > 1.0, counts=True))
    return rows


def hand_rows(seed: int, low: float, high: float, count: int) -> list[Row]:
    """Return joins of ``count`` tiles of every hand, at scales from ``low`` to ``high``."""
    rows: list[Row] = []
    for set_name in SETS:
        families = {**SETS[set_name], **HAND_SETS[set_name]}
        for family, draw in families.items():
            for i in range(count):
                rng = np.random.default_rng([seed, i, *family.encode(), *set_name.encode()])
                scale = float(np.exp(rng.uniform(np.log(low), np.log(high))))
                pixels = _treated(draw(rng, scale), set_name, family, rng)
                tile = Tile(set_name, family, family, pixels)
                rows.extend(varied_rows(tile, rng, f"{family}-{set_name}-{i}-{seed}"))
    return rows


def _treated(pixels: Pixels, set_name: str, family: str, rng: Generator) -> Pixels:
    """Return the tile as artwork comes: finished, in another phase, enlarged, several in one."""
    if set_name in {"geometric", "lined"} and family not in {"panels", "patches"}:
        pixels = phased(pixels, line=set_name == "lined", rng=rng)
    elif set_name == "scattered" and rng.random() < 0.35:
        pixels = grazed(pixels, rng)
    if rng.random() < 0.45:
        pixels = finished(pixels, rng)
    way, most = rng.random(), MOST_PX / max(pixels.shape)
    if way < 0.1 and most > 1.4:
        return enlarged(pixels, rng.uniform(1.3, min(4.0, most)))
    if way < 0.18 and max(pixels.shape) < 260:
        return np.tile(pixels, ((1, 2, 1), (2, 1, 1), (2, 2, 1))[int(rng.integers(3))])
    return pixels


def grazed(pixels: Pixels, rng: Generator) -> Pixels:
    """Roll a tile so that its edges meet no motif, or just the tip of one, where that can be."""
    step = np.uint8(32)
    codes, counts = np.unique((pixels // step).reshape(-1, 3), axis=0, return_counts=True)
    ground = codes[int(np.argmax(counts))] * float(step) + step / 2
    motif = np.abs(pixels - ground).sum(axis=-1) > 1.5 * float(step)
    for axis in (0, 1):
        met = motif.mean(axis=1 - axis)
        tips = np.flatnonzero((met > 0) & (met < 0.04))
        free = np.flatnonzero(met == 0)
        rows = tips if len(tips) and rng.random() < 0.75 else free
        if len(rows):
            edge = int(rng.choice(rows)) + int(rng.integers(2))
            pixels = np.roll(pixels, -edge, axis=axis)
    return pixels


def photo_rows() -> list[Row]:
    """Return cuts of photographs that scikit-image brings along, clean and made faulty.

    A window's first lines are taken from beyond its end, so that its "join" is an ordinary cut of
    the picture; where they meet the window no cut is compared with.
    """
    rows: list[Row] = []
    for photo in PHOTOS:
        whole = _photo(photo)
        rng = np.random.default_rng([11, *photo.encode()])
        for i in range(WINDOWS):
            pixels = _window(whole, rng)
            for kind in ("clean", "clean jpeg", *EVERY_FAULT, *VARIED):
                if kind.startswith("clamped") or (i and not kind.startswith("clean") and i % 2):
                    continue
                out, de = pixels, 0.0
                if kind == "clean jpeg":
                    out = jpeg(pixels, int(rng.integers(60, 95)))
                elif kind != "clean":
                    out, de = (
                        VARIED[kind](pixels, rng)
                        if kind in VARIED
                        else faulty(pixels, kind, "x", rng)
                    )
                values = _window_figures(out)
                if (kind.startswith("clean") or de > 6.0) and not values["rhythm:like"]:
                    rows.append(
                        Row("photo", photo, photo, "x", kind, de, values, large=False, counts=False)
                    )
    return rows


def _photo(name: str) -> Pixels:
    import skimage

    path = Path(skimage.__file__).parent / "data" / f"{name}.{PHOTO_ENDS.get(name, 'png')}"
    return np.asarray(Image.open(path).convert("RGB"))


def _window(whole: Pixels, rng: Generator) -> Pixels:
    """Return a window of a photograph, turned, tinted, its first lines from beyond its end."""
    if rng.random() < 0.5:
        whole = whole.transpose(1, 0, 2)
    size = int(rng.integers(120, min(420, *whole.shape[:2]) - SIDE))
    top = int(rng.integers(0, whole.shape[0] - size))
    left = int(rng.integers(0, whole.shape[1] - size - SIDE))
    part = whole[top : top + int(size * rng.uniform(0.5, 1.0)), left : left + size + SIDE]
    pixels = np.concatenate([part[:, size:], part[:, SIDE:size]], axis=1).astype(np.float64)
    tint = rng.uniform(0.6, 1.0, 3)
    return np.clip(255 - (255 - pixels * tint) * rng.uniform(0.4, 1.0), 0, 255).astype(np.uint8)


def _window_figures(pixels: Pixels) -> dict[str, float]:
    joins = joins_of(pixels, STRAIGHT)[0]
    stack = joins.whole
    beyond = dataclasses.replace(stack, interior=stack.interior[stack.interior > 3 * SIDE])
    return figures_of(dataclasses.replace(joins, whole=beyond, blocks=beyond)).values
