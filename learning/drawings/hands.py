"""More hands that strew motifs: flowers, doodles, brush, gouache, vines, lone motifs, blotches.

Seamless by construction, as ``plain``: a drawing is a function of a random generator and a
scale, out come (height, width, 3) sRGB uint8. Nothing is learnt from them: they tell how the
verdict does on artwork of a hand that it never saw.
"""

from __future__ import annotations

import numpy as np
from PIL import Image

from learning.drawings.outlines import curve, heart, leaf, petals, posy, ribbon, wobbly
from learning.drawings.plain import Canvas, blob, palette_of, size_of, turned, wash
from palette.arrays import Floats, Pixels

Generator = np.random.Generator


def soft(values: Floats, sigma: float) -> Floats:
    """Blur (height, width, n) across its own edges, sigma in pixels."""
    from scipy.ndimage import gaussian_filter

    blurred: Floats = gaussian_filter(values, (sigma, sigma, 0), mode="wrap")
    return blurred


def noise(rng: Generator, h: int, w: int, sigma: float) -> Floats:
    """Return wrapped noise of one scale, mean 0 and variance 1, (h, w)."""
    fy, fx = np.fft.fftfreq(h)[:, None], np.fft.fftfreq(w)[None, :]
    power = np.exp(-2.0 * (np.pi * sigma) ** 2 * (fx**2 + fy**2))
    out = np.real(np.fft.ifft2(np.fft.fft2(rng.normal(size=(h, w))) * power))
    even: Floats = (out - out.mean()) / (out.std() + 1e-9)
    return even


def posies(rng: Generator, scale: float = 1.0) -> Pixels:
    """Flowers of single petals with leaves, small ones between large ones."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 7)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    base = rng.uniform(0.04, 0.13) * unit
    for _ in range(int(rng.integers(4, 36))):
        size = base * rng.uniform(0.35, 1.2)
        posy(canvas, rng, rng.uniform(0, (w, h)), size, colours)
    return canvas.pixels()


def doodles(rng: Generator, scale: float = 1.0) -> Pixels:
    """Flat colour with a pen outline that does not quite sit on it."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    pen = max(0.8, rng.uniform(0.004, 0.014) * unit)
    miss = rng.normal(0, 0.008 * unit, 2) * (rng.random() < 0.7)
    for _ in range(int(rng.integers(5, 30))):
        at, size = rng.uniform(0, (w, h)), rng.uniform(0.03, 0.11) * unit
        way = int(rng.integers(3))
        shape = heart(size) if way == 0 else blob(rng, size, int(rng.integers(2, 7)), 0.3)
        if way == 2:
            shape = leaf(size * 2.2, rng.uniform(0.15, 0.35), rng.normal(0, 0.3))
        shape = turned(wobbly(rng, shape, 0.02), rng.uniform(0, 6.28))
        canvas.polygon(shape + at, colours[int(rng.integers(1, 5))])
        for again in range(int(rng.integers(1, 3))):
            ring = wobbly(rng, shape, 0.012 * (1 + again)) + at + miss
            canvas.line(np.concatenate([ring, ring[:2]]), colours[5], pen)
    return canvas.pixels()


def brushed(rng: Generator, scale: float = 1.0) -> Pixels:
    """Wide strokes of a half dry brush: streaks along them, gaps at their ends."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    for _ in range(int(rng.integers(4, 22))):
        at = rng.uniform(0, (w, h))
        path = curve(rng, rng.uniform(0.2, 0.7) * unit, rng.uniform(0.0, 1.6))
        wide = rng.uniform(0.02, 0.1) * unit
        colour = colours[int(rng.integers(1, 6))]
        canvas.polygon(
            ribbon(path, wide * np.linspace(1, rng.uniform(0.2, 1), len(path))) + at, colour
        )
        for _hair in range(int(rng.integers(0, 9))):
            a, b = np.sort(rng.integers(0, len(path), 2))
            if b - a < 3:
                continue
            off = rng.uniform(-0.5, 0.5, 2) * wide
            paint = colours[0] if rng.random() < 0.7 else colours[int(rng.integers(1, 6))]
            canvas.line(path[a:b] + at + off, paint, max(0.7, wide * rng.uniform(0.03, 0.1)))
    return canvas.pixels()


def dots(rng: Generator, scale: float = 1.0) -> Pixels:
    """Dots and rings of very unlike sizes that do not touch."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    t = np.linspace(0, 2 * np.pi, 64)
    circle = np.stack([np.cos(t), np.sin(t)], axis=1)
    placed: list[tuple[Floats, float]] = []
    for _ in range(int(rng.integers(60, 400))):
        at = rng.uniform(0, (w, h))
        size = min(w, h) * 0.14 * rng.random() ** rng.uniform(1.5, 5.0) + 1.0
        off = [np.abs(at - other) for other, _ in placed]
        apart = [np.hypot(*np.minimum(o, (w, h) - o)) for o in off]
        if any(d < size + s + 1.0 for d, (_, s) in zip(apart, placed, strict=True)):
            continue
        placed.append((at, size))
        canvas.polygon(circle * size + at, colours[int(rng.integers(1, 5))])
        if rng.random() < 0.2:
            canvas.polygon(circle * size * 0.6 + at, colours[0])
    return canvas.pixels()


