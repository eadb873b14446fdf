"""What grows in the beds: pea pods, radishes, artichokes, beetroots."""

from types import SimpleNamespace

import numpy as np

from .colours import mixed
from .leaves import leaf, lobed_leaf, tendril
from .shapes import Drawing, arc, between, brush, disc, outline, oval, placed, sides, smooth


def pea(radius: float, c: SimpleNamespace) -> Drawing:
    """One pea: body, a crescent of shade, a highlight."""
    shade = oval(-0.12 * radius, -0.14 * radius, 0.82 * radius, 0.8 * radius, c.sprout)
    light = oval(-0.35 * radius, -0.4 * radius, 0.26 * radius, 0.16 * radius, c.ground, turn=-40)
    return disc(0, 0, radius, c.leaf) + shade + light


def open_pod(length: float, c: SimpleNamespace, peas: int = 6) -> Drawing:
    """A pod lying from left to right, split open on its peas, with calyx and tip."""
    half = length / 2
    spine = smooth([(-half, -0.06 * length), (0, 0.07 * length), (half, -0.06 * length)], steps=30)
    t = np.linspace(0, 1, len(spine))
    body = np.sin(np.pi * t) ** 0.55
    left, right = sides(spine, 0.115 * length * body)
    inner_left, inner_right = sides(spine, 0.078 * length * np.sin(np.pi * t) ** 0.7)
    drawing = between(left, right, c.leaf) + between(
        right, inner_right, mixed(c.leaf, c.deep, 0.45)
    )
    drawing += between(inner_left, inner_right, c.deep)
    for k in range(peas):
        n = int(len(spine) * (0.15 + 0.7 * k / (peas - 1)))
        size = 0.064 * length * (0.72 + 0.28 * np.sin(np.pi * (k + 0.7) / (peas + 0.4)))
        drawing += placed(pea(size, c), *spine[n])
    rim = sides(spine, 0.098 * length * body)[0][6:-6]
    drawing += brush(rim[::8], c.sprout, 4.5, (0.1, 1, 0.9, 0.1))
    return drawing + _pod_ends(length, c)


def closed_pod(length: float, c: SimpleNamespace) -> Drawing:
    """A shut pod: the peas show as bumps with a highlight each, a seam runs along the top."""
    half = length / 2
    spine = smooth([(-half, -0.05 * length), (0, 0.06 * length), (half, -0.05 * length)], steps=30)
    t = np.linspace(0, 1, len(spine))
    width = 0.085 * length * np.sin(np.pi * t) ** 0.6
    left, right = sides(spine, width)
    drawing = between(left, right, c.sprout) + between(spine, left, mixed(c.sprout, c.leaf, 0.35))
    for k in range(5):
        n = int(len(spine) * (0.2 + 0.6 * k / 4))
        drawing += brush(arc(*spine[n], 0.058 * length, 20, 150), c.leaf, 4.5, (0.2, 1, 0.2))
        drawing += oval(
            spine[n][0], spine[n][1] - 0.02 * length, 0.016 * length, 6, c.ground, turn=-20
        )
    drawing += brush(left[4:-4:8], c.deep, 4, (0.3, 1, 0.3))
    return drawing + _pod_ends(length, c)


def _pod_ends(length: float, c: SimpleNamespace) -> Drawing:
    x, y = -length / 2, -0.06 * length
    drawing = brush([(x - 0.1 * length, y - 0.09 * length), (x, y)], c.deep, 8, (1, 0.9))
    for turn, size in ((70, 0.13), (112, 0.15), (150, 0.12)):
        sepal = leaf(size * length, 0.055 * length, c.deep, c.deep, c.leaf, veins=0)
        drawing += placed(sepal, x, y, turn)
    tip = [(-x - 0.015 * length, y), (-x + 0.035 * length, y - 0.03 * length)]
    return drawing + brush([*tip, (-x + 0.04 * length, y - 0.07 * length)], c.deep, 6)


