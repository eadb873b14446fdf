"""Kits of twelve drawn tiles with known main colours: does the palette keep each tile's own?

``drawn_kit(seed)`` draws washes, tiles of small motifs, stripes and grounds. Some share a pale
ground, some have one of their own, the motifs come from a few inks, one tile has a vivid accent.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from benchmarks.planted import colours, tile
from palette.choose import bins_of, choose
from palette.choose.bodies import bodies_of
from palette.space import de2000, lab_to_srgb8, srgb_to_lab

Pixels = NDArray[np.uint8]
SIZE_PX = 300


def _pale(random: np.random.Generator) -> Pixels:
    """A ground: pale, of any hue, not strong."""
    angle, chroma = random.uniform(0, 2 * np.pi), random.uniform(4, 20)
    lab = [random.uniform(84, 95), chroma * np.cos(angle), chroma * np.sin(angle)]
    return lab_to_srgb8(np.array(lab))


def _middling(random: np.random.Generator) -> Pixels:
    angle, chroma = random.uniform(0, 2 * np.pi), random.uniform(12, 45)
    lab = [random.uniform(30, 75), chroma * np.cos(angle), chroma * np.sin(angle)]
    return lab_to_srgb8(np.array(lab))


def wash(random: np.random.Generator, one: Pixels) -> Pixels:
    """A watercolour wash around a colour: lighter and darker in soft waves, with grain."""
    y, x = np.mgrid[0:SIZE_PX, 0:SIZE_PX] / SIZE_PX * 2 * np.pi
    wave = np.zeros((SIZE_PX, SIZE_PX))
    for _ in range(12):
        a, b = random.integers(-3, 4, 2)
        wave += np.cos(a * x + b * y + random.uniform(0, 2 * np.pi)) / (1 + np.hypot(a, b))
    wave /= np.abs(wave).max()
    lab = srgb_to_lab(one) + 4.0 * wave[..., None] * np.array([1.0, -0.4, -0.3])
    lab[..., 0] += random.normal(0, 0.8, wave.shape)
    return lab_to_srgb8(lab)


def stripes(random: np.random.Generator, inks: Pixels) -> Pixels:
    picture = Image.new("RGB", (SIZE_PX, SIZE_PX), tuple(int(v) for v in inks[0]))
    pen, at = ImageDraw.Draw(picture), 0
    while at < SIZE_PX:
        for ink in inks:
            wide = int(random.integers(10, 40))
            pen.rectangle([at, 0, at + wide, SIZE_PX], fill=tuple(int(v) for v in ink))
            at += wide
    return np.asarray(picture)


def drawn_kit(seed: int) -> tuple[list[Pixels], Pixels]:
    """Return twelve tiles and the accent that one of them has."""
    random = np.random.default_rng(seed)
    grounds = np.array([_pale(random) for _ in range(3)])
    inks = np.array([_middling(random) for _ in range(6)])
    accent = colours(random, 2, 30.0)[1]
    tiles = [wash(random, _pale(random)) for _ in range(2)]
    tiles += [wash(random, _middling(random)) for _ in range(2)]
    for i in range(5):
        own = random.choice(6, 3, replace=False)
        ground = grounds[i % 3][None]
        tiles.append(
            tile(
                random, np.concatenate([ground, inks[own]]), SIZE_PX, accent if i == 0 else None, 30
            )
        )
    for _ in range(2):
        pair = np.stack([grounds[random.integers(3)], inks[random.integers(6)]])
        tiles.append(stripes(random, pair))
    dark = np.concatenate([_middling(random)[None], grounds[:2]])
    tiles.append(tile(random, dark, SIZE_PX, None, 20))
    return tiles, accent


def kept(tiles: list[Pixels], accent: Pixels, asked: object) -> tuple[float, ...]:
    """Choose a palette; say how many colours it has and what became of the main ones.

    Returns:
        the number of colours; the share of tiles whose largest colour is within CIEDE2000 5 of one
        of them; the farthest of those distances; the accent's.
    """
    bins = {f"{i:02}": bins_of(pixels) for i, pixels in enumerate(tiles)}
    return kept_by(tiles, accent, choose(bins, asked).labs)  # type: ignore[arg-type]


def kept_by(tiles: list[Pixels], accent: Pixels, labs: NDArray[np.float64]) -> tuple[float, ...]:
    """Say the same of any colours, (n, 3) CIELAB."""
    apart = []
    for pixels in tiles:
        own = bodies_of([bins_of(pixels)], np.zeros((0, 3)))
        main = own.lab[int(own.shares[:, 0].argmax())]
        apart.append(float(de2000(main, labs).min()))
    off = np.array(apart)
    accent_off = float(de2000(srgb_to_lab(accent), labs).min())
    return len(labs), float((off <= 5.0).mean()), off.max(), accent_off
