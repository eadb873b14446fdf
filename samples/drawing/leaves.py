"""Leaves, sprigs, tendrils and fern fronds: what fills the gaps between larger motifs."""

from types import SimpleNamespace

import numpy as np

from .shapes import Drawing, Points, between, brush, disc, outline, placed, sides, smooth


def leaf(
    length: float,
    width: float,
    face: str,
    shade: str,
    vein: str,
    *,
    bend: float = 0.15,
    veins: int = 5,
) -> Drawing:
    """A leaf growing upwards from the origin: a light half, a shaded half, midrib and veins."""
    spine = smooth([(0, 0), (bend * length * 0.6, -length / 2), (bend * length * 0.3, -length)])
    t = np.linspace(0, 1, len(spine))
    half = width / 2 * np.sin(np.pi * t**0.8) ** 0.9
    left, right = sides(spine, half)
    drawing = between(left, right, face) + between(spine, left, shade)
    for k in range(1, veins + 1):
        n = int(len(spine) * (0.08 + 0.72 * k / (veins + 1)))
        m = min(len(spine) - 1, n + int(len(spine) * 0.16))
        for side in (left, right):
            end = spine[m] + 0.78 * (side[m] - spine[m])
            drawing += brush([spine[n], (spine[n] + end) / 2, end], vein, 2.4, (1, 0.8, 0.4))
    return drawing + brush(spine[:: len(spine) // 6], vein, 4.2, (1.2, 0.9, 0.4))


def lobed_leaf(length: float, width: float, face: str, shade: str, vein: str) -> Drawing:
    """A radish leaf: a large end lobe, smaller paired lobes below, a pale rib."""
    drawing: Drawing = ()
    for at, size in ((0.3, 0.34), (0.48, 0.5), (0.66, 0.7)):
        for side in (-1, 1):
            lobe = leaf(width * size, width * size * 0.62, face, shade, vein, veins=0)
            drawing += placed(lobe, 0, -length * at, side * 62)
    end = leaf(length * 0.5, width * 0.78, face, shade, vein, bend=0, veins=3)
    drawing += placed(end, 0, -length * 0.52)
    return drawing + brush([(0, 0), (width * 0.03, -length / 2), (0, -length * 0.95)], vein, 6)


def tendril(size: float, colour: str, width: float = 4.5, turns: float = 1.6) -> Drawing:
    """A curling tendril that starts at the origin going up."""
    t = np.linspace(0, 1, 22)
    angle = np.radians(90) - turns * 2 * np.pi * t
    radius = size * 0.5 * (1 - t) ** 0.8 + size * 0.06
    x = size * 0.55 - radius * np.sin(angle) - size * 0.02
    y = -size * 0.45 * np.minimum(1, t * 3) + radius * np.cos(angle)
    start = np.array([[x[0], y[0]]])
    return brush(np.column_stack([x, y]) - start, colour, width, (1, 0.9, 0.8, 0.5))


def sprig(length: float, c: SimpleNamespace, pairs: int = 3, berry: str | None = None) -> Drawing:
    """A stem with paired leaves, ending in a leaf or a berry; centred on the origin."""
    drawing: Drawing = brush([(0, length / 2), (length * 0.05, 0), (0, -length / 2)], c.deep, 4)
    for k in range(pairs):
        y = length * (0.34 - 0.62 * k / pairs)
        size = length * (0.36 - 0.05 * k)
        blade = leaf(size, size * 0.45, c.leaf, c.leaf, c.sprout, veins=0)
        for side in (-1, 1):
            drawing += placed(blade, length * 0.03, y, side * 52)
    if berry:
        return drawing + disc(0, -length / 2, length * 0.1, berry)
    tip = leaf(length * 0.32, length * 0.15, c.leaf, c.leaf, c.sprout, bend=0, veins=0)
    return drawing + placed(tip, 0, -length * 0.4)


def seedling(size: float, c: SimpleNamespace) -> Drawing:
    """Two seed leaves on a stem, on a small heap of earth."""
    heap = outline(
        [(-0.4, 0.42), (-0.22, 0.3), (0, 0.26), (0.24, 0.31), (0.4, 0.42), (0, 0.47)], c.clay
    )
    stem = brush([(0, 0.3), (0.03, 0.05), (0, -0.15)], c.leaf, 0.07, (1, 0.8, 0.8))
    drawing = placed(stem + heap, scale=size)
    for side in (-1, 1):
        blade = leaf(size * 0.5, size * 0.3, c.leaf, c.leaf, c.sprout, bend=side * 0.2, veins=0)
        drawing += placed(blade, 0, -size * 0.12, side * 58)
    crumbs = ((-0.15, 0.38), (0.05, 0.36), (0.2, 0.4))
    return drawing + tuple(
        s for x, y in crumbs for s in disc(x * size, y * size, size * 0.02, c.deep)
    )


def frond(length: float, ink: str, line: float = 2.6, bend: float = 0.1) -> Drawing:
    """A fern drawn in fine lines: a curved stem, pinnae, and hatching along one side of each."""
    count = int(length / 20)
    spine = smooth([(0, length / 2), (length * bend, 0), (0, -length / 2)], steps=count)
    drawing = brush(spine[:: count // 3], ink, line * 1.2, (1.4, 1, 0.7))
    along = np.gradient(spine, axis=0)
    for n in range(int(0.3 * count), 2 * count, 2):
        share = n / (2 * count)
        reach = 0.27 * length * np.sin(np.pi * (0.22 + 0.78 * share)) ** 0.8 + 3
        heading = np.degrees(np.arctan2(along[n, 1], along[n, 0])) + 90
        for side in (-1, 1):
            drawing += placed(_pinna(reach, ink, line, side), *spine[n], heading + side * 56)
    return drawing


def _pinna(reach: float, ink: str, line: float, side: int) -> Drawing:
    stem: Points = smooth(
        [(0, 0), (side * 0.04 * reach, -reach / 2), (side * -0.12 * reach, -reach)]
    )
    half = min(7.5, 0.13 * reach) * np.sin(np.pi * np.linspace(0.1, 1, len(stem)) ** 0.7)
    left, right = sides(stem, half)
    edge = np.concatenate([left[::4], right[-2::-4]])
    drawing = brush(edge, ink, line * 0.9, (1, 1), closed=True)
    drawing += brush(stem[::6], ink, line * 0.8, (1, 1))
    for n in range(2, len(stem) - 4, max(2, int(170 / reach))):
        drawing += brush([stem[n], right[n + 2]], ink, line * 0.8, (1, 1))
    return drawing
