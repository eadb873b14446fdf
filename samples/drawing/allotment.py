"""The tiles of the week in the allotment: what lies where, and how densely."""

from types import SimpleNamespace

import numpy as np
from PIL import Image

from .colours import DAY, mixed
from .creatures import bee, flight, ladybird
from .flowers import bud, daisy, marigold
from .leaves import frond, leaf, seedling, sprig, tendril
from .scatter import Scatter
from .shapes import Drawing, brush, disc, oval, placed
from .things import drop, packet, pot, watering_can
from .torus import Torus
from .vegetables import (
    artichoke,
    beetroot,
    closed_pod,
    open_pod,
    pea,
    pea_flower,
    pea_spray,
    radish,
    radish_slice,
)
from .weaves import dots, gingham, stripes, wash


def pods(c: SimpleNamespace = DAY) -> Image.Image:
    """Pea pods open and shut, blossoms, sprays and loose peas on the pale ground."""
    on = Scatter(Torus(1500, 1500, c.ground), seed=3)
    heroes = [open_pod(520, c), closed_pod(450, c)]
    on.fill(heroes, 7, gap=40, scale=(0.92, 1.05))
    on.fill([pea_spray(300, c), pea_flower(190, c)], 11, gap=24, scale=(0.85, 1.1))
    on.fill([pea_flower(130, c), pea(30, c), tendril(110, c.leaf)], 24, gap=18, scale=(0.8, 1.1))
    on.fill([pea(22, c), pea(15, c)], 60, gap=22, turns=(0, 40))
    return on.torus.finished()


def radishes(c: SimpleNamespace = DAY) -> Image.Image:
    """Radishes with their leaves, slices and small leaves on the misty ground."""
    on = Scatter(Torus(1500, 1200, c.mist), seed=8)
    on.fill([radish(330, c), radish(270, c, leaves=2)], 8, gap=26, scale=(0.95, 1.05))
    on.fill([radish_slice(66, c), radish(150, c, leaves=2)], 12, gap=22, scale=(0.85, 1.1))
    small = [leaf(100, 46, c.leaf, c.leaf, c.mist, veins=3), radish_slice(38, c)]
    on.fill(small, 26, gap=17, scale=(0.8, 1.1))
    on.fill([disc(0, 0, 9, c.ground), disc(0, 0, 6, c.accent)], 80, gap=20, turns=(0,))
    return on.torus.finished()


def watering_cans(c: SimpleNamespace = DAY) -> Image.Image:
    """Watering cans in two colours, potted seedlings, drops."""
    on = Scatter(Torus(1400, 1400, mixed(c.blush, c.ground, 0.35)), seed=5)
    cans = [watering_can(330, c, c.zinc, c.marigold), watering_can(330, c, c.leaf, c.ground)]
    on.fill(cans, 6, gap=34, scale=(0.95, 1.1), turns=range(-20, 21, 10))
    on.fill([pot(210, c), seedling(170, c)], 9, gap=26, scale=(0.9, 1.1), turns=(-12, -6, 0, 6, 12))
    on.fill([drop(80, c.zinc, c.mist), sprig(140, c)], 20, gap=22, turns=(-30, -15, 0, 15, 30))
    on.fill([drop(48, c.zinc, c.mist), disc(0, 0, 8, c.clay)], 60, gap=20, turns=(0, 15, -15))
    return on.torus.finished()


def marigolds(c: SimpleNamespace = DAY) -> Image.Image:
    """Marigold heads, buds and leaves, close together on the deep ground."""
    on = Scatter(Torus(1200, 1200, c.deep), seed=2)
    on.fill([marigold(165, c)], 6, gap=30, scale=(0.9, 1.1))
    on.fill([marigold(100, c), bud(170, c, c.marigold)], 7, gap=18, scale=(0.85, 1.05))
    blade = leaf(150, 62, c.leaf, mixed(c.leaf, c.deep, 0.4), c.sprout)
    on.fill([blade, sprig(170, c)], 18, gap=12, scale=(0.75, 1.05))
    white = daisy(36, c.ground, c.marigold, c.mist)
    on.fill([white, disc(0, 0, 8, c.blush)], 40, gap=14, scale=(0.9, 1.1))
    on.fill([disc(0, 0, 6, c.sprout)], 60, gap=16, turns=(0,))
    return on.torus.finished()


