"""Hands that nothing is learnt from: how well does the verdict know artwork of a hand it never saw?

Seamless by construction, as ``plain``, but drawn with other means: letters of a font,
birds, splashes, shaded roses; herringbone, dog-tooth, medallions; knitting; a window's bars. Never
among the tiles of ``learning``. Out: (height, width, 3) sRGB uint8.
"""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from learning.drawings.plain import SCALE, Canvas, palette_of, size_of
from palette.arrays import Floats, Pixels

Generator = np.random.Generator


def _round(rx: float, ry: float, lean: float = 0.0) -> Floats:
    t = np.linspace(0, 2 * np.pi, 48)
    x, y = rx * np.cos(t), ry * np.sin(t)
    c, s = np.cos(lean), np.sin(lean)
    return np.stack([c * x - s * y, s * x + c * y], axis=1)


def letters(rng: Generator, scale: float = 1.0) -> Pixels:
    """Words of a font, upright or on their side, in several sizes."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    picture = Image.new("RGB", (w * SCALE, h * SCALE), colours[0])
    for _ in range(int(rng.integers(5, 24))):
        size = max(12.0, rng.uniform(0.05, 0.2) * min(w, h) * SCALE)
        text = "".join(rng.choice(list("abcdefghkmnoprstuvwxyzRSTQ&?"), int(rng.integers(1, 6))))
        font = ImageFont.load_default(size)
        box = font.getbbox(text)
        word = Image.new("L", (int(box[2]) + 4, int(box[3]) + 4), 0)
        ImageDraw.Draw(word).text((2, 2), text, fill=255, font=font)
        if rng.random() < 0.4:
            word = word.transpose(Image.Transpose.ROTATE_90)
        x, y = (int(v) for v in rng.uniform(0, (w * SCALE, h * SCALE)))
        colour = colours[int(rng.integers(1, 4))]
        for dx in (-2, -1, 0, 1):
            for dy in (-2, -1, 0, 1):
                picture.paste(colour, (x + dx * w * SCALE, y + dy * h * SCALE), word)
    return np.asarray(picture.reduce(SCALE))


def birds(rng: Generator, scale: float = 1.0) -> Pixels:
    """Birds with wing, eye, beak and legs, looking either way, dots between them."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    base = rng.uniform(0.06, 0.16) * min(w, h)
    for _ in range(int(rng.integers(2, 16))):
        at, way = rng.uniform(0, (w, h)), rng.choice([-1.0, 1.0])
        size = base * rng.uniform(0.7, 1.2)
        body, wing, legs = (colours[int(k)] for k in rng.integers(1, 6, 3))
        for x in (-0.1, 0.2):
            canvas.line(np.array([[x * way, 0.4], [x * way, 1.1]]) * size + at, legs, size * 0.08)
        canvas.polygon(
            np.array([[-0.8, 0.0], [-1.8, -0.5], [-1.6, 0.2]]) * (way, 1) * size + at, wing
        )
        canvas.polygon(_round(size, size * 0.6, -0.2 * way) + at, body)
        head = at + np.array((0.8 * way, -0.6)) * size
        canvas.polygon(_round(size * 0.42, size * 0.4) + head, body)
        canvas.polygon(
            np.array([[0.3, -0.1], [0.8, 0.05], [0.3, 0.18]]) * (way, 1) * size + head, legs
        )
        canvas.polygon(
            _round(size * 0.07, size * 0.07) + head + (0.1 * way * size, -0.05 * size), colours[0]
        )
        canvas.polygon(
            _round(size * 0.5, size * 0.28, 0.3 * way) + at + (-0.1 * way * size, 0), wing
        )
    for _ in range(int(rng.integers(0, 60))):
        canvas.polygon(_round(base * 0.07, base * 0.07) + rng.uniform(0, (w, h)), colours[1])
    return canvas.pixels()


