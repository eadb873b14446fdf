"""More geometric hands, more textures, and more designs with a line on the boundary.

Seamless by construction, as ``plain``: a drawing is a function of a random generator and a
scale, out come (height, width, 3) sRGB uint8. Nothing is learnt from them: they tell how the
verdict does on artwork of a hand that it never saw.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from learning.drawings.hands import noise, soft
from learning.drawings.outlines import petals, posy
from learning.drawings.plain import SCALE, Canvas, blob, palette_of, size_of, turned
from palette.arrays import Floats, Pixels

Generator = np.random.Generator


def _reduced(picture: NDArray[np.generic]) -> Pixels:
    image = Image.fromarray(np.clip(np.asarray(picture), 0, 255).astype(np.uint8))
    return np.asarray(image.reduce(SCALE))


def _turns(w: int, h: int) -> tuple[Floats, Floats]:
    """Return x and y from 0 to 1 of every pixel, ``SCALE`` times as fine."""
    y, x = np.mgrid[0 : h * SCALE, 0 : w * SCALE]
    return (x + 0.5) / (w * SCALE), (y + 0.5) / (h * SCALE)


def hexagons(rng: Generator, scale: float = 1.0) -> Pixels:
    """Honeycomb, filled or with gaps and smaller hexagons within."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    nx, ny = int(rng.integers(1, 6)), 2 * int(rng.integers(1, 4))
    cw, ch = w / nx, h / ny
    t = np.arange(6) * np.pi / 3 + np.pi / 6
    corner = np.stack([np.cos(t) / np.cos(np.pi / 6) * cw / 2, np.sin(t) * ch / 1.5], axis=1)
    shares = [
        rng.uniform(0.75, 1.0),
        *np.sort(rng.uniform(0.2, 0.7, int(rng.integers(0, 3))))[::-1],
    ]
    start = rng.uniform(0, (cw, ch))
    for j in range(ny):
        for i in range(nx):
            at = start + np.array(((i + 0.5 * (j % 2)) * cw, j * ch))
            for k, share in enumerate(shares):
                canvas.polygon(corner * share + at, colours[1 + (k + (i + j) % 2) % 5])
    return canvas.pixels()


def basket(rng: Generator, scale: float = 1.0) -> Pixels:
    """Bundles of bars, upright and lying by turns."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    nx, ny = 2 * int(rng.integers(1, 4)), 2 * int(rng.integers(1, 4))
    cw, ch = w / nx, h / ny
    bars, gap = int(rng.integers(2, 5)), rng.uniform(0.05, 0.25)
    start = rng.uniform(0, (cw, ch))
    for i in range(nx):
        for j in range(ny):
            at = start + np.array((i * cw, j * ch))
            for b in range(bars):
                lo, hi = (b + gap / 2) / bars, (b + 1 - gap / 2) / bars
                box = np.array([[0.04, lo], [0.96, lo], [0.96, hi], [0.04, hi]])
                if (i + j) % 2:
                    box = box[:, ::-1]
                canvas.polygon(box * (cw, ch) + at, colours[1 + b % 4])
    return canvas.pixels()


def tartan(rng: Generator, scale: float = 1.0) -> Pixels:
    """A sett that is mirrored and seen several times, smooth at its edges, with a twill or none."""
    w, h = size_of(rng, scale)
    colours = np.array(palette_of(rng, 5), dtype=np.float64)
    bounds = np.sort(rng.uniform(0, 1, 5))
    order = rng.integers(0, 5, 6)

    def sett(turns: Floats, times: int) -> Floats:
        phase = np.abs(2.0 * ((turns * times + phase_at[times % 2]) % 1.0) - 1.0)
        found: Floats = colours[order[np.searchsorted(bounds, phase)]]
        return found

    phase_at = rng.random(2)
    nx, ny = int(rng.integers(2, 6)), int(rng.integers(2, 6))
    x = (np.arange(w * SCALE) + 0.5) / (w * SCALE)
    y = (np.arange(h * SCALE) + 0.5) / (h * SCALE)
    share = rng.uniform(0.3, 0.7)
    return _reduced(share * sett(x, nx)[None] + (1 - share) * sett(y, ny)[:, None])


def zigzags(rng: Generator, scale: float = 1.0) -> Pixels:
    """Chevrons with fine lines beside the bands."""
    w, h = size_of(rng, scale)
    colours = np.array(palette_of(rng, 5), dtype=np.uint8)
    x, y = _turns(w, h)
    nx, ny = int(rng.integers(1, 7)), int(rng.integers(2, 9))
    tooth = np.abs(2 * ((x * nx + rng.random()) % 1.0) - 1)
    phase = (y * ny + tooth * rng.uniform(0.3, 1.5) + rng.random()) % 1.0
    bounds = np.array([0.3, 0.36, 0.6, 0.66]) + rng.uniform(-0.03, 0.03, 4)
    picture = colours[np.array([0, 1, 2, 3, 0])[np.searchsorted(bounds, phase)]]
    return _reduced(picture if rng.random() < 0.6 else picture[:, ::-1])


def cubes(rng: Generator, scale: float = 1.0) -> Pixels:
    """Tumbling blocks: rhombs in three tones."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    nx, ny = int(rng.integers(1, 6)), 2 * int(rng.integers(1, 4))
    cw, ch = w / nx, h / ny
    up, down, third = np.array((0, -ch * 2 / 3)), np.array((0, ch * 2 / 3)), ch / 3
    side = np.array((cw / 2, -third))
    start = rng.uniform(0, (cw, ch))
    for j in range(ny):
        for i in range(nx):
            at = start + np.array(((i + 0.5 * (j % 2)) * cw, j * ch))
            zero, lift = np.zeros(2), np.array((0.0, third))
            left = side * (-1, 1)
            canvas.polygon(np.stack([zero, side, side + up + lift, up + lift]) + at, colours[1])
            canvas.polygon(np.stack([zero, side, side + down, down]) + at, colours[2])
            canvas.polygon(np.stack([zero, left, left + down, down]) + at, colours[3])
    return canvas.pixels()


