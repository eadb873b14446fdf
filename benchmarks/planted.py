"""Artwork drawn with known colours, so that a palette can be judged against the truth.

``planted_kit(seed)`` draws three tiles with eight colours at least CIEDE2000 11 apart: seven fill
grounds and motifs, the eighth is vivid and covers 0.8 % of the first tile only. Edges are
anti-aliased; the second tile has been through JPEG quality 90, the third is grainy.
"""

from __future__ import annotations

import io

import numpy as np
from PIL import Image, ImageDraw

from palette.arrays import Pixels
from palette.space import de2000, srgb_to_lab

APART_DE2000 = 11.0
ACCENT_SHARE = 0.008


def colours(random: np.random.Generator, count: int, apart_de2000: float = APART_DE2000) -> Pixels:
    """Return (count, 3) sRGB colours that far apart; the last is vivid and further off."""
    found: list[Pixels] = []
    while len(found) < count:
        colour = random.integers(0, 256, 3).astype(np.uint8)
        last = len(found) == count - 1
        lab = srgb_to_lab(colour)
        if last and np.hypot(lab[1], lab[2]) < 60:
            continue
        least = 25.0 if last else apart_de2000
        if all(de2000(lab, srgb_to_lab(other)) >= least for other in found):
            found.append(colour)
    return np.array(found)


def tile(
    random: np.random.Generator,
    palette: Pixels,
    size_px: int = 600,
    accent: Pixels | None = None,
    motifs: int = 60,
) -> Pixels:
    """Draw discs, polygons, sticks and boxes, wrapped at the edges, three times oversampled."""
    side = size_px * 3
    image = Image.new("RGB", (side, side), _ink(palette[0]))
    pen = ImageDraw.Draw(image)
    for i in range(motifs):
        ink = _ink(palette[1 + i % (len(palette) - 1)])
        x, y, reach = *random.uniform(0, side, 2), random.uniform(0.02, 0.07) * side
        kind, turn = int(random.integers(4)), random.uniform(0, np.pi)
        for shift in np.array([(a, b) for a in (-side, 0, side) for b in (-side, 0, side)]):
            _motif(pen, kind, (x + shift[0], y + shift[1]), reach, turn=turn, ink=ink)
    if accent is not None:
        radius = float(np.sqrt(ACCENT_SHARE * side * side / np.pi / 9))
        for x, y in ((a * side, b * side) for a in (0.2, 0.5, 0.8) for b in (0.2, 0.5, 0.8)):
            pen.ellipse([x - radius, y - radius, x + radius, y + radius], fill=_ink(accent))
    return np.asarray(image.resize((size_px, size_px), Image.Resampling.LANCZOS))


def _ink(colour: Pixels) -> tuple[int, int, int]:
    red, green, blue = (int(v) for v in colour)
    return red, green, blue


def _motif(
    pen: ImageDraw.ImageDraw,
    kind: int,
    at: tuple[float, float],
    reach: float,
    *,
    turn: float,
    ink: tuple[int, int, int],
) -> None:
    x, y = at
    if kind == 0:
        pen.ellipse([x - reach, y - reach, x + reach, y + reach], fill=ink)
    elif kind == 1:
        angles = turn + np.linspace(0, 2 * np.pi, 6)[:-1]
        pen.polygon([(x + reach * np.cos(a), y + reach * np.sin(a)) for a in angles], fill=ink)
    elif kind == 2:
        along = 1.6 * reach * np.array([np.cos(turn), np.sin(turn)])
        ends = [x - along[0], y - along[1], x + along[0], y + along[1]]
        pen.line(ends, fill=ink, width=max(4, int(reach / 3)))
    else:
        pen.rectangle([x - reach, y - 0.7 * reach, x + reach, y + 0.7 * reach], fill=ink)


def through_jpeg(pixels: Pixels, quality: int = 90) -> Pixels:
    """Return what is left after saving as JPEG with halved chroma."""
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "JPEG", quality=quality)
    return np.asarray(Image.open(buffer).convert("RGB"))


def grainy(pixels: Pixels, random: np.random.Generator, strength: float = 6.0) -> Pixels:
    """Add grain, mostly in lightness, of that standard deviation in code values."""
    grain = random.normal(0, strength, pixels.shape[:2])[..., None]
    tint = random.normal(0, strength / 3, pixels.shape)
    return np.clip(np.rint(pixels + grain + tint), 0, 255).astype(np.uint8)


def planted_kit(seed: int, size_px: int = 600) -> tuple[Pixels, list[Pixels]]:
    """Return the eight planted colours, the accent last, and the three tiles."""
    random = np.random.default_rng(seed)
    planted = colours(random, 8)
    tiles = [
        tile(random, planted[[0, 1, 2, 3]], size_px, accent=planted[7]),
        tile(random, planted[[1, 2, 4, 5]], size_px),
        tile(random, planted[[5, 3, 6, 0, 4]], size_px),
    ]
    return planted, [tiles[0], through_jpeg(tiles[1]), grainy(tiles[2], random)]
