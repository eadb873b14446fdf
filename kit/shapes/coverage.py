"""How much of each pixel an outline covers: the edges of panels and marks, without jaggies.

In: outlines in millimetres, y down, and a window of the sheet's pixel grid. Out: (rows, cols)
float64 shares from 0 to 1, exact for the flattened outline (chords within ``TOLERANCE_PX`` of the
arcs): every edge is cut at the pixel borders, and each piece adds the signed area between itself
and the right end of its row, as scanline font rasterisers do. Strokes are measured by their
distance from the pixel's centre instead, which is as good as exact for lines wider than a pixel.

Not done here: colours.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kit.shapes.arcs import arc_between, bounding_box, flatten_contour
from kit.shapes.geometry import Contour, Point, Rect, Vertex
from palette.arrays import Floats, Indices
from patterns.units import MM_PER_INCH

TOLERANCE_PX = 0.004


@dataclass(frozen=True, slots=True)
class Window:
    """A block of the sheet's pixels: its first row and column, and how many of each."""

    row: int
    col: int
    rows: int
    cols: int

    @property
    def slices(self) -> tuple[slice, slice]:
        """The block as an index into the sheet's raster."""
        return slice(self.row, self.row + self.rows), slice(self.col, self.col + self.cols)


def window_touched(rect: Rect, dpi: float, raster_px: tuple[int, int]) -> Window:
    """Return the pixels that a rectangle touches, clipped by the raster."""
    per_mm = dpi / MM_PER_INCH
    top, left = math.floor(rect.y_mm * per_mm), math.floor(rect.x_mm * per_mm)
    bottom, right = math.ceil(rect.bottom_mm * per_mm), math.ceil(rect.right_mm * per_mm)
    return _clip(top, left, bottom, right, raster_px)


def window_centred(rect: Rect, dpi: float, raster_px: tuple[int, int]) -> Window:
    """Return the pixels whose centre a rectangle holds: rectangles that meet share none.

    The printed edge is then at most half a pixel from the true one.
    """
    per_mm = dpi / MM_PER_INCH
    # a hair's breadth against rounding, so that an edge on a centre falls the same way each time
    top, left, bottom, right = (
        math.ceil(mm * per_mm - 0.5 - 1e-7)
        for mm in (rect.y_mm, rect.x_mm, rect.bottom_mm, rect.right_mm)
    )
    return _clip(top, left, bottom, right, raster_px)


def _clip(top: int, left: int, bottom: int, right: int, raster_px: tuple[int, int]) -> Window:
    rows, cols = raster_px
    top, left = min(max(top, 0), rows), min(max(left, 0), cols)
    bottom, right = min(max(bottom, top), rows), min(max(right, left), cols)
    return Window(top, left, bottom - top, right - left)


def area_coverage(contour: Contour, dpi: float, window: Window) -> Floats:
    """Return the share of each pixel inside an outline that does not cross itself."""
    return rings_coverage([flatten_contour(contour, TOLERANCE_PX * MM_PER_INCH / dpi)], dpi, window)


def rings_coverage(rings: Sequence[Sequence[Point]], dpi: float, window: Window) -> Floats:
    """Return the share of each pixel inside closed polylines (mm), by the non-zero rule.

    A ring that turns the other way inside another is a hole; rings of one way may overlap.
    """
    per_mm, corner = dpi / MM_PER_INCH, (window.col, window.row)
    grids = [np.array(ring) * per_mm - corner for ring in rings]
    return polygon_coverage(grids, window.rows, window.cols)


def polygon_coverage(rings: Sequence[Floats], rows: int, cols: int) -> Floats:
    """Return the share of each cell of a unit grid inside rings of (n, 2) points x and y."""
    sums = np.zeros((rows, cols + 1))
    for points in rings:
        _add_edges(sums, points, np.roll(points, -1, axis=0))
    signed = np.cumsum(sums[:, :-1], axis=1)
    shares: Floats = np.clip(np.abs(signed), 0.0, 1.0)
    return shares


def _add_edges(sums: Floats, starts: Floats, ends: Floats) -> None:
    """Add each edge's signed area, as differences along the row, to ``sums`` (rows, cols + 1)."""
    rows, cols = sums.shape[0], sums.shape[1] - 1
    edge, share = _cuts(starts, ends)
    points = starts[edge] + share[:, None] * (ends - starts)[edge]
    whole = edge[1:] == edge[:-1]
    middle = (points[1:] + points[:-1])[whole] / 2.0
    drop = (points[1:, 1] - points[:-1, 1])[whole]
    row = np.floor(middle[:, 1]).astype(np.intp)
    seen = (row >= 0) & (row < rows)
    # left of the window an edge covers whole rows; right of it, nothing
    x = np.clip(middle[seen, 0], 0.0, float(cols))
    col = np.minimum(np.floor(x).astype(np.intp), cols - 1)
    inside = 1.0 - (x - col)
    np.add.at(sums, (row[seen], col), drop[seen] * inside)
    np.add.at(sums, (row[seen], col + 1), drop[seen] * (1.0 - inside))