def argyle(rng: Generator, scale: float = 1.0) -> Pixels:
    """Lozenges by turns, crossed by dashed or whole thin lines."""
    w, h = size_of(rng, scale)
    colours = np.array(palette_of(rng, 4), dtype=np.float64)
    x, y = _turns(w, h)
    n = int(rng.integers(1, 5))
    m = max(1, round(n * h / w * rng.uniform(0.5, 1.2)))
    a = (x * n + y * m + rng.random()) % 1.0
    b = (x * n - y * m + rng.random()) % 1.0
    picture = colours[(a < 0.5).astype(int) + (b < 0.5)]
    thin = rng.uniform(0.01, 0.04)
    for phase in (a, b):
        line = np.abs(phase - 0.25) < thin
        picture[line] = colours[3]
    return _reduced(picture)


def stripes(rng: Generator, scale: float = 1.0) -> Pixels:
    """Straight stripes of several widths, seen more than once, sometimes with a ribbon of dots."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    n = int(rng.integers(2, 8))
    x = ((np.arange(w * SCALE) + 0.5) / (w * SCALE) * n + rng.random()) % 1.0
    bounds = np.sort(rng.uniform(0.1, 0.95, int(rng.integers(1, 5))))
    line = np.array(colours, dtype=np.float64)[np.searchsorted(bounds, x) % 5]
    picture = _reduced(np.broadcast_to(line[None], (h * SCALE, w * SCALE, 3)))
    if rng.random() < 0.5:
        picture = picture + np.rint(rng.normal(0, rng.uniform(0.5, 4), (h, w, 1)))
    picture = np.clip(picture, 0, 255).astype(np.uint8)
    return picture if rng.random() < 0.5 else np.ascontiguousarray(picture.transpose(1, 0, 2))


def polka(rng: Generator, scale: float = 1.0) -> Pixels:
    """Dots, flowers or blots in a staggered grid, each like the next or each another."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    nx, ny = int(rng.integers(1, 7)), 2 * int(rng.integers(1, 4))
    cw, ch = w / nx, h / ny
    size, start = rng.uniform(0.12, 0.42) * min(cw, ch), rng.uniform(0, (cw, ch))
    alike, flower = rng.random() < 0.6, rng.random() < 0.5
    shape = blob(rng, size, int(rng.integers(1, 8)), 0.3)
    for j in range(ny):
        for i in range(nx):
            at = start + np.array(((i + 0.5 * (j % 2)) * cw, j * ch))
            colour = colours[1 if alike else int(rng.integers(1, 5))]
            for part in petals(6, size, 0.3) if flower else [shape]:
                canvas.polygon((part if alike else turned(part, rng.uniform(0, 1))) + at, colour)
            canvas.polygon(blob(rng, size * 0.3, 1, 0.0) + at, colours[2])
    return canvas.pixels()


