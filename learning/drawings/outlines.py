"""Motifs to strew: flowers, leaves, strokes, marks, each as outlines in units of its own size.

Out: polygons, (n, 2) about the origin. Drawings made of them: ``hands``.
"""

from __future__ import annotations

import numpy as np

from learning.drawings.plain import Canvas, turned
from palette.arrays import Floats

Colour = tuple[int, ...]
Generator = np.random.Generator


def petals(count: int, size: float, plump: float) -> list[Floats]:
    """Return ``count`` pointed petals round the origin, each from the centre outwards."""
    t = np.linspace(0, 1, 16)
    half = plump * size * np.sin(np.pi * t**0.8)
    side = np.stack([t * size, half], axis=1)
    petal = np.concatenate([side, side[::-1] * (1, -1)])
    return [turned(petal, 2 * np.pi * k / count) for k in range(count)]


def leaf(size: float, plump: float, bend: float = 0.0) -> Floats:
    """Return a leaf from the origin along x, bent to one side."""
    t = np.linspace(0, 1, 18)
    half = plump * size * np.sin(np.pi * t) * (1 - 0.4 * t)
    middle = bend * size * t**2
    upper = np.stack([t * size, middle + half], axis=1)
    lower = np.stack([t * size, middle - half], axis=1)
    return np.concatenate([upper, lower[::-1]])


def heart(size: float) -> Floats:
    t = np.linspace(0, 2 * np.pi, 50)
    x = 16 * np.sin(t) ** 3
    y = 13 * np.cos(t) - 5 * np.cos(2 * t) - 2 * np.cos(3 * t) - np.cos(4 * t)
    return np.stack([x, -y], axis=1) * size / 16


def ribbon(path: Floats, width: Floats) -> Floats:
    """Return the outline of a stroke along ``path`` (n, 2), ``width`` (n,) from side to side."""
    along = np.gradient(path, axis=0)
    along /= np.hypot(*along.T)[:, None] + 1e-9
    beside = along[:, ::-1] * (-1, 1) * (width / 2)[:, None]
    return np.concatenate([path + beside, (path - beside)[::-1]])


def curve(rng: Generator, length: float, wild: float, points: int = 30) -> Floats:
    """Return a path from the origin that wanders off, (points, 2)."""
    turns = np.cumsum(rng.normal(0, wild / np.sqrt(points), points)) + rng.uniform(0, 6.28)
    turns += np.linspace(0, rng.normal(0, wild), points)
    steps = np.stack([np.cos(turns), np.sin(turns)], axis=1) * (length / points)
    return np.cumsum(steps, axis=0)


def wobbly(rng: Generator, shape: Floats, share: float) -> Floats:
    """Return a closed outline as an unsteady hand draws it; ``share`` of its size."""
    n = len(shape)
    spectrum = rng.normal(size=(5, 2, 2)) / np.arange(1, 6)[:, None, None]
    t = 2 * np.pi * np.arange(n) / n
    off = np.zeros_like(shape)
    for k in range(5):
        off += np.cos((k + 1) * t)[:, None] * spectrum[k, 0]
        off += np.sin((k + 1) * t)[:, None] * spectrum[k, 1]
    return shape + off * share * float(np.ptp(shape, axis=0).max())


def posy(canvas: Canvas, rng: Generator, at: Floats, size: float, colours: list[Colour]) -> None:
    """Draw one flower with its leaves, and a rim of another colour now and then."""
    pick = [colours[int(k)] for k in rng.integers(1, len(colours), 4)]
    angle = rng.uniform(0, 6.28)
    for side in range(int(rng.integers(0, 4))):
        shape = leaf(size * rng.uniform(1.1, 1.7), rng.uniform(0.12, 0.28), rng.normal(0, 0.2))
        canvas.polygon(turned(shape, angle + side * 2.3) + at, pick[0])
    count, plump = int(rng.integers(4, 10)), rng.uniform(0.18, 0.42)
    rim = rng.random() < 0.4
    for petal in petals(count, size, plump):
        shape = turned(petal, angle) + at
        canvas.polygon(shape, pick[1])
        if rim:
            canvas.line(np.concatenate([shape, shape[:1]]), pick[3], max(0.8, size * 0.06))
    t = np.linspace(0, 2 * np.pi, 24)
    canvas.polygon(
        np.stack([np.cos(t), np.sin(t)], 1) * size * rng.uniform(0.15, 0.35) + at, pick[2]
    )
