"""A cut line round the maker's own drawing: at a chosen distance, smooth, without holes.

In: how far each pixel of the drawing is covered (alpha), its size on paper in mm, and the distance.
Out: one closed ``Contour`` around it, in millimetres from the drawing's top left corner.

What counts is all that can be seen: a pixel that is ``VISIBLE`` belongs to the drawing whole, be it
a wash, a glow or a wing; only at the drawing's outer edge is alpha the share of a pixel that an
edge leaves covered.

How: the drawing is laid on a fine grid, points thinner than its cells beside it; what lies within
the distance of its edge (exact Euclidean distance, Felzenszwalb and Huttenlocher, 2012, as scipy
computes it) is the sticker; narrow bays are closed by a circle of ``SMOOTH_MM`` (a morphological
closing: out by that radius and in again), enclosed holes are filled, and the border is followed
between grid points and fitted with arcs. A drawing of several pieces becomes one sticker if bridges
of up to ``BRIDGE_MM`` join them.

Against exact buffers of the same shape the line keeps within a tenth of a millimetre. Not done
here: opening files (``kit.drawings.icon_file``), printing the drawing (``kit.render.picture``).
"""

from __future__ import annotations

import numpy as np

from kit.shapes import Contour, fit_arcs, outer_ring
from palette.arrays import Floats, Indices, Mask, Pixels

CELLS_PER_MM = 16.0
MOST_CELLS = 4_000_000
SMOOTH_MM = 1.5
BRIDGE_MM = 4.0
FIT_MM = 0.02
COVERED = 0.5  # the share of a pixel at which an edge runs through its middle
VISIBLE = 13  # of 255: 5 %; paler colour is lost on paper (common practice, no published source)
LOST = 0.4  # of a covered pixel: less than this and the grid does not hold it
TIP_CELLS = 1.5  # from a point's middle to a cut at least, so that the grid can hold it
BLOCK_CELLS = 16  # sides of the squares of cells of which it is asked what is near
AT_EDGE_CELLS = 3.0  # from the drawing's edge: a cut nearer than this may run inside it


class ScatteredError(ValueError):
    """A drawing whose pieces are too far apart for one sticker; ``pieces`` says how many."""

    def __init__(self, pieces: int) -> None:
        super().__init__(f"{pieces} pieces too far apart")
        self.pieces = pieces


def cut_round(alpha: Pixels, size_mm: tuple[float, float], distance_mm: float) -> Contour:
    """Return the cut line round a drawing.

    Args:
        alpha: (rows, cols) uint8, 0 where there is nothing.
        size_mm: the drawing's width and height on paper.
        distance_mm: from its edge to the cut, 0 or more.

    Raises:
        ValueError: the drawing is empty.
        ScatteredError: its pieces are too far apart.
    """
    margin_mm = distance_mm + SMOOTH_MM + BRIDGE_MM / 2.0 + 1.0
    per_mm = _resolution(size_mm, margin_mm)
    distance, smooth = distance_mm * per_mm, SMOOTH_MM * per_mm
    drawing, has_tips = _on_grid(alpha, size_mm, margin_mm, per_mm, distance)
    field = _sticker(drawing, has_tips, distance, smooth)
    pieces = _count(field)
    if pieces > 1:
        field = _sticker(drawing, has_tips, distance, smooth + BRIDGE_MM / 2.0 * per_mm)
        if _count(field) > 1:
            raise ScatteredError(pieces)
    ring = outer_ring(field) / per_mm - margin_mm
    return fit_arcs([(float(x), float(y)) for x, y in ring], FIT_MM)


def _resolution(size_mm: tuple[float, float], margin_mm: float) -> float:
    """Return the grid's cells a millimetre: fewer for very large drawings."""
    area = (size_mm[0] + 2.0 * margin_mm) * (size_mm[1] + 2.0 * margin_mm)
    return float(min(CELLS_PER_MM, (MOST_CELLS / area) ** 0.5))