def rings(rng: Generator, scale: float = 1.0) -> Pixels:
    """Rings that overlap in a grid, thin or wide, with or without a filled eye."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    nx, ny = int(rng.integers(1, 6)), int(rng.integers(1, 6))
    cw, ch = w / nx, h / ny
    start, t = rng.uniform(0, (cw, ch)), np.linspace(0, 2 * np.pi, 80)
    circle = np.stack([np.cos(t) * cw, np.sin(t) * ch], axis=1) * rng.uniform(0.45, 0.75)
    pen = max(1.0, rng.uniform(0.02, 0.12) * min(cw, ch))
    for i in range(nx):
        for j in range(ny):
            at = start + np.array((i * cw, j * ch))
            canvas.line(circle + at, colours[1 + (i + j) % 2], pen)
            canvas.polygon(circle * 0.25 + at, colours[3])
    return canvas.pixels()


def shards(rng: Generator, scale: float = 1.0) -> Pixels:
    """A mosaic: every pixel takes the colour of the nearest of many points, joints between."""
    from scipy.spatial import cKDTree

    w, h = size_of(rng, scale)
    colours = np.array(palette_of(rng, 7), dtype=np.float64)
    n = int(rng.integers(8, 90))
    points = rng.uniform(0, 1, (n, 2)) * (w, h)
    x, y = _turns(w, h)
    at = np.stack([x.ravel() * w, y.ravel() * h], axis=1)
    far, which = cKDTree(points, boxsize=(w, h)).query(at, k=2)
    tone = rng.integers(1, 7, n)
    picture = colours[tone[which[:, 0]]]
    picture[far[:, 1] - far[:, 0] < rng.uniform(0, 0.02) * min(w, h)] = colours[0]
    return _reduced(picture.reshape(h * SCALE, w * SCALE, 3))


# ---- textures ------------------------------------------------------------------------------------


def linen(rng: Generator, scale: float = 1.0) -> Pixels:
    """Cloth: threads both ways of uneven strength, with slubs."""
    w, h = size_of(rng, scale)
    ground, second = (np.array(c, dtype=np.float64) for c in palette_of(rng, 2))
    pitch = rng.uniform(2.0, 6.0)
    nx, ny = max(2, round(w / pitch)), max(2, round(h / pitch))
    x, y = np.arange(w) / w, np.arange(h) / h
    warp = 0.5 + 0.5 * np.cos(2 * np.pi * (x * nx))
    weft = 0.5 + 0.5 * np.cos(2 * np.pi * (y * ny))
    slub = soft(rng.normal(size=(h, w, 1)), 1.0)[..., 0]
    along = np.real(
        np.fft.ifft(np.fft.fft(rng.normal(size=(h, w))) * (np.abs(np.fft.fftfreq(w)) < 0.05))
    )
    down = np.real(
        np.fft.ifft(
            np.fft.fft(rng.normal(size=(h, w)), axis=0)
            * (np.abs(np.fft.fftfreq(h)) < 0.05)[:, None],
            axis=0,
        )
    )
    over = rng.uniform(0.3, 0.8) * warp[None] * (1 + down * 2) + 0.5 * weft[:, None] * (
        1 + along * 2
    )
    over = 0.4 * over + 0.1 * slub / slub.std()
    picture = ground + (second - ground) * np.clip(over, 0, 1)[..., None] * rng.uniform(0.2, 0.8)
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def wood(rng: Generator, scale: float = 1.0) -> Pixels:
    """Rings of wood or sand in wind: bands bent by slow noise, with fibres along them."""
    w, h = size_of(rng, scale)
    ground, second = (np.array(c, dtype=np.float64) for c in palette_of(rng, 2))
    y = np.arange(h)[:, None] / h
    bend = noise(rng, h, w, rng.uniform(0.05, 0.15) * min(w, h)) * rng.uniform(0.3, 1.5)
    bands = 0.5 + 0.5 * np.sin(2 * np.pi * (y * int(rng.integers(2, 14)) + bend))
    fibre = np.real(
        np.fft.ifft2(
            np.fft.fft2(rng.normal(size=(h, w))) * np.exp(-((np.fft.fftfreq(w)[None] * 60) ** 2))
        )
    )
    over = 0.6 * bands ** rng.uniform(0.6, 3) + 0.1 * fibre / fibre.std() + 0.2
    picture = ground + (second - ground) * np.clip(over, 0, 1)[..., None] * rng.uniform(0.3, 1.0)
    picture = np.clip(picture, 0, 255).astype(np.uint8)
    return picture if rng.random() < 0.6 else np.ascontiguousarray(picture.transpose(1, 0, 2))


def clouds(rng: Generator, scale: float = 1.0) -> Pixels:
    """Stone, marble and paper: noise of many scales bent by other noise, two colours and veins."""
    w, h = size_of(rng, scale)
    colours = [np.array(c, dtype=np.float64) for c in palette_of(rng, 3)]
    unit = min(w, h)
    over = sum(noise(rng, h, w, unit * 0.12 / 2**k) * rng.uniform(0.4, 0.8) ** k for k in range(6))
    if rng.random() < 0.5:
        over = 1.2 - np.abs(over) * rng.uniform(0.8, 2.0)
    picture = colours[0] + (colours[1] - colours[0]) * np.clip(0.5 + 0.3 * over, 0, 1)[..., None]
    vein = np.exp(-((noise(rng, h, w, 0.08 * unit) / rng.uniform(0.02, 0.1)) ** 2))
    picture += (colours[2] - picture) * vein[..., None] * rng.uniform(0, 0.6)
    picture += rng.normal(0, rng.uniform(0, 4), (h, w, 1))
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def pebbles(rng: Generator, scale: float = 1.0) -> Pixels:
    """Stones, bark or hide lit from one side: cells with shaded slopes."""
    from scipy.spatial import cKDTree

    w, h = size_of(rng, scale * 0.8)
    n = int(np.clip(w * h / rng.uniform(40, 600), 12, 2500))
    points = rng.uniform(0, 1, (n, 2)) * (w, h)
    y, x = np.mgrid[0:h, 0:w]
    at = np.stack([x.ravel(), y.ravel()], axis=1).astype(np.float64)
    far, which = cKDTree(points, boxsize=(w, h)).query(at, k=2)
    dome = np.sqrt(np.maximum(far[:, 1] - far[:, 0], 0)).reshape(h, w, 1)
    dome = soft(dome, rng.uniform(0.4, 1.2))[..., 0]
    lit = dome - np.roll(dome, (1, 1), (0, 1))
    lit = lit / (lit.std() + 1e-9)
    colours = np.array(palette_of(rng, 4), dtype=np.float64)
    tone = colours[rng.integers(1, 4, n) if rng.random() < 0.4 else np.ones(n, dtype=int)]
    picture = tone[which[:, 0]].reshape(h, w, 3) + 12.0 * rng.uniform(0.5, 2.5) * lit[..., None]
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


# ---- a design line on the boundary ---------------------------------------------------------------


def notebook(rng: Generator, scale: float = 1.0) -> Pixels:
    """Fine rules at even distances both ways, motifs between them."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    nx, ny, pen = int(rng.integers(1, 5)), int(rng.integers(1, 5)), rng.uniform(1.0, 5.0)
    for i in range(nx):
        x = (i + 0.5) * w / nx
        canvas.line(np.array([[x, -9.0], [x, h + 9.0]]), colours[4], pen)
    for j in range(ny):
        y = (j + 0.5) * h / ny
        canvas.line(np.array([[-9.0, y], [w + 9.0, y]]), colours[4], pen)
        for i in range(nx):
            if rng.random() < 0.7:
                at = np.array((i * w / nx, y + 0.5 * h / ny))
                posy(canvas, rng, at, 0.18 * min(w / nx, h / ny), colours)
    return canvas.pixels()