def splashes(rng: Generator, scale: float = 1.0) -> Pixels:
    """Paint thrown at paper: blots with rays and drops, tints over each other."""
    w, h = size_of(rng, scale)
    colours = [np.array(c, dtype=np.float64) for c in palette_of(rng, 5)]
    picture = np.broadcast_to(colours[0], (h, w, 3)).copy()
    for colour in colours[1:]:
        mask = Canvas(w, h, (0, 0, 0))
        for _ in range(int(rng.integers(1, 7))):
            at, size = rng.uniform(0, (w, h)), rng.uniform(0.02, 0.1) * min(w, h)
            mask.polygon(_round(size, size * rng.uniform(0.7, 1.0)) + at, (255,) * 3)
            for angle in rng.uniform(0, 2 * np.pi, int(rng.integers(4, 18))):
                far = size * rng.uniform(1.0, 2.6)
                to = np.array((np.cos(angle), np.sin(angle))) * far
                mask.line(
                    np.stack([at, at + to]), (255,) * 3, max(0.7, size * rng.uniform(0.03, 0.2))
                )
                drop = size * rng.uniform(0.03, 0.2)
                mask.polygon(_round(drop, drop) + at + to * 1.1, (255,) * 3)
        cover = mask.pixels()[..., :1] / 255.0 * rng.uniform(0.6, 1.0)
        picture = picture * (1 - cover) + cover * np.minimum(colour, picture * 0.4 + colour * 0.6)
    return np.clip(np.rint(picture), 0, 255).astype(np.uint8)


def roses(rng: Generator, scale: float = 1.0) -> Pixels:
    """Roses of turned crescents, each lighter than the one behind, with round leaves."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    base = rng.uniform(0.06, 0.2) * min(w, h)
    for _ in range(int(rng.integers(2, 18))):
        at, size, angle = rng.uniform(0, (w, h)), base * rng.uniform(0.5, 1.1), rng.uniform(0, 6.28)
        for k in range(int(rng.integers(0, 4))):
            lean = angle + 2.1 * k
            to = np.array((np.cos(lean), np.sin(lean))) * size * 1.15
            canvas.polygon(_round(size * 0.5, size * 0.25, lean) + at + to, colours[2])
        tone = np.array(colours[int(rng.choice([1, 3]))], dtype=np.float64)
        for k in range(6):
            lean = angle + 2.4 * k
            to = np.array((np.cos(lean), np.sin(lean))) * size * 0.32 * (1 - k / 7)
            lighter = tuple(int(c) for c in np.clip(tone * (0.75 + 0.09 * k), 0, 255))
            canvas.polygon(
                _round(size * (1 - k / 7), size * 0.8 * (1 - k / 7), lean) + at + to, lighter
            )
    return canvas.pixels()


def herringbone(rng: Generator, scale: float = 1.0) -> Pixels:
    """Slanted bars that turn from column to column, with joints between."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    nx, ny = 2 * int(rng.integers(1, 5)), int(rng.integers(2, 10))
    cw, ch = w / nx, h / ny
    rise, gap, start = (
        cw * rng.uniform(0.4, 1.2),
        rng.uniform(0.06, 0.3) * ch,
        rng.uniform(0, (cw, ch)),
    )
    tones = rng.integers(1, 5, (nx, ny)) if rng.random() < 0.6 else np.ones((nx, ny), dtype=int)
    for i in range(nx):
        for j in range(ny):
            up = rise if i % 2 else -rise
            box = np.array([[0, 0], [cw, up], [cw, up + ch - gap], [0, ch - gap]])
            canvas.polygon(
                box + start + np.array((i * cw, j * ch + (0 if i % 2 else rise))),
                colours[tones[i, j]],
            )
    return canvas.pixels()


def dogtooth(rng: Generator, scale: float = 1.0) -> Pixels:
    """Dog-tooth: a twill of two yarns, four by four, at any size."""
    w, h = size_of(rng, scale)
    colours = np.array(palette_of(rng, 2), dtype=np.float64)
    nx, ny = int(rng.integers(1, 6)), int(rng.integers(1, 6))
    x = ((np.arange(w * SCALE) / (w * SCALE) * nx + rng.random()) % 1.0 * 8).astype(int)
    y = ((np.arange(h * SCALE) / (h * SCALE) * ny + rng.random()) % 1.0 * 8).astype(int)
    over = (x[None] + y[:, None]) % 4 < 2
    yarn = np.where(over, (x < 4)[None], (y < 4)[:, None]).astype(int)
    return np.asarray(Image.fromarray(colours[yarn].astype(np.uint8)).reduce(SCALE))