def pea_flower(size: float, c: SimpleNamespace) -> Drawing:
    """A pea blossom: two broad back petals, a keel in the accent, a green calyx."""
    back = [(0, 0.05), (-0.34, 0), (-0.5, -0.28), (-0.3, -0.5), (0, -0.38)]
    right = [(-x, y) for x, y in reversed(back)]
    drawing = outline(back, c.blush) + outline(right, c.blush)
    for x in (-0.34, -0.2, 0.2, 0.34):
        drawing += brush([(x * 0.35, -0.08), (x, -0.36)], c.accent, 0.022, (1, 0.3))
    drawing += outline([(0, -0.2), (0.2, -0.05), (0.1, 0.2), (-0.1, 0.2), (-0.2, -0.05)], c.accent)
    drawing += brush([(0, -0.12), (0.015, 0.12)], c.blush, 0.035, (0.6, 0.2))
    drawing += outline([(-0.12, 0.14), (0, 0.2), (0.12, 0.14), (0.05, 0.36), (-0.05, 0.36)], c.leaf)
    drawing += brush([(0, 0.32), (0.05, 0.5), (0.02, 0.62)], c.leaf, 0.06)
    return placed(drawing, scale=size)


def pea_spray(size: float, c: SimpleNamespace) -> Drawing:
    """A pair of round leaves on a stem that ends in a tendril."""
    stem = brush(
        [(0, 0.5 * size), (0.03 * size, 0.1 * size), (0, -0.1 * size)], c.deep, 5, (1, 0.8)
    )
    curl = placed(tendril(0.42 * size, c.deep), 0, -0.08 * size, -8)
    blade = leaf(0.55 * size, 0.36 * size, c.leaf, mixed(c.leaf, c.deep, 0.3), c.sprout)
    pair = placed(blade, 0, 0.2 * size, 68) + placed(blade, 0, 0.2 * size, -68, flip=True)
    return stem + curl + pair


