"""Tiles whose motifs are known: each drawn on a layer of its own, then laid on a plain ground.

Out: a ``LayeredTile``. Motifs are outlines of ``outlines``, some with a line round them, some
with parts in other colours, filled by counting subpixels; they lie anywhere in the plane, also over
the tile's edges, and some pixels apart. The layers are laid on the ground as drawing programs do,
in sRGB values.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from learning.drawings.outlines import Generator, heart, leaf, petals, wobbly
from learning.drawings.plain import blob, turned
from palette.arrays import Floats, Indices, Mask, Pixels
from patterns.lift.pieces import plane_places
from patterns.plane import HALF_BRICK, HALF_DROP, STRAIGHT, Lattice

FINE = 4  # subpixels along each side of a pixel
APART_PX = 7


@dataclass(frozen=True, eq=False)
class Layer:
    """One motif by itself.

    Attributes:
        top: its first row in the plane.
        left: its first column.
        colour: (rows, columns, 3), 0 to 255.
        alpha: (rows, columns), 0 to 1.
    """

    top: int
    left: int
    colour: Floats
    alpha: Floats


@dataclass(frozen=True, eq=False)
class LayeredTile:
    """A tile, and what it was laid together from.

    Attributes:
        pixels: (height, width, 3) sRGB uint8.
        lattice: how it repeats.
        layers: its motifs.
    """

    pixels: Pixels
    lattice: Lattice
    layers: tuple[Layer, ...]


def draw_layered(seed: int, fine: int = FINE) -> LayeredTile:
    """Return one random tile; every third is a half-drop or half-brick.

    Args:
        seed: of the draw.
        fine: subpixels along each side of a pixel, by which true alpha is counted: an edge laid
            anywhere is off by .023 on average with 4, by .008 with 8.
    """
    rng = np.random.default_rng(seed)
    height, width = (int(2 * rng.integers(600, 1100)) for _ in range(2))
    lattice = (STRAIGHT, STRAIGHT, STRAIGHT, STRAIGHT, HALF_DROP, HALF_BRICK)[seed % 6]
    ground = _ground(rng, pale=bool(rng.random() < 0.7))
    tile = np.broadcast_to(ground, (height, width, 3)).copy()
    taken = np.zeros((height, width), dtype=bool)
    layers: list[Layer] = []
    for _ in range(300):
        if len(layers) == 24:
            break
        size = rng.uniform(0.06, 0.2) * min(height, width) * (1.0 if len(layers) > 4 else 1.4)
        colour, alpha = _motif(rng, size, ground, fine)
        top, left = int(rng.integers(height)), int(rng.integers(width))
        wide = np.pad(alpha > 0.0, APART_PX)
        places = _places(lattice, (height, width), top - APART_PX, left - APART_PX, wide)
        if (taken[places] & _grown(wide)).any() or _meets_itself(places, _grown(wide), taken.shape):
            continue
        layers.append(Layer(top, left, colour, alpha))
        here = _places(lattice, (height, width), top, left, alpha > 0.0)
        taken[here] |= alpha > 0.0
        tile[here] += alpha[..., None] * (colour - tile[here])
    return LayeredTile(np.rint(tile).astype(np.uint8), lattice, tuple(layers))


def _places(
    lattice: Lattice, shape: tuple[int, int], top: int, left: int, mask: Mask
) -> tuple[Indices, Indices]:
    rows, columns = np.arange(mask.shape[0]) + top, np.arange(mask.shape[1]) + left
    y, x = np.broadcast_arrays(*plane_places(lattice, shape, rows[:, None], columns[None]))
    return y, x


def _grown(mask: Mask) -> Mask:
    from scipy.ndimage import maximum_filter

    return np.asarray(maximum_filter(mask, 2 * APART_PX + 1))


def _meets_itself(places: tuple[Indices, Indices], mask: Mask, shape: tuple[int, int]) -> bool:
    flat = (places[0] * shape[1] + places[1])[mask]
    return len(np.unique(flat)) < len(flat)


def _ground(rng: Generator, *, pale: bool) -> Floats:
    base = rng.uniform(215.0, 255.0) if pale else rng.uniform(25.0, 140.0)
    return np.rint(np.clip(base + rng.uniform(-25.0, 25.0, 3), 0.0, 255.0))


def _ink(rng: Generator, ground: Floats, least: float = 70.0) -> Floats:
    while True:
        colour = np.rint(rng.uniform(0.0, 255.0, 3))
        if np.linalg.norm(colour - ground) > least:
            return np.asarray(colour)


def _motif(rng: Generator, size: float, ground: Floats, fine: int) -> tuple[Floats, Floats]:
    """Return the colour and alpha of one motif, ``size`` pixels across or so."""
    outlines = _outlines(rng, size / 2.0)
    angle = float(rng.uniform(0.0, 2.0 * np.pi))
    outlines = [turned(one, angle) for one in outlines]
    points = np.concatenate(outlines)
    low, high = np.floor(points.min(axis=0)) - 3.0, np.ceil(points.max(axis=0)) + 3.0
    cols, rows = (int(n) for n in high - low)
    shift = low - rng.uniform(0.0, 1.0, 2)
    colour, alpha = np.zeros((rows, cols, 3)), np.zeros((rows, cols))
    lined = rng.random() < 0.4
    fill, line = _ink(rng, ground), _ink(rng, ground, 120.0)
    for number, outline in enumerate(outlines):
        if lined:
            _lay(colour, alpha, _cover(outline - shift, (rows, cols), 2.5, fine), line)
        shade = fill if number % 2 == 0 or lined else _ink(rng, ground)
        _lay(
            colour,
            alpha,
            _cover(outline - shift, (rows, cols), -2.5 if lined else 0.0, fine),
            shade,
        )
    if rng.random() < 0.4:  # something drawn inside, clear of the edge
        middle = points.mean(axis=0)
        spot = blob(rng, size * 0.06, 5, 0.1) + middle
        cover = _cover(spot - shift, (rows, cols), 0.0, fine) * (alpha >= 1.0)
        _lay(colour, alpha, cover, _ink(rng, ground))
    return colour, alpha


def _outlines(rng: Generator, half: float) -> list[Floats]:
    sort = int(rng.integers(6))
    if sort == 0:
        return [blob(rng, half, int(rng.integers(3, 8)), 0.25)]
    if sort == 1:
        return [*petals(int(rng.integers(5, 9)), half, 0.35), blob(rng, half * 0.3, 6, 0.05)]
    if sort == 2:
        return [leaf(2.0 * half, 0.3, rng.uniform(-0.3, 0.3))]
    if sort == 3:
        return [heart(half)]
    if sort == 4:
        stem = np.array([[-half, -1.6], [half, -1.6], [half, 1.6], [-half, 1.6]])
        leaves = [
            turned(leaf(half * 0.8, 0.3), side) + np.array([x * half, 0.0])
            for x in (-0.5, 0.0, 0.5)
            for side in (0.8, -0.8)
        ]
        return [stem, *leaves]
    return [wobbly(rng, blob(rng, half, 3, 0.35), 0.04)]


def _cover(outline: Floats, shape: tuple[int, int], grown_px: float, fine: int) -> Floats:
    """Return how much of each pixel an outline covers, grown or shrunk by some pixels."""
    from scipy.ndimage import distance_transform_edt

    rows, cols = shape
    image = Image.new("1", (cols * fine, rows * fine))
    ImageDraw.Draw(image).polygon([(float(x), float(y)) for x, y in outline * fine], fill=1)
    inside = np.asarray(image)
    if grown_px > 0.0:
        inside = distance_transform_edt(~inside) <= grown_px * fine
    elif grown_px < 0.0:
        inside = distance_transform_edt(inside) > -grown_px * fine
    return np.asarray(inside.reshape(rows, fine, cols, fine).mean(axis=(1, 3)))


def _lay(colour: Floats, alpha: Floats, cover: Floats, ink: Floats) -> None:
    """Lay ink over a motif (Porter and Duff's "over")."""
    under = alpha * (1.0 - cover)
    total = under + cover
    share = np.divide(cover, total, out=np.zeros_like(total), where=total > 0.0)[..., None]
    colour += share * (ink - colour)
    alpha[...] = total
