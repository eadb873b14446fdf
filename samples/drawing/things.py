"""Things in the garden: watering cans, seed packets, flower pots, lanterns."""

from types import SimpleNamespace

import numpy as np

from .colours import mixed
from .leaves import seedling
from .shapes import Drawing, arc, brush, disc, outline, oval, placed, polygon


def drop(size: float, colour: str, light: str) -> Drawing:
    """A drop of water, tip up."""
    body = outline(
        [
            (0, -0.55),
            (0.17, -0.12),
            (0.3, 0.2),
            (0.18, 0.44),
            (0, 0.5),
            (-0.18, 0.44),
            (-0.3, 0.2),
            (-0.17, -0.12),
        ],
        colour,
    )
    return placed(
        body + brush(arc(0, 0.17, 0.19, 100, 190), light, 0.07, (0.2, 1, 0.2)), scale=size
    )


def watering_can(size: float, c: SimpleNamespace, body: str, band: str) -> Drawing:
    """A watering can facing right: body with bands and shade, handles, spout with its rose."""
    dark, light = mixed(body, c.deep, 0.4), mixed(body, c.ground, 0.45)
    drawing = brush(
        [(-0.28, -0.22), (-0.56, -0.16), (-0.58, 0.14), (-0.34, 0.3)], dark, 0.06, (1, 1)
    )
    drawing += brush(
        [(-0.22, -0.26), (-0.12, -0.54), (0.14, -0.54), (0.22, -0.26)], dark, 0.055, (1, 1)
    )
    drawing += polygon([(0.22, 0.3), (0.22, 0.12), (0.62, -0.32), (0.7, -0.26)], body)
    drawing += polygon([(0.22, 0.3), (0.22, 0.24), (0.675, -0.28), (0.7, -0.26)], dark)
    drawing += brush([(0.27, -0.1), (0.47, -0.13)], dark, 0.035, (1, 1))
    rose = polygon([(-0.05, 0.06), (0.05, 0.06), (0.13, -0.1), (-0.13, -0.1)], band)
    rose += oval(0, -0.1, 0.13, 0.045, light)
    for x in (-0.075, -0.025, 0.025, 0.075):
        rose += disc(x, -0.1, 0.012, c.deep)
    drawing += placed(rose, 0.68, -0.33, 46)
    base = arc(0, 0, 1, 0, 180, n=40) * (0.34, 0.08) + (0, 0.36)
    drawing += polygon([(-0.3, -0.26), (0.3, -0.26), *base], body)
    drawing += polygon([(0.14, -0.26), (0.3, -0.26), *base[:14], (0.17, 0.1)], dark)
    for y in (-0.1, 0.26):
        drawing += brush([(-0.31, y), (0, y + 0.04), (0.325, y)], band, 0.055, (1, 1, 1))
    drawing += brush([(-0.24, -0.02), (-0.25, 0.18)], light, 0.045, (0.4, 1, 0.4))
    drawing += oval(0, -0.265, 0.3, 0.065, light) + oval(0, -0.26, 0.245, 0.042, c.deep)
    return placed(drawing, scale=size)


def pot(size: float, c: SimpleNamespace) -> Drawing:
    """A terracotta pot with a seedling."""
    dark = mixed(c.clay, c.deep, 0.3)
    plant = tuple(s for s in placed(seedling(0.75 * size, c), 0, -0.33 * size))
    drawing = polygon([(-0.27, -0.1), (0.27, -0.1), (0.19, 0.48), (-0.19, 0.48)], c.clay)
    drawing += polygon([(0.08, -0.1), (0.27, -0.1), (0.19, 0.48), (0.06, 0.48)], dark)
    drawing += polygon([(-0.32, -0.2), (0.32, -0.2), (0.31, -0.02), (-0.31, -0.02)], c.clay)
    drawing += polygon([(0.1, -0.2), (0.32, -0.2), (0.31, -0.02), (0.1, -0.02)], dark)
    drawing += polygon([(-0.31, -0.02), (0.31, -0.02), (0.27, 0.02), (-0.27, 0.02)], dark)
    drawing += brush([(-0.24, -0.11), (-0.1, -0.11)], c.blush, 0.035, (0.3, 1, 0.3))
    return plant + placed(drawing, scale=size)


def packet(size: float, c: SimpleNamespace, paper: str, picture: Drawing) -> Drawing:
    """A seed packet: pinked top edge, folded flap, a picture in an arched label, lines of text."""
    w, top, foot = 0.34, -0.5, 0.5
    teeth = [(x, top + 0.025 * (k % 2)) for k, x in enumerate(np.linspace(-w, w, 17))]
    drawing = placed(polygon([*teeth, (w, foot), (-w, foot)], c.deep), 0.022, 0.026)
    drawing += polygon([*teeth, (w, foot), (-w, foot)], paper)
    dark = mixed(paper, c.deep, 0.28)
    drawing += polygon([*teeth, (w, top + 0.13), (-w, top + 0.13)], dark)
    drawing += brush([(-w + 0.03, top + 0.165), (w - 0.03, top + 0.165)], c.ground, 0.012, (1, 1))
    arch = np.concatenate([arc(0, -0.06, 0.25, 180, 360, n=24), [(0.25, 0.24), (-0.25, 0.24)]])
    drawing += polygon(arch, c.ground)
    drawing += placed(picture, 0, -0.02)
    for y, reach in ((0.32, 0.2), (0.385, 0.14)):
        drawing += brush([(-reach, y), (0, y), (reach, y)], c.ground, 0.028, (1, 1))
    return placed(drawing, scale=size)


def lantern(size: float, c: SimpleNamespace, glow: str) -> Drawing:
    """A paper lantern: ribbed globe, caps, cord and tassel."""
    drawing = brush([(0, -0.62), (0, -0.4)], c.mist, 0.02, (1, 1))
    a = np.radians(np.arange(0, 360, 15))
    globe = np.column_stack([0.36 * np.sin(a), -0.38 * np.cos(a)])
    drawing += outline(globe, glow)
    drawing += outline(globe * (0.74, 0.86), mixed(glow, c.marigold, 0.5))
    drawing += outline(globe * (0.42, 0.62), mixed(glow, c.blush, 0.65))
    dark = mixed(glow, c.deep, 0.35)
    for y in np.linspace(-0.28, 0.28, 7):
        reach = 0.36 * np.sqrt(1 - (y / 0.385) ** 2)
        drawing += brush([(-reach, y), (0, y + 0.035), (reach, y)], dark, 0.014, (1, 0.7, 1))
    for y in (-0.385, 0.385):
        drawing += polygon(
            [(-0.15, y - 0.04), (0.15, y - 0.04), (0.13, y + 0.04), (-0.13, y + 0.04)], c.zinc
        )
        drawing += brush([(-0.13, y), (0.13, y)], c.marigold, 0.016, (1, 1))
    for x in (-0.05, -0.025, 0, 0.025, 0.05):
        drawing += brush([(x * 0.4, 0.46), (x, 0.72)], c.accent, 0.02, (1, 0.6))
    return placed(drawing + disc(0, 0.45, 0.035, c.marigold), scale=size)