def radish(size: float, c: SimpleNamespace, leaves: int = 3) -> Drawing:
    """A radish with its leaves up: round red body, white foot, thin root, highlight and shade."""
    drawing: Drawing = ()
    for k, turn in enumerate(np.linspace(-34, 34, leaves)):
        length = size * (1.05 if k == leaves // 2 else 0.9)
        blade = lobed_leaf(length, size * 0.46, c.leaf, mixed(c.leaf, c.deep, 0.38), c.sprout)
        drawing += placed(blade, 0, -0.26 * size, turn)
    dark = mixed(c.accent, c.deep, 0.32)
    body = [(0, -0.32), (0.26, -0.25), (0.36, 0), (0.27, 0.23), (0.06, 0.38), (0, 0.4)]
    whole = body + [(-x, y) for x, y in reversed(body[1:-1])]
    shape = outline(whole, c.accent)
    shape += outline([(0.26, -0.25), (0.36, 0), (0.27, 0.23), (0.06, 0.38), (0.24, 0.02)], dark)
    foot = [(-0.165, 0.3), (-0.09, 0.25), (0, 0.295), (0.08, 0.25), (0.165, 0.3), (0.07, 0.38)]
    shape += outline([*foot, (0, 0.42), (-0.07, 0.38)], c.blush)
    shape += brush([(0, 0.36), (0.02, 0.58), (-0.06, 0.8)], c.blush, 0.075, (1, 0.5, 0.15))
    shape += brush(arc(0, 0, 0.26, 172, 232), c.blush, 0.055, (0.2, 1, 0.3))
    shape += brush([(0.05, -0.23), (0.14, -0.12), (0.16, 0.0)], dark, 0.018, (0.3, 1, 0.3))
    shape += brush([(-0.04, -0.21), (0.0, -0.14), (0.01, -0.06)], dark, 0.018, (0.3, 1, 0.3))
    crown = oval(0, -0.3, 0.1, 0.045, mixed(c.leaf, c.deep, 0.38))
    return drawing + placed(shape + crown, scale=size)


def radish_slice(radius: float, c: SimpleNamespace) -> Drawing:
    """A slice: red rim, white flesh, fine rays."""
    drawing = disc(0, 0, radius, c.accent) + disc(0, 0, radius * 0.84, c.ground)
    drawing += disc(0, 0, radius * 0.5, mixed(c.ground, c.blush, 0.55))
    for a in np.arange(0, 360, 30):
        inner, outer = arc(0, 0, radius * 0.2, a, a, n=1), arc(0, 0, radius * 0.66, a, a, n=1)
        drawing += brush(np.concatenate([inner, outer]), c.blush, radius * 0.07, (1, 0.3))
    return drawing + disc(0, 0, radius * 0.09, c.blush)


def artichoke(size: float, c: SimpleNamespace) -> Drawing:
    """A globe artichoke: rows of scales laid from the tip down, each with a rim and a rib."""
    drawing = brush([(0, 0.3), (0, 0.95)], c.leaf, 0.13, (1, 0.6))
    drawing += outline(
        [(0, -0.62), (0.32, -0.2), (0.38, 0.15), (0, 0.4), (-0.38, 0.15), (-0.32, -0.2)], c.deep
    )
    rows = (
        (-0.4, 1, 0.0),
        (-0.3, 2, 0.1),
        (-0.16, 3, 0.17),
        (0.0, 4, 0.24),
        (0.15, 5, 0.29),
        (0.28, 4, 0.22),
        (0.37, 3, 0.12),
    )
    for row, (y, count, reach) in enumerate(rows):
        face = (c.accent, c.blush)[row] if row < 2 else (c.sprout, c.mist)[row % 2]
        for x in sorted(np.linspace(-reach, reach, count), key=lambda v: -abs(v)):
            drawing += placed(_scale(face, c), x, y, x * 70, scale=0.34)
    return placed(drawing, scale=size)


def _scale(face: str, c: SimpleNamespace) -> Drawing:
    edge = [(0, 0.3), (0.28, 0.1), (0.26, -0.3), (0, -0.72), (-0.26, -0.3), (-0.28, 0.1)]
    inner = [(0.82 * x, 0.86 * y + 0.01) for x, y in edge]
    drawing = outline(edge, c.deep) + outline(inner, face)
    for x, top in ((-0.1, -0.22), (0, -0.42), (0.1, -0.22)):
        drawing += brush([(x, 0.1), (x * 0.7, top)], c.leaf, 0.05, (1, 0.3))
    return drawing


def beetroot(size: float, ink: str, tint: str, line: float = 2.6) -> Drawing:
    """A beetroot in line on a loose tint: contour, hatching that follows its form, root, stalks."""
    drawing = disc(0.03 * size, 0.02 * size, 0.33 * size, tint)
    drawing += brush(smooth(arc(0, 0, 0.34 * size, -82, 262, n=20))[::8], ink, line * 1.2, (1, 1))
    for k in range(11):
        reach, span = 0.33 * (1 - k / 12.5), 66 - 4.2 * k + 5 * (k % 2)
        bow = arc(0, 0, size, -span + 1.5 * k, span, n=7) * (reach, 0.33)
        drawing += brush(bow, ink, line * 0.8, (0.4, 1, 0.4))
    for k in range(4):
        bow = arc(0, 0, size, 215 + 4 * k, 238 + 2 * k, n=5) * (0.29 - 0.05 * k, 0.29)
        drawing += brush(bow, ink, line * 0.8, (0.4, 1, 0.4))
    root = [(0.02, 0.33), (0.03, 0.5), (-0.05, 0.7), (0.02, 0.86)]
    drawing += brush(np.array(root) * size, ink, line * 2.4, (1.6, 1, 0.7, 0.4))
    for x, y, dx in ((0.0, 0.45, 0.12), (0.0, 0.55, -0.13), (-0.04, 0.66, 0.1)):
        hair = [(x, y), (x + dx / 2, y + 0.02), (x + dx, y + 0.07)]
        drawing += brush(np.array(hair) * size, ink, line * 0.8, (1, 0.8, 0.6))
    for turn, length in ((-30, 0.75), (30, 0.72), (1, 0.92)):
        blade = line_leaf(length * size, 0.28 * size, ink, tint, line)
        drawing += placed(blade, 0, -0.31 * size, turn)
    return drawing


def line_leaf(length: float, width: float, ink: str, tint: str, line: float) -> Drawing:
    """A stalked leaf in fine line on a loose tint, one half hatched."""
    spine = smooth([(0, 0), (0.05 * length, -length / 2), (0, -length)], steps=30)
    t = np.clip(np.linspace(-0.6, 1, len(spine)), 0, 1)
    left, right = sides(spine, width / 2 * np.sin(np.pi * t**0.8) * (1 + 0.1 * np.sin(26 * t)))
    drawing = placed(between(left, right, tint), 0.015 * length, 0.01 * length)
    drawing += brush(spine[::10], ink, line * 1.2, (1.6, 1, 0.6))
    drawing += brush(left[20::3], ink, line, (1, 1)) + brush(right[20::3], ink, line, (1, 1))
    for n in range(26, len(spine) - 4, 3):
        drawing += brush([spine[n], right[min(n + 4, len(spine) - 1)]], ink, line * 0.8, (1, 1))
    for n in range(26, len(spine) - 8, 7):
        rib = spine[n + 5] + 0.7 * (left[n + 5] - spine[n + 5])
        drawing += brush([spine[n], rib], ink, line * 0.8, (1, 0.8))
    return drawing
