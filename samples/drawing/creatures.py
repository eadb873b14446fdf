"""Who visits: bees and ladybirds by day, moths by night."""

from types import SimpleNamespace

import numpy as np

from .colours import mixed
from .shapes import Drawing, arc, brush, disc, outline, oval, placed, polygon


def bee(size: float, c: SimpleNamespace) -> Drawing:
    """A bee from above, head up: striped body, veined wings, feelers."""
    drawing: Drawing = ()
    for side in (-1, 1):
        drawing += placed(_bee_wing(c), side * 0.08, -0.12, side * 62, flip=side < 0)
        drawing += brush(
            [(side * 0.05, -0.42), (side * 0.12, -0.54), (side * 0.2, -0.58)], c.deep, 0.03
        )
        for y, reach in ((-0.1, 0.26), (0.05, 0.28)):
            drawing += brush([(side * 0.1, y), (side * reach, y + 0.08)], c.deep, 0.03)
    drawing += outline(
        [
            (0, -0.1),
            (0.17, 0.0),
            (0.2, 0.2),
            (0.12, 0.42),
            (0, 0.52),
            (-0.12, 0.42),
            (-0.2, 0.2),
            (-0.17, 0.0),
        ],
        c.marigold,
    )
    for y, reach in ((0.08, 0.175), (0.22, 0.18), (0.35, 0.135)):
        drawing += brush([(-reach, y), (0, y + 0.035), (reach, y)], c.deep, 0.075, (0.8, 1, 0.8))
    drawing += outline([(0, 0.56), (0.07, 0.45), (-0.07, 0.45)], c.deep)
    drawing += disc(0, -0.14, 0.16, mixed(c.marigold, c.clay, 0.6))
    for a in range(0, 360, 30):
        tuft = np.concatenate([arc(0, -0.14, 0.07, a, a, n=1), arc(0, -0.14, 0.14, a, a, n=1)])
        drawing += brush(tuft, c.marigold, 0.025, (1, 0.4))
    drawing += oval(0, -0.34, 0.12, 0.1, c.deep) + disc(0.05, -0.37, 0.02, c.ground)
    return placed(drawing, scale=size)


def _bee_wing(c: SimpleNamespace) -> Drawing:
    edge = [(0, 0.04), (0.17, -0.2), (0.16, -0.5), (0, -0.62), (-0.12, -0.45), (-0.1, -0.15)]
    drawing = outline(edge, c.zinc) + outline(
        [(0.87 * x + 0.004, 0.91 * y - 0.02) for x, y in edge], c.mist
    )
    for top in ((0.1, -0.45), (0.0, -0.53), (-0.07, -0.4)):
        drawing += brush([(0, -0.06), (top[0] * 0.7, top[1] * 0.5), top], c.zinc, 0.018, (1, 0.6))
    return drawing


def ladybird(size: float, c: SimpleNamespace) -> Drawing:
    """A ladybird from above, head up."""
    drawing: Drawing = ()
    for side in (-1, 1):
        for y in (-0.2, 0.05, 0.28):
            leg = [(side * 0.3, y), (side * 0.44, y - 0.03), (side * 0.52, y + 0.1)]
            drawing += brush(leg, c.deep, 0.045, (1, 0.5))
        drawing += brush([(side * 0.08, -0.45), (side * 0.2, -0.62)], c.deep, 0.035)
    drawing += oval(0, -0.4, 0.2, 0.17, c.deep)
    drawing += oval(0, 0.05, 0.4, 0.46, c.accent)
    drawing += oval(0.06, 0.1, 0.34, 0.4, mixed(c.accent, c.deep, 0.18)) + oval(
        -0.02, 0.04, 0.36, 0.41, c.accent
    )
    drawing += brush([(0, -0.38), (0, 0.5)], c.deep, 0.035, (1, 0.7))
    for x, y, r in ((0.2, -0.14, 0.085), (0.23, 0.17, 0.075), (0.12, 0.36, 0.055)):
        drawing += disc(x, y, r, c.deep) + disc(-x, y, r, c.deep)
    drawing += brush(arc(0, 0.05, 0.32, 195, 235), c.blush, 0.05, (0.2, 1, 0.2))
    drawing += disc(-0.1, -0.43, 0.045, c.ground) + disc(0.1, -0.43, 0.045, c.ground)
    return placed(drawing, scale=size)