def seed_packets(c: SimpleNamespace = DAY) -> Image.Image:
    """Seed packets, each with its picture, and the seeds they spill."""
    on = Scatter(Torus(1600, 1200, c.sprout), seed=4)
    pictures = (
        (c.accent, placed(radish(100, c), 0, 0.06, scale=0.0031)),
        (c.zinc, placed(marigold(100, c), 0, -0.01, scale=0.0019)),
        (c.clay, placed(open_pod(400, c), 0, 0.04, -35, scale=0.0011)),
        (c.deep, placed(artichoke(100, c), 0, 0.03, scale=0.0031)),
    )
    packets = [packet(400, c, paper, picture) for paper, picture in pictures]
    on.fill(packets, 8, gap=40, turns=(-24, -14, -6, 6, 14, 24), flip=False)
    light = SimpleNamespace(**{**vars(c), "sprout": c.ground, "leaf": c.deep})
    on.fill(
        [sprig(210, light), daisy(60, c.ground, c.marigold, c.mist)], 14, gap=24, scale=(0.8, 1)
    )
    seed = oval(0, 0, 9, 17, c.clay) + oval(-2, -3, 3, 8, c.marigold)
    on.fill([seed, oval(0, 0, 8, 11, c.ground)], 90, gap=22)
    return on.torus.finished()


def bees(c: SimpleNamespace = DAY) -> Image.Image:
    """Bees and ladybirds over small flowers, with dotted flight paths."""
    on = Scatter(Torus(1200, 1500, mixed(c.marigold, c.ground, 0.78)), seed=6)
    on.fill([bee(240, c)], 7, gap=60, scale=(0.9, 1.1))
    on.fill(
        [ladybird(120, c), daisy(80, c.ground, c.marigold, c.mist)], 10, gap=34, scale=(0.9, 1.1)
    )
    on.fill([flight(300, c.deep), sprig(170, c, berry=c.accent)], 12, gap=20)
    on.fill([daisy(46, c.blush, c.accent, c.accent, 6), sprig(100, c, 2)], 30, gap=20)
    on.fill([disc(0, 0, 8, c.zinc)], 60, gap=20, turns=(0,))
    return on.torus.finished()


def trellis(c: SimpleNamespace = DAY) -> Image.Image:
    """Three columns of ogees. Half-drop: the right neighbour lies half a tile lower."""
    width, height = 1050, 1000
    torus = Torus(width, height, c.zinc, half_drop=True)
    rosy = SimpleNamespace(**{**vars(c), "sprout": c.blush, "mist": c.ground, "blush": c.marigold})
    cells = [(0.29 * width + k * width / 3, 0.44 * height + k * height / 2) for k in range(3)]
    for x, y in cells:
        for side in (-1, 1):
            torus.stamp(_vine(width / 3, height, c), x, y, flip=side < 0)
    for (x, y), globe in zip(cells, (c, rosy, None), strict=True):
        foot = y + 0.31 * height
        torus.stamp(brush([(0, 0), (0, 0.19 * height)], c.leaf, 22, (1, 1)), x, foot)
        for side in (-1, 1):
            torus.stamp(_acanthus(c), x, foot - 6, flip=side < 0)
        if globe:
            torus.stamp(artichoke(400, globe), x, y + 18)
        else:
            torus.stamp(_bouquet(height, c), x, y)
        torus.stamp(daisy(44, c.ground, c.marigold, c.mist), x, y - height / 2)
    return torus.finished()


def _vine(column: float, height: float, c: SimpleNamespace) -> Drawing:
    """The upper right edge of an ogee round the origin, down to its side node, with leaves."""
    steep = [(0, -0.5), (0.13, -0.45), (0.34, -0.345), (0.5, -0.25)]
    shares = steep + [(1 - x, -0.5 - y) for x, y in steep[-2::-1]]
    path = np.array(shares) * (column, height)
    drawing: Drawing = brush(path, c.deep, 20, (1, 1)) + brush(path, c.sprout, 8, (1, 1))
    blade = leaf(104, 46, c.leaf, mixed(c.leaf, c.deep, 0.4), c.sprout)
    for n, turns in ((2, (70, 175)), (4, (100, -120))):
        for turn in turns:
            drawing = placed(blade, *path[n], turn) + drawing
    return drawing