def marks(rng: Generator, scale: float = 1.0) -> Pixels:
    """Writing without letters: crosses, loops, hooks, commas of one pen, scattered or in rows."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 3)
    canvas = Canvas(w, h, colours[0])
    size = rng.uniform(0.03, 0.12) * min(w, h)
    pen, rows = max(0.8, size * rng.uniform(0.08, 0.25)), rng.random() < 0.4
    count = int(np.clip(0.5 * w * h / (size * size * rng.uniform(3, 9)), 6, 160))
    lines = max(1, int(h / (size * 2.5)))
    for k in range(count):
        at = rng.uniform(0, (w, h))
        if rows:
            at[1] = (k % lines + 0.5) * h / lines + rng.normal(0, 0.05) * size
        way, angle = int(rng.integers(4)), rng.normal(0, 0.3) if rows else rng.uniform(0, 6.28)
        colour = colours[1 if rng.random() < 0.8 else 2]
        if way == 0:
            bar = np.array([[-0.6, 0.0], [0.6, 0.0]]) * size
            canvas.line(turned(bar, angle) + at, colour, pen)
            canvas.line(turned(bar, angle + 1.57) + at, colour, pen)
        elif way == 1:
            t = np.linspace(0, rng.uniform(3, 9), 30)
            loop = np.stack([np.cos(t), np.sin(t)], 1) * size * (0.25 + 0.05 * t[:, None])
            canvas.line(turned(loop, angle) + at, colour, pen)
        elif way == 2:
            canvas.line(curve(rng, size * rng.uniform(1, 3), 2.5) + at, colour, pen)
        else:
            canvas.polygon(turned(leaf(size, 0.2, 0.3), angle) + at, colour)
    return canvas.pixels()


def gouache(rng: Generator, scale: float = 1.0) -> Pixels:
    """Chalky motifs: uneven cover, rough rims, a speckled ground."""
    w, h = size_of(rng, scale)
    colours = [np.array(c, dtype=np.float64) for c in palette_of(rng, 6)]
    picture = np.broadcast_to(colours[0], (h, w, 3)).copy()
    picture += noise(rng, h, w, rng.uniform(4, 25))[..., None] * rng.uniform(0, 5)
    unit, rough = min(w, h), rng.uniform(0.05, 0.35)
    for colour in colours[1:]:
        mask = Canvas(w, h, (0, 0, 0))
        for _ in range(int(rng.integers(1, 8))):
            at, size = rng.uniform(0, (w, h)), rng.uniform(0.04, 0.13) * unit
            shapes = [blob(rng, size, int(rng.integers(2, 7)), 0.3)]
            if rng.random() < 0.4:
                shapes = petals(int(rng.integers(4, 8)), size * 1.3, 0.35)
            for shape in shapes:
                mask.polygon(
                    turned(shape, rng.uniform(0, 6.28) * (len(shapes) == 1)) + at, (255,) * 3
                )
        cover = mask.pixels()[..., :1] / 255.0
        grain = noise(rng, h, w, rng.uniform(0.6, 2.5))[..., None]
        cover = np.clip(cover * (1.0 - rough * np.clip(grain, -0.5, 2.5)), 0, 1)
        tone = colour + noise(rng, h, w, rng.uniform(3, 20))[..., None] * rng.uniform(0, 7)
        picture += (tone - picture) * cover
    picture += rng.normal(0, rng.uniform(0, 2.5), (h, w, 1))
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def lone(rng: Generator, scale: float = 1.0) -> Pixels:
    """One to three motifs on much ground, as small repeats are drawn; one may touch an edge."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    for _ in range(int(rng.integers(1, 4))):
        size = rng.uniform(0.08, 0.3) * unit
        at = rng.uniform(0, (w, h))
        if rng.random() < 0.4:  # a petal's tip or a leaf just over the edge
            at[int(rng.integers(2))] = size * rng.uniform(0.6, 1.1)
        if rng.random() < 0.6:
            posy(canvas, rng, at, size, colours)
        else:
            shape = turned(blob(rng, size, int(rng.integers(1, 7)), 0.3), rng.uniform(0, 6.28))
            for share in np.linspace(1.0, 0.3, int(rng.integers(1, 4))):
                canvas.polygon(shape * share + at, colours[int(rng.integers(1, 5))])
    return canvas.pixels()