def _on_grid(
    alpha: Pixels,
    size_mm: tuple[float, float],
    margin_mm: float,
    per_mm: float,
    distance: float,
) -> tuple[Floats, bool]:
    """Return the signed distance, in cells, from the grid's points to the drawing's edge.

    Inside, where a cut at ``distance`` cells never comes, it may be any above 0. What of the
    drawing is too thin for the grid counts as discs of half a pixel, or large enough for a cut
    that the grid can hold where that is more; the second value tells whether there is any.
    """
    from scipy.ndimage import map_coordinates

    cover = cover_of(alpha)
    if not (cover > COVERED).any():
        raise ValueError("the drawing is empty")
    rows, cols = alpha.shape
    high, wide = (round((mm + 2.0 * margin_mm) * per_mm) for mm in (size_mm[1], size_mm[0]))
    y = (np.arange(high) / per_mm - margin_mm) * rows / size_mm[1] - 0.5
    x = (np.arange(wide) / per_mm - margin_mm) * cols / size_mm[0] - 0.5
    pixels_per_cell = rows / size_mm[1] / per_mm
    smooth = _reduced(cover, pixels_per_cell)
    places = np.meshgrid(y, x, indexing="ij")
    seen: Floats = map_coordinates(smooth, places, order=1, mode="grid-constant", cval=0.0)
    near_edge = np.argwhere((smooth < 0.9) & ((cover > COVERED) | _faint(alpha)))
    points = (near_edge + 0.5) / pixels_per_cell + margin_mm * per_mm
    points = points[map_coordinates(seen, points.T, order=1) < LOST]
    inside = distance < AT_EDGE_CELLS
    if not points.size:
        return _signed_distance(seen - COVERED, inside=inside), False
    reach, radius = margin_mm * per_mm, max(TIP_CELLS - distance, 0.5 / pixels_per_cell)
    if (seen > COVERED).any():
        signed = _signed_distance(seen - COVERED, inside=inside)
    else:
        signed = np.full(seen.shape, -reach - 1.0)
    return _with_points(signed, points, reach, radius), True


def cover_of(alpha: Pixels) -> Floats:
    """Return how much of each pixel the drawing covers, 0 to 1: its opacity at the edge alone.

    Args:
        alpha: (rows, cols) uint8.
    """
    from scipy.ndimage import maximum_filter, minimum_filter

    strongest = maximum_filter(alpha, 3, mode="constant")
    inside = minimum_filter(alpha, 3, mode="constant") >= VISIBLE
    share: Floats = alpha / np.maximum(strongest, 2.0 * VISIBLE)
    share[inside] = 1.0
    return share


def _faint(alpha: Pixels) -> Mask:
    """Return the visible pixels without a half opaque one about them: a needle's last ones."""
    from scipy.ndimage import maximum_filter

    faint: Mask = (alpha >= VISIBLE) & (maximum_filter(alpha, 5, mode="constant") < 128)
    return faint


def _with_points(signed: Floats, points: Floats, reach: float, radius: float) -> Floats:
    """Return a signed distance, up to ``reach``, to what it tells of or to discs about points.

    Points are (row, column). Only blocks of cells in which a disc may be the nearer one are asked.
    """
    from scipy.spatial import cKDTree

    tree = cKDTree(points)
    starts = [np.arange(0, side, BLOCK_CELLS) for side in signed.shape]
    lowest = np.minimum.reduceat(np.minimum.reduceat(signed, starts[0], 0), starts[1], 1)
    middles = np.stack(np.meshgrid(*starts, indexing="ij"), axis=-1) + (BLOCK_CELLS - 1) / 2.0
    least = tree.query(middles)[0] - BLOCK_CELLS / 2.0**0.5
    blocks = (least <= reach) & (radius - least > lowest)
    asked = np.repeat(np.repeat(blocks, BLOCK_CELLS, 0), BLOCK_CELLS, 1)
    places = np.argwhere(asked[: signed.shape[0], : signed.shape[1]])
    nearest, _ = tree.query(places.astype(np.float64), distance_upper_bound=reach)
    both = signed.copy()
    here = places[:, 0], places[:, 1]
    both[here] = np.maximum(both[here], radius - np.minimum(nearest, reach + 1.0))
    return both


