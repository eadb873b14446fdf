"""What a motif is made of: filled outlines and brush strokes, in a local frame.

A drawing is a tuple of shapes, painted first to last. Units are pixels of the finished tile at
scale 1, x to the right and y downwards, the motif's middle near the origin.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

Points = NDArray[np.float64]


@dataclass(frozen=True)
class Shape:
    """An outline to fill or, where ``widths`` is given, a brush stroke along ``points``."""

    points: Points
    colour: str
    widths: NDArray[np.float64] | None = None


Drawing = tuple[Shape, ...]


def placed(
    drawing: Drawing,
    x: float = 0,
    y: float = 0,
    turn: float = 0,
    *,
    scale: float = 1,
    flip: bool = False,
) -> Drawing:
    """The drawing mirrored, scaled, turned (degrees, clockwise) and moved, in that order."""
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    matrix = scale * np.array([[c, s], [-s, c]])
    if flip:
        matrix = np.diag([-1.0, 1.0]) @ matrix
    return tuple(
        replace(
            shape,
            points=shape.points @ matrix + (x, y),
            widths=None if shape.widths is None else shape.widths * scale,
        )
        for shape in drawing
    )


def recoloured(drawing: Drawing, colour: str) -> Drawing:
    """The drawing as a filled shape of one colour."""
    return tuple(replace(shape, colour=colour) for shape in drawing)


def smooth(points: ArrayLike, closed: bool = False, steps: int = 12) -> Points:
    """A Catmull-Rom curve through the points."""
    p = np.asarray(points, float)
    ends = (p[-1:], p[:2]) if closed else (2 * p[:1] - p[1:2], 2 * p[-1:] - p[-2:-1])
    q = np.concatenate([ends[0], p, ends[1]])
    a, b, c, d = q[:-3, None], q[1:-2, None], q[2:-1, None], q[3:, None]
    t = np.linspace(0, 1, steps, endpoint=False)[None, :, None]
    curve = b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)))
    curve = curve.reshape(-1, 2)
    return curve if closed else np.concatenate([curve, p[-1:]])


def outline(points: ArrayLike, colour: str) -> Drawing:
    """A smooth closed outline through the points, filled."""
    return (Shape(smooth(points, closed=True), colour),)


def polygon(points: ArrayLike, colour: str) -> Drawing:
    """A straight-edged outline, filled."""
    return (Shape(np.asarray(points, float), colour),)


def oval(x: float, y: float, rx: float, ry: float, colour: str, *, turn: float = 0) -> Drawing:
    """A filled ellipse, its long way turned by degrees."""
    a = np.linspace(0, 2 * np.pi, 72, endpoint=False)
    ring = np.column_stack([rx * np.cos(a), ry * np.sin(a)])
    return placed((Shape(ring, colour),), x, y, turn)


def disc(x: float, y: float, radius: float, colour: str) -> Drawing:
    """A filled circle."""
    return oval(x, y, radius, radius, colour)


def brush(
    points: ArrayLike,
    colour: str,
    width: float,
    taper: Sequence[float] = (0.5, 1.0, 0.35),
    closed: bool = False,
) -> Drawing:
    """A brush stroke through the points; ``taper`` scales the width along its length."""
    curve = smooth(points, closed)
    if closed:
        curve = np.concatenate([curve, curve[:1]])
    along = np.linspace(0, 1, len(curve))
    widths = width * np.interp(along, np.linspace(0, 1, len(taper)), taper)
    return (Shape(curve, colour, widths),)


def sides(spine: Points, half_widths: ArrayLike) -> tuple[Points, Points]:
    """The two edges of a ribbon along ``spine``, from its half width at each point."""
    along = np.gradient(spine, axis=0)
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-9)
    across = np.column_stack([-along[:, 1], along[:, 0]]) * np.asarray(half_widths)[:, None]
    return spine + across, spine - across


def between(first: Points, second: Points, colour: str) -> Drawing:
    """The area between two edges that run the same way."""
    return (Shape(np.concatenate([first, second[::-1]]), colour),)


def arc(x: float, y: float, radius: float, start: float, stop: float, *, n: int = 9) -> Points:
    """Points on a circle between two angles in degrees (0 to the right, 90 down)."""
    a = np.radians(np.linspace(start, stop, n))
    return np.column_stack([x + radius * np.cos(a), y + radius * np.sin(a)])


def extent(drawing: Drawing) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of everything painted."""
    low = np.min([s.points.min(axis=0) - _half(s) for s in drawing], axis=0)
    high = np.max([s.points.max(axis=0) + _half(s) for s in drawing], axis=0)
    return low[0], low[1], high[0], high[1]


def _half(shape: Shape) -> float:
    return 0.0 if shape.widths is None else float(shape.widths.max()) / 2
