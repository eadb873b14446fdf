"""More hands: outlines, tiny and grand motifs, watercolour motifs, waves; and other finishes.

Seamless by construction, as ``plain``: a drawing is a function of a random generator and a
scale, out come (height, width, 3) sRGB uint8. ``finished`` takes a tile through what artwork goes
through before a maker gets it: soft or tone-on-tone, grained, saved as JPEG.
"""

from __future__ import annotations

import numpy as np
from PIL import Image

from learning.drawings.plain import SCALE, Canvas, blob, palette_of, size_of, turned, wash
from palette.arrays import Floats, Pixels

Generator = np.random.Generator


def outlines(rng: Generator, scale: float = 1.0) -> Pixels:
    """Line art: closed contours that are not filled, one pen."""
    w, h = size_of(rng, scale)
    ground, ink, second = palette_of(rng, 3)
    canvas = Canvas(w, h, ground)
    unit = min(w, h)
    pen = max(1.0, unit * rng.uniform(0.005, 0.014))
    for _ in range(int(rng.integers(6, 30))):
        at, size = rng.uniform(0, (w, h)), rng.uniform(0.05, 0.16) * unit
        shape = blob(rng, size, int(rng.integers(2, 8)), rng.uniform(0, 0.4))
        shape = turned(shape, rng.uniform(0, 6))
        colour = ink if rng.random() < 0.8 else second
        for share in (1.0, 0.55)[: int(rng.integers(1, 3))]:
            ring = np.concatenate([shape, shape[:2]]) * share
            canvas.line(ring + at, colour, pen)
    return canvas.pixels()


def ditsy(rng: Generator, scale: float = 1.0) -> Pixels:
    """A great many tiny motifs, evenly scattered."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    size = max(2.0, rng.uniform(0.012, 0.035) * min(w, h))
    step = size * rng.uniform(2.4, 5.0)
    for gx in range(max(1, int(w / step))):
        for gy in range(max(1, int(h / step))):
            at = (np.array((gx, gy)) + rng.uniform(0.1, 0.9, 2)) * step
            shape = blob(rng, size * rng.uniform(0.7, 1.3), int(rng.integers(1, 6)), 0.35)
            colour = colours[int(rng.integers(1, 6))]
            canvas.polygon(turned(shape, rng.uniform(0, 6)) + at, colour)
    return canvas.pixels()


def grand(rng: Generator, scale: float = 1.0) -> Pixels:
    """Two to five motifs that fill the tile, petals within petals."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    for _ in range(int(rng.integers(2, 6))):
        at, lobes = rng.uniform(0, (w, h)), int(rng.integers(3, 9))
        shape = blob(rng, rng.uniform(0.16, 0.34) * min(w, h), lobes, rng.uniform(0.1, 0.4))
        for share in np.linspace(1.0, 0.2, int(rng.integers(2, 6))):
            canvas.polygon(shape * share + at, colours[int(rng.integers(1, 6))])
        for k in range(lobes):
            ray = np.array([[0.0, 0.0], [0.0, 0.2 * min(w, h)]])
            canvas.line(turned(ray, k * 6.28 / lobes) + at, colours[1], max(1.0, 0.006 * min(w, h)))
    return canvas.pixels()