def _reduced(cover: Floats, pixels_per_cell: float) -> Floats:
    """Return the cover smoothed where several pixels fall on one cell."""
    from scipy.ndimage import gaussian_filter

    if pixels_per_cell <= 1.0:
        return cover
    smooth: Floats = gaussian_filter(cover, pixels_per_cell / 2.5, mode="constant")
    return smooth


def _sticker(drawing: Floats, has_tips: bool, distance: float, smooth: float) -> Floats:
    """Return a field that is positive inside the sticker and 0 on its edge; lengths in cells.

    Args:
        drawing: the signed distance to the drawing's edge.
        has_tips: whether some of it is too thin to be rounded off.
        distance: from there to the cut.
        smooth: the radius that closes bays.
    """
    from scipy.ndimage import binary_fill_holes, gaussian_filter

    grown = _signed_distance(drawing + distance + smooth, outside=False)
    closed = _signed_distance(grown - smooth)
    filled = binary_fill_holes(closed > 0.0)
    # a filled hole has no edge: lift it well above zero
    field = np.where(filled & (closed <= 0.0), 1.0, closed)
    smoothed: Floats = gaussian_filter(field, 0.7)
    return np.maximum(smoothed, drawing + distance) if has_tips else smoothed


def _signed_distance(field: Floats, *, inside: bool = True, outside: bool = True) -> Floats:
    """Return the signed distance, in cells, to where a field passes zero; positive inside.

    Distances run from cell to cell; the nearest cell beyond the edge then tells by its own value
    and slope how far the edge is from it (after Gustavson and Strand, "Anti-aliased Euclidean
    distance transform", 2011). A side that is not asked for is 1 away from the edge everywhere.
    """
    from scipy.ndimage import distance_transform_edt

    within = field > 0.0
    if within.all() or not within.any():
        raise ValueError("the drawing leaves the grid")
    beside = _beside(within)
    own = np.zeros(field.size)
    own[beside] = _to_edge(field, beside)
    signed = np.where(within, 1.0, -1.0)
    for asked, mine, sign in ((inside, within, 1.0), (outside, ~within, -1.0)):
        if asked:
            row, column = distance_transform_edt(mine, return_distances=False, return_indices=True)
            here = np.flatnonzero(mine)
            row, column = row.ravel()[here], column.ravel()[here]
            down, across = np.divmod(here, field.shape[1])
            away = np.sqrt((row - down) ** 2 + (column - across) ** 2)
            signed[mine] = sign * np.maximum(away - own[row * field.shape[1] + column], 0.0)
    return signed


def _beside(within: Mask) -> Indices:
    """Return the flat places of all cells with a neighbour on the other side of an edge."""
    beside = np.zeros_like(within)
    for axis in (0, 1):
        one, other = np.moveaxis(within, axis, 0), np.moveaxis(beside, axis, 0)
        change = one[1:] != one[:-1]
        other[1:] |= change
        other[:-1] |= change
    return np.flatnonzero(beside)


def _to_edge(field: Floats, places: Indices) -> Floats:
    """Return how far the edge is from cells beside it, up to 1, by their own value and slope."""
    rows, columns = field.shape
    down, across = np.divmod(places, columns)
    flat = field.ravel()
    own = flat[places]
    steepest = []
    for at, last, step in ((down, rows - 1, columns), (across, columns - 1, 1)):
        before = np.abs(own - flat[np.where(at > 0, places - step, places)])
        after = np.abs(own - flat[np.where(at < last, places + step, places)])
        steepest.append(np.maximum(before, after))
    slope = np.hypot(*steepest)
    return np.minimum(np.abs(own) / np.maximum(slope, 1e-6), 1.0)


def _count(field: Floats) -> int:
    from scipy.ndimage import label

    return int(label(field > 0.0)[1])