def medallions(rng: Generator, scale: float = 1.0) -> Pixels:
    """Four-lobed shields with rings within, linked by thin lines."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    nx, ny = int(rng.integers(1, 4)), int(rng.integers(1, 4))
    cw, ch = w / nx, h / ny
    start, t = rng.uniform(0, (cw, ch)), np.linspace(0, 2 * np.pi, 96)
    r = (1 + rng.uniform(0.1, 0.35) * np.cos(4 * t)) * rng.uniform(0.25, 0.42)
    shield = np.stack([r * np.cos(t) * cw, r * np.sin(t) * ch], axis=1)
    pen = max(1.0, rng.uniform(0.01, 0.04) * min(cw, ch))
    for i in range(nx):
        for j in range(ny):
            at = start + np.array((i * cw, j * ch))
            for dx, dy in ((1, 1), (1, -1)):
                ends = np.array([[-0.5 * dx, -0.5 * dy], [0.5 * dx, 0.5 * dy]]) * (cw, ch)
                canvas.line(ends + at, colours[4], pen)
            for k, share in enumerate((1.0, 0.8, 0.5, 0.2)):
                canvas.polygon(shield * share + at, colours[1 + k % 4])
    return canvas.pixels()


def knitting(rng: Generator, scale: float = 1.0) -> Pixels:
    """Stocking stitch: rows of slanted loops, shaded, each with a little of its own tone."""
    w, h = size_of(rng, scale * 0.7)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, tuple(int(c * 0.6) for c in colours[1]))
    # three colours by threes of stitches: only multiples of nine repeat
    nx, ny = (
        9 * max(1, round(long / size / 9))
        for long, size in ((w, rng.uniform(5, 16)), (h, rng.uniform(4, 12)))
    )
    cw, ch = w / nx, h / ny
    start = rng.uniform(0, (cw, ch))
    for j in range(ny):
        for i in range(nx):
            at = start + np.array((i * cw, j * ch))
            tone = np.array(colours[1 + ((i // 3 + j // 3) % 3)]) * rng.uniform(0.85, 1.1)
            shade = tuple(int(c) for c in np.clip(tone, 0, 255))
            for lean, x in ((0.9, 0.25), (-0.9, 0.75)):
                canvas.polygon(_round(ch * 0.75, cw * 0.2, lean) + at + (x * cw, 0), shade)
    return canvas.pixels()


def window(rng: Generator, scale: float = 1.0) -> Pixels:
    """Double bars both ways round a pane, a rosette in each pane."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    n, pen = int(rng.integers(1, 4)), rng.uniform(1.0, 4.0)
    for k in range(n):
        for off in (-1.5, 1.5):
            x, y = (k + 0.5) * w / n + off * pen, (k + 0.5) * h / n + off * pen
            canvas.line(np.array([[x, -9.0], [x, h + 9.0]]), colours[1], pen)
            canvas.line(np.array([[-9.0, y], [w + 9.0, y]]), colours[1], pen)
        for j in range(n):
            for turn in np.arange(0, 6.28, 0.785):
                to = np.array((np.cos(turn), np.sin(turn))) * 0.12 * min(w, h) / n
                petal = _round(0.1 * min(w, h) / n, 0.04 * min(w, h) / n, turn)
                canvas.polygon(petal + to + (k * w / n, j * h / n), colours[2])
    return canvas.pixels()


SCATTERED_APART = {"letters": letters, "birds": birds, "splashes": splashes, "roses": roses}
GEOMETRIC_APART = {"herringbone": herringbone, "dogtooth": dogtooth, "medallions": medallions}
TEXTURES_APART = {"knitting": knitting}
LINED_APART = {"window": window}
EVERY_APART = {**SCATTERED_APART, **GEOMETRIC_APART, **TEXTURES_APART, **LINED_APART}
