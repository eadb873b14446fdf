"""Tiles drawn in many unlike families, seamless by construction.

Every motif is drawn at all its wrapped places, every wave closes over the edges. A drawing is a
function of a random generator and a scale (1: some 90 to 420 px a side); the same generator gives
the same pixels. Out: (height, width, 3) sRGB uint8. Which stand for what: ``learning.tiles``.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from PIL import Image, ImageDraw

from palette.arrays import Floats, Pixels

Generator = np.random.Generator

SCALE = 3  # drawn larger and reduced, for smooth edges


def palette_of(rng: Generator, n: int) -> list[tuple[int, ...]]:
    """A ground, light or dark, and colours that stand out from it."""
    import colorsys

    dark = rng.random() < 0.25
    hue = rng.random()
    out = []
    for i in range(n):
        light = rng.uniform(0.12, 0.3) if dark else rng.uniform(0.82, 0.98)
        if i:
            light = rng.uniform(0.45, 0.9) if dark else rng.uniform(0.2, 0.72)
        h = (hue + rng.normal(0, 0.12) + (0.45 if rng.random() < 0.3 else 0.0)) % 1.0
        rgb = colorsys.hls_to_rgb(h, light, rng.uniform(0.15, 0.8))
        out.append(tuple(round(255 * c) for c in rgb))
    return out


class Canvas:
    """A wrapped canvas: whatever is drawn over an edge comes back at the other one."""

    def __init__(self, width: int, height: int, ground: tuple[int, ...]) -> None:
        self.size = (width * SCALE, height * SCALE)
        self.image = Image.new("RGB", self.size, ground)
        self.draw = ImageDraw.Draw(self.image)

    def _places(self, points: Floats) -> Iterator[list[tuple[float, float]]]:
        w, h = self.size
        lo, hi = points.min(0), points.max(0)
        for dx in range(-int(hi[0] // w) - 1, int(-lo[0] // w) + 3):
            for dy in range(-int(hi[1] // h) - 1, int(-lo[1] // h) + 3):
                moved = points + np.array((dx * w, dy * h))
                if (moved.max(0) > -8).all() and (moved.min(0) < np.array(self.size) + 8).all():
                    yield [tuple(p) for p in moved]

    def polygon(self, points: Floats, fill: tuple[int, ...]) -> None:
        """Fill a polygon, points (n, 2) in the tile's pixels."""
        for place in self._places(points * SCALE):
            self.draw.polygon(place, fill=fill)

    def line(self, points: Floats, fill: tuple[int, ...], width: float) -> None:
        """Draw a line of a width in the tile's pixels."""
        for place in self._places(points * SCALE):
            self.draw.line(place, fill=fill, width=max(1, round(width * SCALE)), joint="curve")

    def pixels(self) -> Pixels:
        """Return what was drawn, reduced to the tile's own size."""
        return np.asarray(self.image.reduce(SCALE))


def blob(rng: Generator, radius: float, lobes: int, depth: float) -> Floats:
    """Return a closed outline with lobes about the origin, (90, 2)."""
    t = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    r = radius * (1 + depth * np.cos(lobes * t + rng.uniform(0, 6)))
    return np.stack([r * np.cos(t), r * np.sin(t) * rng.uniform(0.6, 1.0)], axis=1)


def turned(points: Floats, angle: float) -> Floats:
    """Return points turned by an angle in radians."""
    c, s = np.cos(angle), np.sin(angle)
    moved: Floats = points @ np.array([[c, s], [-s, c]])
    return moved


def size_of(rng: Generator, scale: float) -> tuple[int, int]:
    w = int(rng.integers(90, 420) * scale)
    return w, int(np.clip(w * rng.uniform(0.6, 1.5), 80 * scale, 420 * scale))


# ---- scattered -----------------------------------------------------------------------------------


