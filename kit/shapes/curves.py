"""Closed paths of cubic Bézier curves: letters, and drawings read from files.

In and out: points in any unit, mostly millimetres. Cut into n equal steps of its parameter, a cubic
leaves its chords by at most (3/4)·d/n², where d is the largest second difference of its control
points: the second derivative is at most 6d, and a chord over the step h errs by at most h²/8 of it.
Straight pieces are cubics whose control points lie on their ends.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from kit.shapes.arcs import Bezier, is_line
from kit.shapes.geometry import Point

MOST_STEPS = 400  # of one piece: a guard against absurd sizes


@dataclass(frozen=True, slots=True)
class CurvedPath:
    """A closed path of cubic Bézier pieces; the last one ends where the first begins."""

    start: Point
    pieces: tuple[Bezier, ...]

    def scale(self, size: float, dx: float, dy: float) -> CurvedPath:
        """Return the path enlarged about the origin, then moved."""

        def at(point: Point) -> Point:
            return point[0] * size + dx, point[1] * size + dy

        pieces = tuple((at(a), at(b), at(c)) for a, b, c in self.pieces)
        return CurvedPath(at(self.start), pieces)

    def rounded(self, decimals: int) -> CurvedPath:
        """Return the path with its points rounded to so many decimals."""

        def at(point: Point) -> Point:
            return round(point[0], decimals), round(point[1], decimals)

        pieces = tuple((at(a), at(b), at(c)) for a, b, c in self.pieces)
        return CurvedPath(at(self.start), pieces)


@dataclass
class Run:
    """One sub-path: where it starts, its pieces, and whether it was closed."""

    start: Point
    pieces: list[Bezier] = field(default_factory=list)
    closed: bool = False

    @property
    def end(self) -> Point:
        """Where it has come to."""
        return self.pieces[-1][2] if self.pieces else self.start

    def map(self, at: Callable[[Point], Point]) -> Run:
        """Return the run with an affine map applied to its points."""
        pieces = [(at(one), at(two), at(end)) for one, two, end in self.pieces]
        return Run(at(self.start), pieces, self.closed)


def flatten_path(path: CurvedPath, tolerance: float) -> list[Point]:
    """Return the path as a closed polyline within a tolerance; the first point is not repeated."""
    points = [path.start]
    for piece in path.pieces:
        points += _steps(points[-1], piece, tolerance)
    if len(points) > 1 and points[-1] == points[0]:
        points.pop()
    return points


def extent(paths: Sequence[CurvedPath], tolerance: float) -> tuple[float, float, float, float]:
    """Return the left, top, right and bottom of paths, measured on polylines.

    Raises:
        ValueError: there is no path.
    """
    points = [point for path in paths for point in flatten_path(path, tolerance)]
    if not points:
        raise ValueError("no path has no extent")
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _steps(start: Point, piece: Bezier, tolerance: float) -> list[Point]:
    """Return the points along a piece after its start, its end included."""
    if is_line(start, piece):
        return [piece[2]]
    one, two, end = piece
    bend = max(
        math.hypot(a[0] - 2.0 * b[0] + c[0], a[1] - 2.0 * b[1] + c[1])
        for a, b, c in ((start, one, two), (one, two, end))
    )
    count = min(MOST_STEPS, max(1, math.ceil(math.sqrt(0.75 * bend / tolerance))))
    return [*(_at(start, piece, k / count) for k in range(1, count)), end]


def _at(start: Point, piece: Bezier, t: float) -> Point:
    """Return the point of a piece at parameter t (Bernstein form)."""
    s = 1.0 - t
    weights = (s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t)
    points = (start, *piece)
    return (
        sum(w * p[0] for w, p in zip(weights, points, strict=True)),
        sum(w * p[1] for w, p in zip(weights, points, strict=True)),
    )