def _acanthus(c: SimpleNamespace) -> Drawing:
    drawing: Drawing = ()
    for turn, length in ((112, 130), (70, 190), (34, 170)):
        blade = leaf(length, length * 0.38, c.leaf, mixed(c.leaf, c.deep, 0.4), c.sprout)
        drawing += placed(blade, turn=turn)
    return drawing


def _bouquet(height: float, c: SimpleNamespace) -> Drawing:
    """One large marigold on its stem, two buds beside it."""
    drawing: Drawing = brush([(0, 0.36 * height), (0, -0.06 * height)], c.leaf, 22, (1, 0.8))
    for side in (-1, 1):
        drawing += placed(bud(190, c, c.accent), side * 96, 0.12 * height, side * 24, flip=side < 0)
    return drawing + placed(marigold(132, c), 0, -0.1 * height)


def fern_lines(c: SimpleNamespace = DAY) -> Image.Image:
    """Ferns and beetroots in fine hatched line, two inks."""
    on = Scatter(Torus(1500, 1200, c.ground), seed=11)
    on.fill(
        [beetroot(300, c.accent, mixed(c.blush, c.ground, 0.35))],
        5,
        gap=34,
        turns=range(-40, 41, 20),
    )
    on.fill([frond(430, c.deep), frond(330, c.leaf)], 9, gap=26)
    on.fill([frond(190, c.leaf, 2.5), frond(150, c.deep, 2.5)], 16, gap=20)
    on.fill([brush([(0, -9), (3, 0), (0, 9)], c.accent, 3, (1, 1))], 60, gap=26)
    return on.torus.finished()


def sprigs(c: SimpleNamespace = DAY) -> Image.Image:
    """A small ditsy of daisies and sprigs on leaf green."""
    on = Scatter(Torus(960, 960, c.leaf), seed=9)
    light = SimpleNamespace(**{**vars(c), "leaf": c.sprout, "sprout": c.leaf})
    flowers = [
        daisy(52, c.ground, c.marigold, c.mist, 8),
        daisy(44, c.blush, c.accent, c.accent, 6),
        daisy(38, c.marigold, c.clay, c.clay, 7),
    ]
    on.fill(flowers, 18, gap=26, scale=(0.95, 1.2))
    on.fill([sprig(140, light), sprig(110, light, 2, c.ground)], 40, gap=13)
    on.fill([disc(0, 0, 7, c.ground), disc(0, 0, 6, c.marigold)], 70, gap=17, turns=(0,))
    return on.torus.finished()


def gingham_check(c: SimpleNamespace = DAY) -> Image.Image:
    """Green gingham."""
    return gingham(900, 75, c.ground, c.leaf, seed=1)


def deckchair(c: SimpleNamespace = DAY) -> Image.Image:
    """Deckchair stripes: wide blue, thin red and yellow lines on the pale ground."""
    bands = []
    for k in range(4):
        left = 240 * k
        bands += [(left + 20, 104, c.zinc), (left + 140, 16, c.mist), (left + 172, 20, c.accent)]
        bands += [(left + 208, 16, c.mist), (left + 66, 12, c.ground)]
    return stripes(Torus(960, 960, c.ground), bands, seed=7, wobble=1.5)


def paper_dots(c: SimpleNamespace = DAY) -> Image.Image:
    """Hand-cut dots on radish red."""
    return dots(Torus(900, 900, c.accent), 9, 10, (c.ground, c.blush, c.marigold, c.blush), seed=4)


def rain(c: SimpleNamespace = DAY) -> Image.Image:
    """A watercolour wash of rain and young leaves."""
    return wash(1440, 1080, "#fbf7ee", (c.mist, c.sprout, c.zinc), seed=15)


TILES = {
    "artichoke-trellis.png": trellis,
    "bees.png": bees,
    "deckchair.png": deckchair,
    "dots.png": paper_dots,
    "fern-lines.png": fern_lines,
    "gingham.png": gingham_check,
    "marigolds.png": marigolds,
    "pods.png": pods,
    "radishes.png": radishes,
    "rain.jpg": rain,
    "seed-packets.jpg": seed_packets,
    "sprigs.png": sprigs,
    "watering-cans.png": watering_cans,
}
