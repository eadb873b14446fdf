"""Flower heads: marigolds and daisies for the day, moonflowers and buds for the dusk."""

from types import SimpleNamespace

import numpy as np

from .colours import mixed
from .leaves import leaf
from .shapes import Drawing, arc, brush, disc, outline, oval, placed


def marigold(radius: float, c: SimpleNamespace) -> Drawing:
    """A full marigold head: four rings of frilled petals, dark to light, each petal with a fold."""
    deep = mixed(c.clay, c.deep, 0.4)
    rings = ((1.0, 13, c.clay, deep), (0.78, 11, c.marigold, c.clay))
    rings += ((0.56, 9, mixed(c.marigold, c.ground, 0.3), c.clay), (0.34, 6, c.marigold, c.clay))
    drawing: Drawing = ()
    for n, (reach, count, face, fold) in enumerate(rings):
        for k in range(count):
            petal = placed(_frill(face, fold, 2.2 * np.pi * reach / count), scale=radius * reach)
            drawing += placed(petal, turn=360 / count * (k + 0.5 * (n % 2)) + 7 * n)
    return drawing + disc(0, 0, 0.13 * radius, c.clay) + disc(0, 0, 0.07 * radius, deep)


def _frill(face: str, fold: str, width: float) -> Drawing:
    w = width / 2
    edge = [(0, 0), (0.62 * w, -0.55), (w, -0.86), (0.62 * w, -0.98), (0.3 * w, -0.93)]
    edge += [(0, -1.02), (-0.3 * w, -0.93), (-0.62 * w, -0.98), (-w, -0.86), (-0.62 * w, -0.55)]
    drawing = outline([(1.1 * x, 1.035 * y) for x, y in edge], fold) + outline(edge, face)
    for x, top in ((-0.35, -0.76), (0, -0.84), (0.35, -0.76)):
        drawing += brush([(x * w * 0.5, -0.45), (x * w, top)], fold, 0.03, (0.4, 1, 0.3))
    return drawing


def daisy(radius: float, petal: str, heart: str, shade: str, petals: int = 9) -> Drawing:
    """A simple flower of separate petals round a stippled heart."""
    drawing: Drawing = ()
    for k in range(petals):
        turn = 360 / petals * k
        drawing += placed(oval(0, -0.62 * radius, 0.24 * radius, 0.4 * radius, petal), turn=turn)
        line = brush([(0, -0.3 * radius), (0, -0.68 * radius)], shade, 0.06 * radius, (1, 0.3))
        drawing += placed(line, turn=turn)
    return drawing + disc(0, 0, 0.28 * radius, heart)


def moonflower(radius: float, c: SimpleNamespace) -> Drawing:
    """A moonflower face on: a broad scalloped disc, a five-rayed star, a glowing throat."""
    a = np.radians(np.arange(0, 360, 12))
    edge = radius * (0.95 + 0.06 * np.cos(5 * a))
    ring = np.column_stack([edge * np.sin(a), -edge * np.cos(a)])
    drawing = outline(ring * 1.04, c.mist) + outline(ring, c.blush)
    for k in range(5):
        ray = [(0, 0), (0.15, -0.4), (0.05, -0.9), (-0.05, -0.9), (-0.15, -0.4)]
        drawing += placed(outline(ray, mixed(c.blush, c.mist, 0.55)), turn=72 * k, scale=radius)
        crease = brush([(0, -0.2), (0, -0.84)], c.mist, 0.03, (1, 0.4))
        drawing += placed(crease, turn=72 * k, scale=radius)
        for tilt, top in ((-24, -0.8), (-12, -0.72), (12, -0.72), (24, -0.8)):
            fold = brush([(0, -0.45), (0, top)], mixed(c.blush, c.mist, 0.6), 0.022, (0.3, 1, 0.3))
            drawing += placed(fold, turn=72 * k + tilt, scale=radius)
    drawing += disc(0, 0, 0.24 * radius, mixed(c.marigold, c.blush, 0.35))
    drawing += disc(0, 0, 0.15 * radius, c.marigold)
    for k in range(5):
        drawing += disc(*arc(0, 0, 0.12 * radius, 72 * k, 72 * k, n=1)[0], 0.035 * radius, c.accent)
    return drawing


def bud(size: float, c: SimpleNamespace, petal: str) -> Drawing:
    """A closed flower on a stem with one leaf."""
    stem = brush([(0, 0.1), (0.04, 0.4), (-0.02, 0.75)], c.leaf, 0.06, (1, 0.9))
    blade = placed(leaf(0.5, 0.22, c.leaf, c.leaf, c.sprout, veins=0), 0.03, 0.5, 55)
    blade = tuple(s for s in blade if s.widths is None)
    head = outline(
        [(0, 0.12), (0.19, -0.08), (0.1, -0.36), (0, -0.46), (-0.1, -0.36), (-0.19, -0.08)], petal
    )
    head += brush([(0.02, 0.0), (0.09, -0.15), (0.02, -0.38)], c.ground, 0.03, (0.3, 1, 0.3))
    head += outline(
        [
            (0, 0.18),
            (0.17, 0.02),
            (0.15, -0.12),
            (0.05, 0.0),
            (0, -0.14),
            (-0.05, 0.0),
            (-0.15, -0.12),
            (-0.17, 0.02),
        ],
        c.leaf,
    )
    return placed(stem + blade + head, scale=size)
