"""Drawings of the sealed set: hands that share no code with those that were learnt from.

In: a random generator. Out: (height, width, 3) sRGB uint8, seamless by construction: every shape is
drawn at all its nine wrapped places, every field is made of whole waves.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product

import numpy as np
from PIL import Image, ImageDraw

from palette.arrays import Floats, Pixels

Generator = np.random.Generator
Ink = tuple[int, int, int]
FINE = 4  # drawn so much larger, then averaged


def inks(rng: Generator, count: int) -> list[Ink]:
    """A ground, and colours that stand off from it by at least a fifth of the way to white."""
    chosen = [rng.integers(0, 256, 3)]
    while len(chosen) < count:
        ink = rng.integers(0, 256, 3)
        if abs(float(ink.mean()) - float(chosen[0].mean())) > 50.0:
            chosen.append(ink)
    return [(int(r), int(g), int(b)) for r, g, b in chosen]


class Sheet:
    """A tile to draw on with polygons, in pixels; whatever leaves it comes in at the other side."""

    def __init__(self, width: int, height: int, ground: Ink) -> None:
        self.width, self.height = width, height
        self._image = Image.new("RGB", (width * FINE, height * FINE), ground)
        self._draw = ImageDraw.Draw(self._image)

    def shape(self, points: Floats, ink: Ink) -> None:
        """Draw a polygon at all its places."""
        for dx, dy in product((-self.width, 0, self.width), (-self.height, 0, self.height)):
            self.shape_here(points + np.array([dx, dy]), ink)

    def shape_here(self, points: Floats, ink: Ink) -> None:
        """Draw a polygon at this place alone, for cells that are drawn in one order all over."""
        self._draw.polygon([(float(x), float(y)) for x, y in points * FINE], fill=ink)

    def pixels(self) -> Pixels:
        """Return the tile."""
        return np.asarray(self._image.reduce(FINE))


def _size(rng: Generator) -> tuple[int, int]:
    return int(rng.integers(180, 340)), int(rng.integers(180, 340))


def _ring(radius_x: float, radius_y: float, start: float = 0.0, end: float = 2 * np.pi) -> Floats:
    angle = np.linspace(start, end, 48)
    return np.stack([radius_x * np.cos(angle), radius_y * np.sin(angle)], axis=1)


def _turn(points: Floats, angle: float) -> Floats:
    c, s = np.cos(angle), np.sin(angle)
    moved: Floats = points @ np.array([[c, s], [-s, c]])
    return moved


def places(rng: Generator, width: int, height: int, apart: float) -> list[Floats]:
    """Return places that lie at least so far apart, on a tile without end."""
    chosen: list[Floats] = []
    for _ in range(400):
        at = rng.uniform((0, 0), (width, height))
        off = [np.abs(at - other) for other in chosen]
        wrapped = [np.minimum(d, np.array([width, height]) - d) for d in off]
        if all(float(np.hypot(*d)) >= apart for d in wrapped):
            chosen.append(at)
    return chosen


def _strewn(
    rng: Generator, part: Callable[[Generator, float], Sequence[tuple[Floats, int]]]
) -> Pixels:
    """Strew a motif, given as (outline, number of its ink) from below to above."""
    width, height = _size(rng)
    colours = inks(rng, 5)
    sheet = Sheet(width, height, colours[0])
    size = rng.uniform(14.0, 40.0)
    for at in places(rng, width, height, size * rng.uniform(1.6, 3.2)):
        angle = rng.uniform(0.0, 2 * np.pi)
        for outline, ink in part(rng, size * rng.uniform(0.7, 1.1)):
            sheet.shape(_turn(outline, angle) + at, colours[ink])
    return sheet.pixels()


def mushrooms(rng: Generator) -> Pixels:
    def part(rng: Generator, size: float) -> list[tuple[Floats, int]]:
        stem = np.array([[-0.2, 0.0], [0.2, 0.0], [0.3, 0.9], [-0.3, 0.9]]) * size
        cap = _ring(size * 0.8, size * 0.7, np.pi, 2 * np.pi)
        spots = [
            (_ring(size * 0.1, size * 0.1) + rng.uniform((-0.4, -0.45), (0.4, -0.1)) * size, 3)
            for _ in range(3)
        ]
        return [(stem, 2), (cap, 1), *spots]

    return _strewn(rng, part)


def cherries(rng: Generator) -> Pixels:
    def stalk(x: float, size: float) -> Floats:
        return np.array([[0.0, -1.0], [0.08, -1.0], [x + 0.05, 0.1], [x - 0.05, 0.1]]) * size

    def part(_: Generator, size: float) -> list[tuple[Floats, int]]:
        fruit = _ring(size * 0.3, size * 0.3)
        pair = [(stalk(x, size), 2) for x in (-0.4, 0.4)]
        pair += [(fruit + np.array([x, 0.35]) * size, 1) for x in (-0.4, 0.4)]
        return [*pair, (_ring(size * 0.4, size * 0.15) + np.array([0.4, -0.95]) * size, 3)]

    return _strewn(rng, part)


def fishes(rng: Generator) -> Pixels:
    def part(_: Generator, size: float) -> list[tuple[Floats, int]]:
        tail = np.array([[-0.7, 0.0], [-1.1, -0.35], [-1.0, 0.0], [-1.1, 0.35]]) * size
        bands = [
            (_ring(0.04 * size, 0.25 * size) + np.array([x, 0.0]) * size, 2) for x in (-0.2, 0.1)
        ]
        eye = _ring(0.06 * size, 0.06 * size) + np.array([0.5, -0.08]) * size
        return [(tail, 2), (_ring(0.8 * size, 0.36 * size), 1), *bands, (eye, 0)]

    return _strewn(rng, part)


def kites(rng: Generator) -> Pixels:
    def part(rng: Generator, size: float) -> list[tuple[Floats, int]]:
        left = np.array([[0.0, -0.8], [0.0, 0.6], [-0.5, -0.1]]) * size
        right = left * (-1.0, 1.0)
        down = np.linspace(0.6, 1.5, 24)
        sway = 0.12 * np.sin((down - 0.6) * 9.0 + rng.uniform(0, 6))
        string = np.concatenate(
            [np.stack([sway - 0.03, down], 1), np.stack([sway + 0.03, down], 1)[::-1]]
        )
        return [(string * size, 3), (left, 1), (right, 2)]

    return _strewn(rng, part)


def chips(rng: Generator) -> Pixels:
    """Chips of stone in cement."""
    width, height = _size(rng)
    colours = inks(rng, 6)
    sheet = Sheet(width, height, colours[0])
    for at in places(rng, width, height, rng.uniform(12.0, 26.0)):
        angle = np.sort(rng.uniform(0, 2 * np.pi, int(rng.integers(4, 8))))
        radius = rng.uniform(3.0, 16.0) * rng.uniform(0.6, 1.0, len(angle))
        corners = np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=1)
        sheet.shape(corners + at, colours[int(rng.integers(1, 6))])
    return sheet.pixels()


def dabs(rng: Generator) -> Pixels:
    """Soft dabs of paint that lie over each other, on paper."""
    width, height = _size(rng)
    picture = np.tile(rng.uniform(225, 252, 3), (height, width, 1))
    y, x = np.mgrid[0:height, 0:width]
    radius = rng.uniform(16.0, 34.0)
    for at in places(rng, width, height, radius * rng.uniform(0.9, 1.8)):
        dx = (x - at[0] + width / 2) % width - width / 2
        dy = (y - at[1] + height / 2) % height - height / 2
        angle = np.arctan2(dy, dx)
        edge = radius * (1.0 + 0.16 * np.sin(3 * angle + rng.uniform(0, 6)))
        inside = 1.0 / (1.0 + np.exp((np.hypot(dx, dy) - edge) / rng.uniform(0.8, 3.0)))
        ink = rng.uniform(30, 220, 3)
        picture -= (picture - ink) * (inside * rng.uniform(0.3, 0.8))[..., None]
    return np.rint(np.clip(picture, 0, 255)).astype(np.uint8)


def _cells(rng: Generator) -> tuple[int, int, int]:
    """A cell's side, and how many lie across and down."""
    side = int(rng.integers(24, 56))
    count = max(3, 240 // side)
    return side, count + int(rng.integers(0, 3)), count + int(rng.integers(0, 3))


def arcs(rng: Generator) -> Pixels:
    """Quarter circles turned at random in every square: Smith, Leonardo 20, 1987."""
    side, across, down = _cells(rng)
    colours = inks(rng, 2)
    sheet = Sheet(side * across, side * down, colours[0])
    thick = rng.uniform(0.08, 0.2)
    for i, j in product(range(across), range(down)):
        ways = ((0, 0, 0), (1, 1, 2)) if rng.random() < 0.5 else ((1, 0, 1), (0, 1, 3))
        for cx, cy, quarter in ways:
            start = quarter * np.pi / 2
            outer = _ring(0.5 + thick / 2, 0.5 + thick / 2, start, start + np.pi / 2)
            inner = _ring(0.5 - thick / 2, 0.5 - thick / 2, start, start + np.pi / 2)
            band = np.concatenate([outer, inner[::-1]]) + np.array([cx + i, cy + j])
            sheet.shape(band * side, colours[1])
    return sheet.pixels()


def pinwheels(rng: Generator) -> Pixels:
    """Quilt blocks of four triangles, two cloths in turn."""
    side, across, down = _cells(rng)
    across, down = across + across % 2, down + down % 2
    colours = inks(rng, 4)
    sheet = Sheet(side * across, side * down, colours[0])
    blade = np.array([[0.0, 0.0], [0.5, 0.0], [0.5, 0.5]])
    # a polygon covers both its borders: only one order, beyond the edges too, is the same all over
    for i, j in product(range(-1, across + 1), range(-1, down + 1)):
        for k in range(4):
            turned = _turn(blade - 0.5, k * np.pi / 2) + 0.5
            sheet.shape_here((turned + np.array([i, j])) * side, colours[1 + (i + j) % 2])
    return sheet.pixels()


def stitches(rng: Generator) -> Pixels:
    """Running stitches along every line of a grid, each line begun over or under at random."""
    side, across, down = _cells(rng)
    side = max(14, side // 2)
    across, down = 2 * across, 2 * down
    colours = inks(rng, 2)
    sheet = Sheet(side * across, side * down, colours[0])
    half = rng.uniform(0.06, 0.14)
    dash = np.array([[0.08, -half], [0.92, -half], [0.92, half], [0.08, half]])
    for j, first in enumerate(rng.integers(0, 2, down)):
        for i in range(int(first), across, 2):
            sheet.shape((dash + np.array([i, j + 0.5])) * side, colours[1])
    for i, first in enumerate(rng.integers(0, 2, across)):
        for j in range(int(first), down, 2):
            sheet.shape((dash[:, ::-1] + np.array([i, j + 0.5])) * side, colours[1])
    return sheet.pixels()


def ogees(rng: Generator) -> Pixels:
    """A trellis of waves that touch, with a drop in each opening."""
    side, across, down = _cells(rng)
    across, tall = across + across % 2, int(side * rng.uniform(1.2, 2.0))
    down = max(2, down - 2)
    colours = inks(rng, 4)
    sheet = Sheet(side * across, tall * down, colours[0])
    thick = rng.uniform(1.5, 4.0)
    t = np.linspace(0.0, tall * down, 40 * down + 1)
    for i in range(across):
        sway = side / 2 * np.cos(np.pi * i + 2 * np.pi * t / tall)
        middle = side * (i + 0.5) + sway
        left, right = np.stack([middle - thick, t], 1), np.stack([middle + thick, t], 1)
        sheet.shape(np.concatenate([left, right[::-1]]), colours[1])
    drop = _ring(side * 0.22, tall * 0.2)
    for i, j in product(range(across), range(down)):
        sheet.shape(drop + np.array([side * i, tall * (j + 0.5 * (i % 2))]), colours[2])
    return sheet.pixels()


def quarters(rng: Generator) -> Pixels:
    """Discs, halves and quarters of discs, one a square, in a few inks."""
    side, across, down = _cells(rng)
    colours = inks(rng, 5)
    sheet = Sheet(side * across, side * down, colours[0])
    disc = _ring(0.5, 0.5) + 0.5
    quarter = np.concatenate([np.zeros((1, 2)), _ring(1.0, 1.0, 0.0, np.pi / 2)])
    cells = {}
    for place in product(range(across), range(down)):
        whole = rng.random() < 0.3
        turned = _turn(quarter - 0.5, np.pi / 2 * int(rng.integers(4))) + 0.5
        cells[place] = (disc if whole else turned, colours[int(rng.integers(1, 5))])
    for i, j in product(range(-1, across + 1), range(-1, down + 1)):
        outline, ink = cells[i % across, j % down]
        sheet.shape_here((outline + np.array([i, j])) * side, ink)
    return sheet.pixels()


def _field(rng: Generator, height: int, width: int, waves: int) -> Floats:
    """A smooth field of whole waves, about -1 to 1."""
    y, x = np.mgrid[0:height, 0:width]
    total = np.zeros((height, width))
    for _ in range(12):
        i, j = (int(k) for k in rng.integers(-waves, waves + 1, 2))
        total += np.cos(2 * np.pi * (i * x / width + j * y / height) + rng.uniform(0, 6.28))
    return total / 4.0


def marbling(rng: Generator) -> Pixels:
    """Inks that float on water, combed into bands."""
    width, height = _size(rng)
    bands = np.sin(rng.uniform(3.0, 7.0) * _field(rng, height, width, 3))
    fine = 0.2 * _field(rng, height, width, 9)
    share = np.clip(0.5 + 0.5 * bands + fine, 0.0, 1.0)[..., None]
    first, second = (np.array(ink, dtype=np.float64) for ink in inks(rng, 2))
    return np.rint(first + (second - first) * share).astype(np.uint8)


def felt(rng: Generator) -> Pixels:
    """Short hairs in all directions."""
    width, height = _size(rng)
    base = np.array(inks(rng, 1)[0], dtype=np.float64)
    sheet = Sheet(width, height, (int(base[0]), int(base[1]), int(base[2])))
    for _ in range(width * height // 60):
        long, thick = rng.uniform(5.0, 14.0), rng.uniform(0.3, 0.7)
        hair = np.array([[-long, -thick], [long, -thick], [long, thick], [-long, thick]]) / 2
        r, g, b = (int(k) for k in np.clip(base + rng.normal(0, 22), 0, 255))
        at = rng.uniform((0, 0), (width, height))
        sheet.shape(_turn(hair, rng.uniform(0, np.pi)) + at, (r, g, b))
    return sheet.pixels()


SEALED: dict[str, dict[str, Callable[[Generator], Pixels]]] = {
    "scattered": {
        "mushrooms": mushrooms,
        "cherries": cherries,
        "fishes": fishes,
        "kites": kites,
        "chips": chips,
        "dabs": dabs,
    },
    "geometric": {
        "arcs": arcs,
        "pinwheels": pinwheels,
        "stitches": stitches,
        "ogees": ogees,
        "quarters": quarters,
    },
    "texture": {"marbling": marbling, "felt": felt},
}
