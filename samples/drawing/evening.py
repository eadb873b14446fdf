"""The second set: the same garden after dusk, in its own colours and with its own motifs."""

from types import SimpleNamespace

from PIL import Image

from .colours import DUSK, mixed
from .creatures import moth, star
from .flowers import bud, daisy, moonflower
from .leaves import leaf, sprig, tendril
from .scatter import Scatter
from .shapes import Drawing, between, brush, disc, outline, placed, smooth
from .things import lantern
from .torus import Torus
from .weaves import cut_dot, stripes, wash, woven_check


def moths(c: SimpleNamespace = DUSK) -> Image.Image:
    """Moths in three liveries among stars and sprigs."""
    on = Scatter(Torus(1350, 1350, c.ground), seed=5)
    liveries = ((c.clay, c.mist), (c.sprout, c.leaf), (c.accent, c.marigold))
    on.fill([moth(270, c, *livery) for livery in liveries], 8, gap=36, scale=(0.95, 1.15))
    pale = SimpleNamespace(**{**vars(c), "leaf": c.sprout, "sprout": c.leaf, "deep": c.leaf})
    on.fill([sprig(190, pale, berry=c.marigold), moth(130, c, c.mist, c.zinc)], 14, gap=24)
    on.fill([star(30, c.marigold), star(22, c.blush), sprig(100, pale, 2)], 34, gap=20)
    on.fill([disc(0, 0, 6, c.mist), star(12, c.marigold)], 90, gap=20, turns=(0,))
    return on.torus.finished()


def moonflowers(c: SimpleNamespace = DUSK) -> Image.Image:
    """Moonflowers with heart-shaped leaves and tendrils on plum."""
    on = Scatter(Torus(1200, 1500, c.zinc), seed=12)
    on.fill([moonflower(150, c)], 6, gap=34, scale=(0.9, 1.1))
    on.fill([heart_leaf(210, c), moonflower(86, c)], 12, gap=20, scale=(0.85, 1.05))
    on.fill([bud(150, c, c.blush), heart_leaf(120, c), tendril(110, c.sprout)], 22, gap=15)
    on.fill([star(18, c.marigold), disc(0, 0, 6, c.mist)], 80, gap=17, turns=(0,))
    return on.torus.finished()


def heart_leaf(size: float, c: SimpleNamespace) -> Drawing:
    """A heart-shaped leaf, stalk down, one half in shade."""
    half = [(0, 0.28), (0.16, 0.42), (0.4, 0.3), (0.42, 0.02), (0.22, -0.32), (0, -0.6)]
    edge = smooth(half)
    shade = mixed(c.leaf, c.deep, 0.4)
    drawing = outline([*half, *[(-x, y) for x, y in half[-2:0:-1]]], c.leaf)
    drawing += between(edge, edge * (0, 1), shade)
    for x, y in ((0.3, 0.2), (0.29, -0.02), (0.17, -0.26)):
        for side in (-1, 1):
            drawing += brush([(0, y + 0.14), (side * x, y)], c.sprout, 0.02, (1, 0.4))
    drawing += brush([(0.03, 0.62), (0, 0.28), (0, -0.5)], c.sprout, 0.035, (1, 1, 0.3))
    return placed(drawing, scale=size)


def lanterns(c: SimpleNamespace = DUSK) -> Image.Image:
    """Paper lanterns, small moths and leaves at nightfall."""
    on = Scatter(Torus(1400, 1200, c.deep), seed=3)
    upright = (-10, -5, 0, 5, 10)
    glows = (c.accent, c.clay, c.marigold)
    on.fill([lantern(300, c, glow) for glow in glows], 8, gap=40, scale=(0.9, 1.1), turns=upright)
    on.fill([lantern(160, c, c.clay), lantern(160, c, c.accent)], 6, gap=26, turns=upright)
    blade = leaf(130, 54, c.leaf, mixed(c.leaf, c.deep, 0.4), c.sprout)
    on.fill([blade, moth(110, c, c.mist, c.zinc), sprig(120, c)], 20, gap=20, scale=(0.85, 1.1))
    on.fill([star(24, c.marigold), star(16, c.mist)], 26, gap=20, turns=(0, 15, 30))
    on.fill([disc(0, 0, 5, c.mist), disc(0, 0, 5, c.marigold)], 80, gap=20, turns=(0,))
    return on.torus.finished()


def night_garden(c: SimpleNamespace = DUSK) -> Image.Image:
    """A ditsy of pale flowers and sprigs on dusky teal."""
    on = Scatter(Torus(900, 1080, c.leaf), seed=14)
    pale = SimpleNamespace(**{**vars(c), "leaf": c.sprout, "sprout": c.leaf})
    flowers = [
        daisy(54, c.blush, c.marigold, c.mist, 8),
        daisy(44, c.accent, c.marigold, c.clay, 6),
        daisy(44, c.mist, c.zinc, c.zinc, 7),
    ]
    on.fill(flowers, 18, gap=26, scale=(0.95, 1.2))
    on.fill([sprig(140, pale), sprig(110, pale, 2, c.marigold)], 40, gap=13)
    on.fill([disc(0, 0, 6, c.blush), disc(0, 0, 6, c.deep)], 70, gap=16, turns=(0,))
    return on.torus.finished()


def plaid(c: SimpleNamespace = DUSK) -> Image.Image:
    """A twill check in indigo, plum and a marigold line."""
    sett = ((26, c.ground), (10, c.zinc), (3, c.mist), (10, c.zinc), (26, c.ground))
    sett += ((8, c.leaf), (14, c.ground), (3, c.accent), (14, c.ground), (8, c.leaf))
    sett += ((14, c.deep), (14, c.deep))
    return woven_check(900, sett, seed=2)


def nightfall(c: SimpleNamespace = DUSK) -> Image.Image:
    """Stripes of mauve, cream and ember on plum."""
    bands = []
    for k in range(5):
        left = 192 * k
        bands += [(left + 14, 70, c.ground), (left + 98, 8, c.marigold), (left + 120, 36, c.clay)]
        bands += [(left + 132, 12, c.blush), (left + 170, 8, c.marigold)]
    return stripes(Torus(960, 900, c.mist), bands, seed=3, wobble=1.5)


def fireflies(c: SimpleNamespace = DUSK) -> Image.Image:
    """Dots of three sizes in a loose order, a few of them glowing."""
    on = Scatter(Torus(1080, 900, c.mist), seed=21)
    for radius, count in ((44, 26), (27, 40), (13, 90)):
        inks = (c.ground, c.zinc, c.blush, c.ground, c.accent, c.zinc, c.marigold)
        cut = [cut_dot(radius, ink, on.random) for ink in inks]
        on.fill(cut, count, gap=15, turns=(0, 60))
    return on.torus.finished()


def dusk(c: SimpleNamespace = DUSK) -> Image.Image:
    """A watercolour of the last light."""
    return wash(
        1200,
        960,
        c.blush,
        (mixed(c.clay, c.blush, 0.35), c.mist, mixed(c.zinc, c.mist, 0.3)),
        seed=44,
    )


TILES = {
    "1-moths.png": moths,
    "2-moonflowers.png": moonflowers,
    "3-lanterns.png": lanterns,
    "4-night-garden.png": night_garden,
    "5-plaid.png": plaid,
    "6-nightfall.png": nightfall,
    "7-fireflies.png": fireflies,
    "8-dusk.jpg": dusk,
}