def pastel(rng: Generator, scale: float = 1.0) -> Pixels:
    """Pale motifs with soft rims and shading within, hardly darker than the ground."""
    w, h = size_of(rng, scale)
    colours = [np.array(c, dtype=np.float64) for c in palette_of(rng, 5)]
    pale = rng.uniform(0.2, 0.7)
    picture = np.broadcast_to(colours[0], (h, w, 3)).copy()
    for colour in colours[1:]:
        mask = Canvas(w, h, (0, 0, 0))
        for _ in range(int(rng.integers(2, 9))):
            at, size = rng.uniform(0, (w, h)), rng.uniform(0.04, 0.16) * min(w, h)
            shape = turned(blob(rng, size, int(rng.integers(1, 8)), 0.3), rng.uniform(0, 6.28))
            for share in (1.0, 0.8, 0.6, 0.4):  # lighter or darker towards the middle
                mask.polygon(shape * share + at, (int(255 * (0.6 + 0.4 * share)),) * 3)
        cover = soft(mask.pixels()[..., :1] / 255.0, rng.uniform(0.3, 0.012 * min(w, h) + 0.4))
        picture += (colours[0] + (colour - colours[0]) * pale - picture) * cover
    picture += noise(rng, h, w, rng.uniform(1, 12))[..., None] * rng.uniform(0, 2.5)
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def vines(rng: Generator, scale: float = 1.0) -> Pixels:
    """Stems that run over the whole tile and come back, with leaves and berries."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    unit, upright = min(w, h), rng.random() < 0.5
    t = np.linspace(0, 1, 160)
    for k in range(int(rng.integers(1, 5))):
        swing = sum(
            rng.normal(0, 0.08 / n) * np.sin(2 * np.pi * (n * t + rng.random())) for n in (1, 2, 3)
        )
        beside = (k + rng.random()) / 4 + swing
        path = np.stack([t * w, beside * h], 1) if upright else np.stack([beside * w, t * h], 1)
        pen = max(1.0, rng.uniform(0.005, 0.02) * unit)
        canvas.line(path, colours[1], pen)
        along = np.gradient(path, axis=0)
        for i in range(3, 160, int(rng.integers(4, 14))):
            angle = float(np.arctan2(along[i, 1], along[i, 0]))
            lean = rng.choice([-1, 1]) * rng.uniform(0.4, 1.3)
            shape = leaf(rng.uniform(0.05, 0.14) * unit, rng.uniform(0.15, 0.3), rng.normal(0, 0.2))
            canvas.polygon(turned(shape, angle + lean) + path[i], colours[int(rng.integers(1, 4))])
            if rng.random() < 0.3:
                berry = blob(rng, rng.uniform(0.01, 0.04) * unit, 1, 0.0)
                canvas.polygon(berry + path[i] + rng.normal(0, 0.05 * unit, 2), colours[4])
    return canvas.pixels()


def terrazzo(rng: Generator, scale: float = 1.0) -> Pixels:
    """Angular chips of all sizes on a plain or speckled ground."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 7)
    canvas = Canvas(w, h, colours[0])
    for _ in range(int(rng.integers(20, 160))):
        size = min(w, h) * 0.1 * rng.random() ** 2 + 1.5
        n = int(rng.integers(3, 8))
        t = np.sort(rng.uniform(0, 2 * np.pi, n))
        shape = np.stack([np.cos(t), np.sin(t)], 1) * size * rng.uniform(0.5, 1.2, (n, 1))
        canvas.polygon(shape + rng.uniform(0, (w, h)), colours[int(rng.integers(1, 7))])
    speckle = rng.normal(0, rng.uniform(0, 6), (h, w, 1)) * (rng.random() < 0.4)
    return np.clip(canvas.pixels() + speckle, 0, 255).astype(np.uint8)


