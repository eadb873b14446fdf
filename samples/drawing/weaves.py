"""The quiet tiles: gingham, stripes, dots and a watercolour wash, all made with wrap-around."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from .colours import mixed, rgb
from .shapes import Drawing, between, outline
from .torus import Torus

THREAD_PX = 3


def gingham(size: int, check: int, ground: str, dye: str, seed: int) -> Image.Image:
    """A woven check: dyed and plain threads cross, each thread a little lighter or darker."""
    random = np.random.default_rng(seed)
    warp, weft = _threads(size, check, random), _threads(size, check, random)
    y, x = np.mgrid[:size, :size] // THREAD_PX
    warp_on_top = (x + y) % 2 == 0
    dyed = np.where(warp_on_top, warp[None, :], weft[:, None])
    dyed = 0.35 * dyed + 0.65 * (warp[None, :] + weft[:, None]) / 2
    return _blend(np.clip(dyed, 0, 1), ground, dye)


def woven_check(size: int, sett: Sequence[tuple[int, str]], seed: int) -> Image.Image:
    """A twill check: the same sequence of (threads, colour) in warp and weft, two over two."""
    random = np.random.default_rng(seed)
    row = np.array([rgb(colour) for threads, colour in sett for _ in range(threads)], float)
    count = size // THREAD_PX
    warp = np.resize(row, (count, 3)) + random.normal(0, 2.0, (count, 1))
    weft = np.resize(row, (count, 3)) + random.normal(0, 2.0, (count, 1))
    y, x = np.mgrid[:count, :count]
    over = ((x + y) % 4 < 2)[..., None]
    cloth = np.where(
        over, 0.8 * warp[None] + 0.2 * weft[:, None], 0.2 * warp[None] + 0.8 * weft[:, None]
    )
    cloth = np.clip(np.round(cloth), 0, 255).astype(np.uint8)
    return Image.fromarray(cloth.repeat(THREAD_PX, 0).repeat(THREAD_PX, 1))


def _threads(size: int, check: int, random: np.random.Generator) -> NDArray[np.float64]:
    at = np.arange(size)
    tone = random.normal(0, 0.035, size // THREAD_PX)[at // THREAD_PX]
    return (at // check % 2).astype(float) * (0.97 + tone) + np.abs(tone) * 0.4


def _blend(share: NDArray[np.float64], first: str, second: str) -> Image.Image:
    a, b = np.array(rgb(first), float), np.array(rgb(second), float)
    return Image.fromarray(np.round(a + (b - a) * share[..., None]).astype(np.uint8))


def stripes(
    torus: Torus, bands: Sequence[tuple[float, float, str]], seed: int, wobble: float = 2.0
) -> Image.Image:
    """Painted upright stripes, each (left, width, colour), with edges a brush would leave."""
    random = np.random.default_rng(seed)
    for left, width, colour in bands:
        edges = [_edge(x, torus.height, wobble, random) for x in (left, left + width)]
        torus.stamp(between(*edges, colour))
    return torus.finished()


def _edge(x: float, height: int, wobble: float, random: np.random.Generator) -> NDArray[np.float64]:
    y = np.linspace(-8, height + 8, 500)
    shift = sum(
        random.normal(0, wobble / k) * np.sin(2 * np.pi * k * y / height + random.uniform(0, 6.3))
        for k in range(1, 7)
    )
    return np.column_stack([x + shift, y])


def cut_dot(radius: float, colour: str, random: np.random.Generator) -> Drawing:
    """A dot as cut from paper by hand: nearly round."""
    a = np.radians(np.arange(0, 360, 30))
    r = radius * (1 + random.normal(0, 0.03, a.size))
    return outline(np.column_stack([r * np.cos(a), r * np.sin(a)]), colour)


def dots(torus: Torus, columns: int, rows: int, inks: Sequence[str], seed: int) -> Image.Image:
    """Staggered hand-cut dots, small ones between large ones; an even number of rows joins."""
    random = np.random.default_rng(seed)
    dx, dy = torus.width / columns, torus.height / rows
    for row in range(rows):
        for column in range(columns):
            x, y = (column + 0.5 * (row % 2)) * dx, row * dy
            ink = inks[0] if random.random() < 0.72 else inks[1 + random.integers(len(inks) - 1)]
            torus.stamp(cut_dot(0.27 * dy, ink, random), x, y)
            torus.stamp(cut_dot(0.075 * dy, inks[-1], random), x + dx / 2, y)
    return torus.finished()


def cloud(height: int, width: int, reach: float, seed: int) -> NDArray[np.float64]:
    """Smooth noise of unit deviation whose edges are joined; ``reach`` in pixels."""
    noise = np.random.default_rng(seed).normal(size=(height, width))
    soft = ndimage.gaussian_filter(noise, reach, mode="wrap")
    return (soft - soft.mean()) / soft.std()


def wash(width: int, height: int, paper: str, inks: Sequence[str], seed: int) -> Image.Image:
    """Watercolour: pools of thin colour with darker rims where they dried, on grained paper."""
    picture = np.ones((height, width, 3)) * rgb(paper)
    grain = cloud(height, width, 1.6, seed + 50) * 0.03 + cloud(height, width, 7, seed + 51) * 0.035
    for n, ink in enumerate(inks):
        field = cloud(height, width, 85, seed + n) + 0.3 * cloud(height, width, 24, seed + 9 + n)
        field += 0.1 * cloud(height, width, 7, seed + 20 + n)
        body = 0.5 * (1 + np.tanh(field * 3.2))
        rim = np.exp(-(((field - 0.12) / 0.1) ** 2)) * 0.28
        bloom = 0.16 * cloud(height, width, 36, seed + 30 + n)
        cover = np.clip(body * (0.36 + bloom + grain) + rim * body, 0, 0.85)[..., None]
        pigment = np.array(rgb(mixed(ink, "#ffffff", 0.05)), float)
        picture *= 1 - cover * (1 - pigment / 255)
    picture *= 1 + 0.35 * grain[..., None]
    return Image.fromarray(np.clip(np.round(picture), 0, 255).astype(np.uint8))