def painted(rng: Generator, scale: float = 1.0) -> Pixels:
    """Watercolour motifs on a pale paper: uneven tint, a darker rim, washes over each other."""
    w, h = size_of(rng, scale)
    paper = wash(np.random.default_rng(rng.integers(1 << 30)), scale)
    tint = np.asarray(Image.fromarray(paper).resize((w, h))).astype(np.float64)
    tint = 0.5 * (tint + np.roll(tint[::-1], (h // 2, w // 2), (0, 1)))
    picture = np.full((h, w, 3), rng.uniform(232, 254))
    for colour in palette_of(rng, 5)[1:]:
        mask = Canvas(w, h, (0, 0, 0))
        for _ in range(int(rng.integers(2, 8))):
            shape = blob(rng, rng.uniform(0.05, 0.16) * min(w, h), int(rng.integers(2, 8)), 0.3)
            shape = turned(shape, rng.uniform(0, 6)) + rng.uniform(0, (w, h))
            mask.polygon(shape, (150, 150, 150))
            mask.line(np.concatenate([shape, shape[:1]]), (190, 190, 190), 1.2)
        share = _soft(mask.pixels()[..., :1].astype(np.float64) / 255.0, rng.uniform(0.4, 1.6))
        share = share * (0.55 + 0.45 * tint[..., :1] / 255.0)
        picture += (np.array(colour, dtype=np.float64) - picture) * share
    picture += rng.normal(0, rng.uniform(0.0, 2.5), (h, w, 1))
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def waves(rng: Generator, scale: float = 1.0) -> Pixels:
    """Chevrons and waves: bands that swing a whole number of times over the tile."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    nx, ny = int(rng.integers(1, 6)), int(rng.integers(2, 8))
    y, x = np.mgrid[0 : h * SCALE, 0 : w * SCALE] / float(SCALE)
    turn = (x / w * nx + rng.random()) % 1.0
    swing = np.abs(2 * turn - 1) if rng.random() < 0.5 else 0.5 + 0.5 * np.sin(2 * np.pi * turn)
    phase = (y / h * ny + swing * rng.uniform(0.2, 1.2) + rng.random()) % 1.0
    bounds = np.sort(rng.uniform(0.15, 0.95, int(rng.integers(1, 4))))
    picture = np.array(colours, dtype=np.uint8)[np.searchsorted(bounds, phase)]
    return np.asarray(Image.fromarray(picture).reduce(SCALE))


def ogees(rng: Generator, scale: float = 1.0) -> Pixels:
    """A trellis of swinging lines with a motif in each eye."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    nx, ny = int(rng.integers(1, 4)), int(rng.integers(1, 4))
    cw, ch = w / nx, h / ny
    start, pen = rng.uniform(0, (cw, ch)), max(1.0, rng.uniform(0.01, 0.05) * min(cw, ch))
    t = np.linspace(0, 1, 40)
    bow = 0.5 * cw * (0.5 - 0.5 * np.cos(2 * np.pi * t))
    shape = blob(rng, rng.uniform(0.1, 0.25) * min(cw, ch), int(rng.integers(2, 7)), 0.3)
    for i in range(nx):
        for j in range(ny):
            at = start + np.array((i * cw, j * ch))
            for side in (-1.0, 1.0):
                canvas.line(np.stack([side * bow, t * ch], axis=1) + at, colours[1], pen)
            canvas.polygon(shape + at + (0, ch / 2), colours[2])
            canvas.polygon(shape * 0.6 + at + (cw / 2, 0), colours[3])
    return canvas.pixels()


def _soft(values: Floats, sigma: float) -> Floats:
    from scipy.ndimage import gaussian_filter

    soft: Floats = gaussian_filter(values, (sigma, sigma, 0), mode="wrap")
    return soft


def finished(pixels: Pixels, rng: Generator) -> Pixels:
    """Return the tile softened, paler, grained, or as it is; it repeats as before."""
    way, picture = rng.random(), pixels.astype(np.float64)
    if way < 0.2:
        picture = _soft(picture, rng.uniform(0.4, 1.6))
    elif way < 0.4:  # tone on tone
        middle = picture.mean(axis=(0, 1))
        picture = middle + (picture - middle) * rng.uniform(0.2, 0.55)
    if 0.3 < way < 0.65:
        picture = picture + rng.normal(0, rng.uniform(1.0, 6.0), pixels.shape)
    if 0.55 < way < 0.8:  # paper, coarser than a pixel
        paper = _soft(rng.normal(0, 1.0, (*pixels.shape[:2], 1)), rng.uniform(0.6, 2.0))
        picture = picture + paper / paper.std() * rng.uniform(1.0, 5.0)
    return np.clip(np.rint(picture), 0, 255).astype(np.uint8)


MORE_SCATTERED = {"outlines": outlines, "ditsy": ditsy, "grand": grand, "painted": painted}
MORE_GEOMETRIC = {"waves": waves, "ogees": ogees}