def blotches(rng: Generator, scale: float = 1.0) -> Pixels:
    """Pelts, camouflage and marbling: levels of a wrapped landscape, hard or soft between."""
    w, h = size_of(rng, scale)
    colours = np.array(palette_of(rng, 5), dtype=np.float64)
    big = noise(rng, h, w, rng.uniform(0.015, 0.06) * min(w, h))
    if rng.random() < 0.4:  # rings round the blots, or veins
        big = np.abs(big) if rng.random() < 0.5 else np.sin(big * rng.uniform(2, 5))
    levels = np.sort(rng.uniform(-1.2, 1.6, int(rng.integers(1, 5))))
    rim = rng.uniform(0.03, 0.25)
    picture = np.broadcast_to(colours[0], (h, w, 3)).copy()
    for k, level in enumerate(levels, start=1):
        share = np.clip((big - level) / rim + 0.5, 0, 1)[..., None]
        picture += (colours[k % 5] - picture) * share
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def washed(rng: Generator, scale: float = 1.0) -> Pixels:
    """Motifs painted over a wash, solid or letting it through."""
    ground = wash(rng, scale).astype(np.float64)
    h, w = ground.shape[:2]
    pale = rng.uniform(0.2, 0.8)
    ground = 250 - (250 - ground) * pale
    for colour in palette_of(rng, 4)[1:]:
        mask = Canvas(w, h, (0, 0, 0))
        for _ in range(int(rng.integers(1, 8))):
            at, size = rng.uniform(0, (w, h)), rng.uniform(0.03, 0.12) * min(w, h)
            for petal in petals(int(rng.integers(4, 9)), size, rng.uniform(0.2, 0.4)):
                mask.polygon(petal + at, (255,) * 3)
            stem = curve(rng, size * rng.uniform(1, 4), 0.8)
            mask.line(stem + at, (255,) * 3, max(1.0, size * 0.08))
        cover = mask.pixels()[..., :1] / 255.0 * rng.uniform(0.5, 1.0)
        ground += (np.array(colour, dtype=np.float64) - ground) * cover
    return np.clip(ground, 0, 255).astype(np.uint8)


def sprinkles(rng: Generator, scale: float = 1.0) -> Pixels:
    """Short rounded bars and tiny shapes at all angles, on light or dark."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    size = max(3.0, rng.uniform(0.02, 0.07) * min(w, h))
    for _ in range(int(np.clip(w * h / (size * size * rng.uniform(3, 12)), 10, 400))):
        at, angle = rng.uniform(0, (w, h)), rng.uniform(0, 6.28)
        path = np.stack([np.linspace(-0.5, 0.5, 9), np.zeros(9)], axis=1) * size
        wide = size * 0.3 * np.sqrt(np.clip(1 - np.linspace(-1, 1, 9) ** 4, 0.02, 1))
        canvas.polygon(turned(ribbon(path, wide), angle) + at, colours[int(rng.integers(1, 6))])
    return canvas.pixels()


def layered(rng: Generator, scale: float = 1.0) -> Pixels:
    """Lush leaves and flowers over each other, dark behind, light in front."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 8)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    for k in range(3):
        tones = [tuple(int(c * (0.6 + 0.2 * k)) for c in colour) for colour in colours[1:]]
        for _ in range(int(rng.integers(6, 30))):
            at, angle = rng.uniform(0, (w, h)), rng.uniform(0, 6.28)
            size = rng.uniform(0.08, 0.25) * unit
            shape = turned(leaf(size, rng.uniform(0.12, 0.3), rng.normal(0, 0.3)), angle)
            canvas.polygon(shape + at, tones[int(rng.integers(0, 4))])
            vein = turned(np.array([[0.0, 0.0], [0.9 * size, 0.0]]), angle)
            canvas.line(vein + at, tones[4], max(0.8, 0.006 * unit))
            if k == 2 and rng.random() < 0.4:
                posy(canvas, rng, rng.uniform(0, (w, h)), size * 0.4, [*tones, colours[1]])
    return canvas.pixels()


HANDS = {
    "posies": posies,
    "doodles": doodles,
    "brushed": brushed,
    "dots": dots,
    "marks": marks,
    "gouache": gouache,
    "lone": lone,
    "pastel": pastel,
    "vines": vines,
    "terrazzo": terrazzo,
    "blotches": blotches,
    "washed": washed,
    "sprinkles": sprinkles,
    "layered": layered,
}


def enlarged(pixels: Pixels, factor: float) -> Pixels:
    """Return a tile enlarged across its own join, so that it repeats as before."""
    height, width = pixels.shape[:2]
    size = (round(width * factor), round(height * factor))
    around = Image.fromarray(np.pad(pixels, ((8, 8), (8, 8), (0, 0)), mode="wrap"))
    box = (8, 8, width + 8, height + 8)
    return np.asarray(around.resize(size, Image.Resampling.BICUBIC, box=box))