def _cuts(starts: Floats, ends: Floats) -> tuple[Indices, Floats]:
    """Return where edges cross pixel borders, in order: edge numbers and shares of their length.

    Both ends of every edge, 0 and 1, are among them.
    """
    count = len(starts)
    edges = [np.arange(count), np.arange(count)]
    shares = [np.zeros(count), np.ones(count)]
    for axis in (0, 1):
        a, b = starts[:, axis], ends[:, axis]
        first = np.floor(np.minimum(a, b)).astype(np.intp) + 1
        crossed = np.maximum(np.ceil(np.maximum(a, b)).astype(np.intp) - first, 0)
        edge = np.repeat(np.arange(count), crossed)
        nth = np.arange(edge.size) - np.repeat(np.cumsum(crossed) - crossed, crossed)
        edges.append(edge)
        shares.append((first[edge] + nth - a[edge]) / (b - a)[edge])
    numbers, along = np.concatenate(edges), np.concatenate(shares)
    order = np.lexsort((along, numbers))
    return numbers[order], along[order]


def stroke_coverage(contour: Contour, width_mm: float, dpi: float, window: Window) -> Floats:
    """Return the share of each pixel under a line of this width along the outline."""
    per_mm = dpi / MM_PER_INCH
    xs = (np.arange(window.cols, dtype=np.float64) + window.col + 0.5) / per_mm
    ys = (np.arange(window.rows, dtype=np.float64) + window.row + 0.5) / per_mm
    half_px = width_mm * per_mm / 2.0
    # a hairline under a pixel keeps its ink: paler instead of narrower
    reach = max(half_px, 0.5)
    nearest_px = nearest_mm(contour, xs, ys, (reach + 0.5) / per_mm) * per_mm
    shares: Floats = np.clip(reach + 0.5 - nearest_px, 0.0, 1.0) * min(1.0, 2.0 * half_px)
    return shares


def nearest_mm(contour: Contour, xs: Floats, ys: Floats, reach_mm: float) -> Floats:
    """Return each grid point's distance to the outline, infinite where over ``reach_mm``.

    Args:
        contour: the outline.
        xs: the columns' places, millimetres, ascending.
        ys: the rows' places, likewise.
        reach_mm: farther points need not be measured.
    """
    nearest = np.full((ys.size, xs.size), np.inf)
    for start, end in contour.sides():
        box = bounding_box(Contour((start, Vertex(end.x_mm, end.y_mm)))).grow(reach_mm)
        cols = slice(*np.searchsorted(xs, (box.x_mm, box.right_mm)))
        rows = slice(*np.searchsorted(ys, (box.y_mm, box.bottom_mm)))
        part = nearest[rows, cols]
        np.minimum(part, _distance(start, end, xs[None, cols], ys[rows, None]), out=part)
    nearest[nearest > reach_mm] = np.inf
    return nearest


def stroke_box(contour: Contour, width_mm: float) -> Rect:
    """Return the rectangle that a line of this width along the outline stays within."""
    return bounding_box(contour).grow(width_mm / 2.0 + 0.1)


def _distance(start: Vertex, end: Vertex, x: Floats, y: Floats) -> Floats:
    """Return the millimetres from points to one side of an outline."""
    if start.bulge == 0.0:
        return _to_segment(start, end, x, y)
    arc = arc_between(start, end)
    dx, dy = x - arc.x_mm, y - arc.y_mm
    turned = np.arctan2(dy, dx) - arc.start_rad
    turned = np.mod(turned if arc.sweep_rad > 0 else -turned, 2.0 * math.pi)
    to_circle = np.abs(np.hypot(dx, dy) - arc.radius_mm)
    to_ends = np.minimum(
        np.hypot(x - start.x_mm, y - start.y_mm), np.hypot(x - end.x_mm, y - end.y_mm)
    )
    shares: Floats = np.where(turned <= abs(arc.sweep_rad), to_circle, to_ends)
    return shares


def _to_segment(start: Vertex, end: Vertex, x: Floats, y: Floats) -> Floats:
    across, down = end.x_mm - start.x_mm, end.y_mm - start.y_mm
    length2 = across * across + down * down
    along = ((x - start.x_mm) * across + (y - start.y_mm) * down) / (length2 or 1.0)
    along = np.clip(along, 0.0, 1.0)
    away: Floats = np.hypot(x - start.x_mm - along * across, y - start.y_mm - along * down)
    return away