def flight(size: float, colour: str) -> Drawing:
    """A dotted flight path with one loop: a trochoid, its dots evenly spaced."""
    a = np.linspace(-1.55 * np.pi, 1.55 * np.pi, 400)
    x, y = 0.085 * a - 0.15 * np.sin(a), -0.15 * np.cos(a)
    travelled = np.concatenate([[0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
    drawing: Drawing = ()
    for at in np.linspace(0, travelled[-1], 25):
        px, py = np.interp(at, travelled, x), np.interp(at, travelled, y)
        drawing += disc(px * size, py * size, 0.014 * size, colour)
    return drawing


def moth(size: float, c: SimpleNamespace, upper: str, lower: str) -> Drawing:
    """A moth with spread wings: banded upper wings with eye spots, plain lower wings, fur."""
    half = _hind_wing(lower, c) + _fore_wing(upper, c)
    feeler = brush([(0.03, -0.34), (0.1, -0.5), (0.22, -0.56)], c.blush, 0.022, (1, 0.5))
    for t in np.linspace(0.3, 0.95, 6):
        x, y = 0.03 + 0.19 * t, -0.34 - 0.22 * t**0.6
        feeler += brush([(x, y), (x - 0.015, y - 0.06)], c.blush, 0.014, (1, 0.6))
    drawing = half + placed(half, flip=True) + feeler + placed(feeler, flip=True)
    drawing += outline(
        [
            (0, -0.34),
            (0.08, -0.24),
            (0.09, 0.0),
            (0.05, 0.36),
            (0, 0.42),
            (-0.05, 0.36),
            (-0.09, 0.0),
            (-0.08, -0.24),
        ],
        c.mist,
    )
    for k in range(6):
        y, w = 0.02 + 0.06 * k, 0.075 - 0.009 * k
        drawing += brush([(-w, y), (0, y + 0.018), (w, y)], c.zinc, 0.022, (0.5, 1, 0.5))
    drawing += oval(0, -0.2, 0.095, 0.13, c.blush) + disc(0, -0.34, 0.06, c.mist)
    return placed(drawing, scale=size)


def _fore_wing(face: str, c: SimpleNamespace) -> Drawing:
    edge = np.array(
        [
            (0.05, -0.26),
            (0.35, -0.46),
            (0.72, -0.5),
            (0.8, -0.42),
            (0.68, -0.12),
            (0.5, 0.05),
            (0.25, 0.04),
            (0.06, -0.02),
        ]
    )
    middle = np.array([0.3, -0.2])
    drawing = outline(edge, c.deep) + outline(middle + (edge - middle) * 0.93, face)
    light = mixed(face, c.blush, 0.65)
    drawing += brush([(0.66, -0.44), (0.6, -0.2), (0.46, -0.02)], light, 0.06, (0.5, 1, 0.5))
    drawing += brush([(0.24, -0.33), (0.22, -0.15), (0.16, -0.02)], light, 0.035, (0.5, 1, 0.5))
    for y in (-0.38, -0.26, -0.12):
        drawing += brush(
            [(0.08, -0.15), (0.3, y * 0.8 - 0.03), (0.5, y)], mixed(face, c.deep, 0.45), 0.016
        )
    drawing += disc(0.42, -0.25, 0.075, c.deep) + disc(0.42, -0.25, 0.055, c.marigold)
    return drawing + disc(0.42, -0.25, 0.028, c.deep)


def _hind_wing(face: str, c: SimpleNamespace) -> Drawing:
    edge = np.array(
        [
            (0.04, -0.02),
            (0.3, 0.0),
            (0.5, 0.12),
            (0.48, 0.32),
            (0.34, 0.46),
            (0.2, 0.4),
            (0.08, 0.2),
        ]
    )
    middle = np.array([0.26, 0.18])
    drawing = outline(edge, c.deep) + outline(middle + (edge - middle) * 0.91, face)
    drawing += brush([(0.42, 0.16), (0.38, 0.3), (0.26, 0.36)], c.blush, 0.04, (0.4, 1, 0.4))
    for end in ((0.38, 0.12), (0.34, 0.26), (0.22, 0.32)):
        drawing += brush([(0.08, 0.06), end], mixed(face, c.deep, 0.4), 0.014)
    return drawing


def star(radius: float, colour: str, points: int = 4, waist: float = 0.3) -> Drawing:
    """A pointed star, one point up."""
    a = np.arange(2 * points) * np.pi / points
    reach = radius * np.where(np.arange(2 * points) % 2, waist, 1)
    return polygon(np.column_stack([reach * np.sin(a), -reach * np.cos(a)]), colour)