def blooms(rng: Generator, scale: float = 1.0) -> Pixels:
    """Flowers, leaves and dots scattered over a flat ground."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    for _ in range(int(rng.integers(8, 40))):
        at = rng.uniform(0, (w, h))
        size = rng.uniform(0.03, 0.13) * unit
        colour = colours[int(rng.integers(1, 6))]
        shape = blob(rng, size, int(rng.integers(2, 8)), rng.uniform(0, 0.4))
        canvas.polygon(turned(shape, rng.uniform(0, 6)) + at, colour)
        if rng.random() < 0.5:
            canvas.polygon(blob(rng, size * 0.35, 3, 0.0) + at, colours[int(rng.integers(1, 6))])
    return canvas.pixels()


def sprigs(rng: Generator, scale: float = 1.0) -> Pixels:
    """Line drawings: stems with leaves, nothing filled but the leaves."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    thick = max(1.0, unit * rng.uniform(0.006, 0.015))
    for _ in range(int(rng.integers(5, 18))):
        at, angle = rng.uniform(0, (w, h)), rng.uniform(0, 6)
        t = np.linspace(0, 1, 24)
        length, bend = rng.uniform(0.15, 0.45) * unit, rng.normal(0, 0.25)
        stem = np.stack([t * length, bend * length * t**2], axis=1)
        colour = colours[int(rng.integers(1, 4))]
        canvas.line(turned(stem, angle) + at, colour, thick)
        for i in range(4, 24, int(rng.integers(3, 7))):
            side = 1 if (i // 2) % 2 else -1
            leaf = blob(rng, length * 0.09, 2, 0.3) * (1, 0.6) + stem[i] + (0, side * length * 0.1)
            canvas.polygon(turned(leaf, angle) + at, colour)
    return canvas.pixels()


def crowded(rng: Generator, scale: float = 1.0) -> Pixels:
    """Motifs over each other until no ground is left."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 8)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    for _ in range(int(rng.integers(80, 220))):
        at = rng.uniform(0, (w, h))
        shape = blob(rng, rng.uniform(0.03, 0.12) * unit, int(rng.integers(1, 7)), 0.3)
        canvas.polygon(turned(shape, rng.uniform(0, 6)) + at, colours[int(rng.integers(0, 8))])
    return canvas.pixels()


def stars(rng: Generator, scale: float = 1.0) -> Pixels:
    """Pointed stars and short dashes on a grained ground."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    unit = min(w, h)
    for _ in range(int(rng.integers(10, 45))):
        at, angle = rng.uniform(0, (w, h)), rng.uniform(0, 6)
        colour = colours[int(rng.integers(1, 5))]
        if rng.random() < 0.6:
            n = int(rng.integers(4, 8))
            t = np.arange(2 * n) * np.pi / n
            r = rng.uniform(0.03, 0.1) * unit * np.where(np.arange(2 * n) % 2, 0.45, 1.0)
            canvas.polygon(turned(np.stack([r * np.cos(t), r * np.sin(t)], 1), angle) + at, colour)
        else:
            dash = np.array([[-1.0, 0.0], [1.0, 0.0]]) * rng.uniform(0.02, 0.07) * unit
            canvas.line(turned(dash, angle) + at, colour, unit * rng.uniform(0.01, 0.02))
    grain = rng.normal(0, rng.uniform(0.5, 5.0), (h, w, 1))
    return np.clip(canvas.pixels() + grain, 0, 255).astype(np.uint8)


# ---- geometric -----------------------------------------------------------------------------------


def _cells(rng: Generator, scale: float) -> tuple[int, int, float, float, int, int]:
    w, h = size_of(rng, scale)
    nx, ny = int(rng.integers(1, 7)), int(rng.integers(1, 7))
    return w, h, w / nx, h / ny, nx, ny


def lozenges(rng: Generator, scale: float = 1.0) -> Pixels:
    """Lozenges in two or three colours with thin crossing lines."""
    w, h, cw, ch, nx, ny = _cells(rng, scale)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    start = rng.uniform(0, (cw, ch))
    diamond = np.array([[0.5, 0], [1, 0.5], [0.5, 1], [0, 0.5]]) * (cw, ch)
    for i in range(nx):
        for j in range(ny):
            canvas.polygon(
                diamond + start + np.array((i * cw, j * ch)),
                colours[1 + (i + j) % 2 * (nx % 2 == 0 and ny % 2 == 0)],
            )
            if rng.random() < 2:
                canvas.line(
                    np.array([[0.0, 0.0], [cw, ch]]) + start + np.array((i * cw, j * ch)),
                    colours[3],
                    cw * 0.04,
                )
    return canvas.pixels()


def scallops(rng: Generator, scale: float = 1.0) -> Pixels:
    """Overlapping fans in staggered rows."""
    w, h, cw, ch, nx, ny = _cells(rng, scale)
    ny += ny % 2
    ch = h / ny
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    start = rng.uniform(0, (cw, ch))
    t = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    circle = np.stack([np.cos(t), np.sin(t)], axis=1) * (cw / 2, ch)
    for j in range(ny):
        for i in range(nx):
            at = start + np.array(((i + 0.5 * (j % 2)) * cw, j * ch))
            for k, share in enumerate((1.0, 0.7, 0.4)):
                half = circle * share
                half[:, 1] = np.minimum(half[:, 1], 0.0)
                canvas.polygon(half + at, colours[1 + k])
    return canvas.pixels()


def slanted(rng: Generator, scale: float = 1.0) -> Pixels:
    """Slanted stripes of several widths that close over both edges."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 4)
    nx, ny = int(rng.integers(1, 5)), int(rng.integers(1, 5)) * (1 if rng.random() < 0.5 else -1)
    y, x = np.mgrid[0 : h * SCALE, 0 : w * SCALE]
    phase = (x / (w * SCALE) * nx + y / (h * SCALE) * ny + rng.random()) % 1.0
    bounds = np.sort(rng.uniform(0.1, 0.95, 3))
    picture = np.array(colours, dtype=np.uint8)[np.searchsorted(bounds, phase)]
    return np.asarray(Image.fromarray(picture).reduce(SCALE))


def triangles(rng: Generator, scale: float = 1.0) -> Pixels:
    """A field of triangles, each with its own colour."""
    w, h, cw, ch, nx, ny = _cells(rng, scale)
    colours = palette_of(rng, 6)
    canvas = Canvas(w, h, colours[0])
    start = rng.uniform(0, (cw, ch))
    tip = rng.uniform(0.3, 0.7)
    for i in range(nx):
        for j in range(ny):
            corners = np.array([[0, 1], [tip, 0], [1, 1]]) * (cw, ch)
            canvas.polygon(
                corners + start + np.array((i * cw, j * ch)), colours[1 + (i * 3 + j * 5) % 5]
            )
    return canvas.pixels()


def spots(rng: Generator, scale: float = 1.0) -> Pixels:
    """Round spots and rings on a regular grid."""
    w, h, cw, ch, nx, ny = _cells(rng, scale)
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    start = rng.uniform(0, (cw, ch))
    r = rng.uniform(0.15, 0.46) * min(cw, ch)
    t = np.linspace(0, 2 * np.pi, 60)
    circle = np.stack([np.cos(t), np.sin(t)], axis=1)
    for i in range(nx):
        for j in range(ny):
            at = start + np.array((i * cw, j * ch))
            canvas.polygon(circle * r + at, colours[1 + (i + j) % 2])
            canvas.line(circle * r * 0.6 + at, colours[3], max(1.0, r * 0.12))
    return canvas.pixels()


def checks(rng: Generator, scale: float = 1.0) -> Pixels:
    """Gingham: bands both ways, the crossings darker."""
    w, h, _cw, _ch, nx, ny = _cells(rng, scale)
    ground, band = (np.array(c, dtype=np.float64) for c in palette_of(rng, 2))
    share = rng.uniform(0.35, 0.6)
    x = ((np.arange(w * SCALE) / (w * SCALE) * nx + rng.random()) % 1.0) < share
    y = ((np.arange(h * SCALE) / (h * SCALE) * ny + rng.random()) % 1.0) < share
    weight = (x[None, :] * 0.5 + y[:, None] * 0.5)[..., None]
    picture = (ground * (1 - weight) + band * weight).astype(np.uint8)
    return np.asarray(Image.fromarray(picture).reduce(SCALE))


def bricks(rng: Generator, scale: float = 1.0) -> Pixels:
    """Courses of bricks with joints between them."""
    w, h, cw, ch, nx, ny = _cells(rng, scale)
    ny += ny % 2
    ch = h / ny
    colours = palette_of(rng, 4)
    canvas = Canvas(w, h, colours[0])
    start = rng.uniform(0, (cw, ch))
    gap = max(1.0, rng.uniform(0.03, 0.12) * min(cw, ch))
    for j in range(ny):
        for i in range(nx):
            at = start + np.array(((i + 0.5 * (j % 2)) * cw, j * ch))
            box = np.array([[gap, gap], [cw, gap], [cw, ch], [gap, ch]])
            canvas.polygon(box + at, colours[1 + (i * 2 + j) % 3])
    return canvas.pixels()


def frames(rng: Generator, scale: float = 1.0) -> Pixels:
    """One frame a tile around a motif: a line that is in one place only."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    for _ in range(int(rng.integers(3, 12))):
        at = rng.uniform(0.15, 0.85, 2) * (w, h)
        shape = blob(rng, rng.uniform(0.05, 0.14) * min(w, h), int(rng.integers(2, 7)), 0.3)
        canvas.polygon(shape + at, colours[int(rng.integers(1, 4))])
    thick = float(rng.integers(2, 9))
    x, y = rng.uniform(0, (w, h))
    canvas.line(np.array([[x, -9.0], [x, h + 9.0]]), colours[4], thick)
    canvas.line(np.array([[-9.0, y], [w + 9.0, y]]), colours[4], thick)
    return canvas.pixels()


def wash(rng: Generator, scale: float = 1.0) -> Pixels:
    """Watercolour: wrapped noise of several scales, with blooms and paper grain."""
    w, h = size_of(rng, scale)
    fy, fx = np.fft.fftfreq(h)[:, None], np.fft.fftfreq(w)[None, :]
    colours = [np.array(c, dtype=np.float64) for c in palette_of(rng, 3)]
    picture = np.broadcast_to(colours[0], (h, w, 3)).copy()
    for colour in colours[1:]:
        slope = rng.uniform(1.2, 2.4)
        power = 1.0 / np.maximum(np.hypot(fx, fy), 1.0 / max(h, w)) ** slope
        noise = np.real(np.fft.ifft2(np.fft.fft2(rng.normal(size=(h, w))) * power))
        noise = (noise - noise.mean()) / noise.std()
        if rng.random() < 0.5:
            noise = np.tanh(3 * noise)  # pools with a soft rim
        picture += (colour - picture) * np.clip(0.4 + 0.25 * noise, 0, 1)[..., None]
    picture += rng.normal(0, rng.uniform(0.0, 3.0), (h, w, 1))
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def grain(rng: Generator, scale: float = 1.0) -> Pixels:
    """Paper, cloth and stone: filtered noise of any direction, sometimes embossed."""
    w, h = size_of(rng, scale)
    fy, fx = np.fft.fftfreq(h)[:, None], np.fft.fftfreq(w)[None, :]
    angle, stretch = rng.uniform(0, np.pi), rng.uniform(1.0, 5.0)
    along = np.cos(angle) * fx + np.sin(angle) * fy
    beside = np.cos(angle) * fy - np.sin(angle) * fx
    radius = np.hypot(along * stretch, beside) * rng.uniform(1.5, 9.0)
    power = 1.0 / (1.0 + radius ** rng.uniform(2.0, 4.0))
    if rng.random() < 0.3:  # a weave: a carrier in one direction
        power *= 1.0 + 6.0 * np.exp(-((np.abs(along) - rng.uniform(0.1, 0.3)) ** 2) / 0.001)
    noise = np.real(np.fft.ifft2(np.fft.fft2(rng.normal(size=(h, w))) * power))
    if rng.random() < 0.4:
        noise = noise - np.roll(noise, (1, 1), axis=(0, 1))
    noise = noise / noise.std()
    if rng.random() < 0.3:
        noise = np.tanh(2.0 * noise)
    ground, second = (np.array(c, dtype=np.float64) for c in palette_of(rng, 2))
    picture = ground + (second - ground) * np.clip(0.4 + 0.3 * noise, 0, 1)[..., None]
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def strokes(rng: Generator, scale: float = 1.0) -> Pixels:
    """Thousands of short strokes over each other, as felt or straw."""
    w, h = size_of(rng, scale * 0.6)
    colours = palette_of(rng, 7)
    canvas = Canvas(w, h, colours[0])
    turn, spread = rng.uniform(0, 6), rng.uniform(0.1, 3.0)
    length, thick = rng.uniform(3, 14), rng.uniform(0.5, 1.6)
    for _ in range(min(4000, int(w * h / (length * thick)))):
        stroke = np.array([[-0.5, 0.0], [0.5, 0.0]]) * length
        at = rng.uniform(0, (w, h))
        colour = colours[int(rng.integers(0, 7))]
        canvas.line(turned(stroke, turn + rng.normal(0, spread)) + at, colour, thick)
    return canvas.pixels()


def plaid(rng: Generator, scale: float = 1.0) -> Pixels:
    """Tartan: bands of several widths both ways, with thin over-checks."""
    w, h = size_of(rng, scale)
    colours = np.array(palette_of(rng, 5), dtype=np.float64)

    def bands(n: int) -> Floats:
        line = np.zeros(n, dtype=int)
        at = 0
        while at < n:
            run = int(rng.integers(2, max(4, n // 5)))
            line[at : at + run] = rng.integers(0, 5)
            at += run
        return colours[np.roll(line, int(rng.integers(n)))]

    picture = 0.5 * bands(w)[None] + 0.5 * bands(h)[:, None]
    if rng.random() < 0.5:  # the twill of the cloth
        y, x = np.mgrid[0 : h // 4 * 4, 0 : w // 4 * 4]
        picture = picture[: h // 4 * 4, : w // 4 * 4]
        picture = picture + 8.0 * (((x + y) % 4) < 2)[..., None]
    drawn: Pixels = np.clip(picture, 0, 255).astype(np.uint8)
    return drawn


def panels(rng: Generator, scale: float = 1.0) -> Pixels:
    """Glazed tiles: a border round each, mirrored ornament within, the joint on the boundary."""
    w, h = size_of(rng, scale)
    colours = palette_of(rng, 5)
    canvas = Canvas(w, h, colours[0])
    middle = np.array((w, h)) / 2.0
    for _ in range(int(rng.integers(2, 7))):
        shape = blob(rng, rng.uniform(0.06, 0.2) * min(w, h), int(rng.integers(2, 7)), 0.3)
        shape = shape + rng.uniform(-0.3, 0.3, 2) * (w, h)
        colour = colours[int(rng.integers(1, 4))]
        for sx in (-1, 1):
            for sy in (-1, 1):
                canvas.polygon(shape * (sx, sy) + middle, colour)
    inset = rng.uniform(0.0, 0.08) * min(w, h)
    thick = rng.uniform(1.0, 8.0)
    box = np.array([[inset, inset], [w - inset, inset], [w - inset, h - inset], [inset, h - inset]])
    canvas.line(np.concatenate([box, box[:1]]), colours[4], thick)
    return canvas.pixels()
