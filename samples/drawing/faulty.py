"""Tiles with one fault each, as they are met in bought artwork, and a shop's preview picture."""

from functools import cache
from types import SimpleNamespace

import numpy as np
from PIL import Image

from .allotment import bees, fern_lines, marigolds, pods, sprigs
from .colours import DAY, mixed
from .flowers import daisy
from .leaves import leaf, sprig
from .scatter import Scatter
from .shapes import disc
from .things import drop, watering_can
from .torus import Torus
from .vegetables import radish, radish_slice
from .weaves import stripes

NEON = SimpleNamespace(
    **{
        **vars(DAY),
        "ground": "#faff00",
        "leaf": "#3d00ff",
        "sprout": "#00ff66",
        "accent": "#ff00d4",
        "blush": "#00f0ff",
        "marigold": "#ff4d00",
        "clay": "#ff0055",
        "mist": "#39ff14",
    }
)


@cache
def _small_sprigs() -> Image.Image:
    return _ditsy(mixed(DAY.blush, DAY.ground, 0.4))


def _ditsy(ground: str) -> Image.Image:
    c = DAY
    on = Scatter(Torus(900, 900, ground), seed=31)
    flowers = [
        daisy(56, c.ground, c.marigold, c.mist, 8),
        daisy(46, c.accent, c.marigold, c.clay, 6),
    ]
    on.fill(flowers, 14, gap=30, scale=(0.95, 1.2))
    on.fill([sprig(140, c), sprig(110, c, 2, c.accent)], 34, gap=14)
    on.fill([disc(0, 0, 7, c.zinc)], 60, gap=17, turns=(0,))
    return on.torus.finished()


def cut_motif() -> Image.Image:
    """One watering can runs off the right edge and does not come back on the left."""
    c = DAY
    on = Scatter(Torus(900, 900, c.mist), seed=17)
    can = watering_can(330, c, c.leaf, c.marigold)
    on.put(can, 830, 380, -8, wrap=False)
    on.fill([can, watering_can(300, c, c.zinc, c.ground)], 3, gap=30, turns=(-15, 0, 15))
    on.fill([sprig(150, c), drop(80, c.zinc, c.ground)], 12, gap=22, turns=(-20, 0, 20))
    on.fill([disc(0, 0, 8, c.accent)], 40, gap=20, turns=(0,))
    return on.torus.finished()


def doubled_row() -> Image.Image:
    """The top row comes again below the bottom one, so that it prints twice at each join."""
    tile = np.asarray(_radish_toss())
    return Image.fromarray(np.concatenate([tile, tile[:1]]))


@cache
def _radish_toss() -> Image.Image:
    c = DAY
    on = Scatter(Torus(900, 900, c.ground), seed=19)
    on.fill([radish(240, c)], 5, gap=24)
    blade = leaf(90, 42, c.leaf, c.leaf, c.ground, veins=3)
    on.fill([radish_slice(46, c), blade], 22, gap=16)
    on.fill([disc(0, 0, 7, c.zinc)], 40, gap=18, turns=(0,))
    return on.torus.finished()


def mis_cropped_stripe() -> Image.Image:
    """Stripes of 240 px on a tile of 900 px: the join halves a wide one."""
    c = DAY
    bands = []
    for k in range(4):
        left = 240 * k + 140
        bands += [(left, 104, c.leaf), (left + 124, 20, c.marigold), (left + 164, 40, c.blush)]
    return stripes(Torus(960, 900, c.ground), bands, seed=8, wobble=1).crop((12, 0, 912, 900))


def too_small() -> Image.Image:
    """Seamless, but 150 pixels wide: half an inch at 300 dpi."""
    return marigolds().resize((150, 150), Image.Resampling.BOX)


def neon() -> Image.Image:
    """Seamless, in screen colours that no inkjet mixes."""
    return sprigs(NEON)


def fringe() -> Image.Image:
    """A half-transparent white column along the right edge, left over from trimming a layer."""
    tile = _small_sprigs().convert("RGBA")
    tile.paste((255, 255, 255, 128), (tile.width - 1, 0, tile.width, tile.height))
    return tile


def drift() -> Image.Image:
    """The tone falls by about 5 L* from the left edge to the right, as in an unevenly lit scan."""
    tile = np.asarray(_small_sprigs(), float)
    light = np.linspace(1.0, 0.94, tile.shape[1])[None, :, None]
    return Image.fromarray(np.round(tile * light).astype(np.uint8))


def cropped() -> Image.Image:
    """Seventeen hundredths of the repeat are missing on the right."""
    tile = bees().resize((1080, 1350), Image.Resampling.BOX)
    return tile.crop((0, 0, round(1080 * 0.83), 1350))


def enlarged() -> Image.Image:
    """Enlarged six times by a program that looks no further than the picture's own border."""
    small = fern_lines().resize((150, 120), Image.Resampling.BOX)
    return small.resize((900, 720), Image.Resampling.BICUBIC)


def shop_preview() -> Image.Image:
    """The pea pods repeated about 2.6 times each way, at a repeat of 536.9 px."""
    tile = np.asarray(pods())
    plane = Image.fromarray(np.tile(tile, (3, 3, 1)))
    left, top, side = 310, 95, round(2.6 * tile.shape[0])
    box = (left, top, left + side, top + side)
    return plane.resize((1396, 1396), Image.Resampling.LANCZOS, box=box)


TILES = {
    "cropped.png": cropped,
    "cut-motif.png": cut_motif,
    "doubled-row.png": doubled_row,
    "drift.png": drift,
    "enlarged.png": enlarged,
    "fringe.png": fringe,
    "mis-cropped-stripe.png": mis_cropped_stripe,
    "neon.png": neon,
    "shop-preview.jpg": shop_preview,
    "too-small.png": too_small,
}