def patches(rng: Generator, scale: float = 1.0) -> Pixels:
    """Patchwork: squares with a print each, meeting at their edges, sometimes stitched."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 7)
    nx, ny = int(rng.integers(1, 4)), int(rng.integers(1, 4))
    canvas = Canvas(w, h, colours[0])
    cw, ch = w / nx, h / ny
    for i in range(nx):
        for j in range(ny):
            corner = np.array((i * cw, j * ch))
            box = np.array([[0, 0], [cw, 0], [cw, ch], [0, ch]])
            canvas.polygon(box + corner, colours[1 + (2 * i + 3 * j) % 5])
            dot = blob(rng, rng.uniform(0.02, 0.08) * min(cw, ch), int(rng.integers(1, 6)), 0.3)
            for _ in range(int(rng.integers(0, 12))):
                canvas.polygon(dot + corner + rng.uniform(0.12, 0.88, 2) * (cw, ch), colours[6])
    return canvas.pixels()


RULED = {
    "hexagons": hexagons,
    "basket": basket,
    "tartan": tartan,
    "zigzags": zigzags,
    "cubes": cubes,
    "argyle": argyle,
    "stripes": stripes,
    "polka": polka,
    "rings": rings,
    "shards": shards,
}
STUFFS = {"linen": linen, "wood": wood, "clouds": clouds, "pebbles": pebbles}
MORE_LINED = {"notebook": notebook, "patches": patches, "basket": basket}
