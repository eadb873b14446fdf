"""How much of each pixel does a motif cover, and what is its own colour there?

In: pixels that show a motif on a ground of one known colour, and where it is. Out: a ``Matte``,
alpha and foreground. A pixel C of the motif's edge is a mixture, C = a F + (1 - a) B, of the
motif's colour F there and the ground's B (Porter and Duff, "Compositing digital images", SIGGRAPH
1984; in sRGB values, in which drawings are laid on their ground). F is taken from the motif just
inside its edge; with it and B known,

    a = (C - B) . (F - B) / |F - B|^2

is the alpha that leaves the least error (Chuang, Curless, Salesin, Szeliski, "A Bayesian approach
to digital matting", CVPR 2001, equation 10). Two colours are tried for F, as in sampling from
known regions (Wang and Cohen, "Optimized color sampling for robust matting", CVPR 2007): the
nearest from well inside, and the strongest close by, which a thin line or an outline has; the one
that explains C better counts.

Lossy files scatter each pixel by some steps, in its chroma most. There F is the mean of the motif's
like colours about that place, chroma counts less in the formula, and a sharp edge is found again
from all pixels about it: where alpha falls as steeply as it does across a straight edge, the edge's
place and direction follow from alpha's weighted mean and its gradient, and a pixel's alpha is what
that edge leaves of its area (the partial area effect of Trujillo-Pino, Krissian, Alemán-Flores,
Santana-Cedrés, "Accurate subpixel edge location based on partial area effect", Image and Vision
Computing 31, 2013; here under Gaussian weights).

Inside its edge a motif is taken to be opaque: how see-through a wash is cannot be told from one
ground. What has the ground's colour inside a motif is taken for a hole that the ground shows
through, since nothing tells it from a part that is drawn in that colour.

Not done here: finding the motif (``patterns.lift.pieces``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices, Mask, Pixels
from patterns.lift.distances import distance_up_to
from patterns.lift.ground import Ground

MOST_EDGE = 10  # pixels that an edge may take to fade out, either way
LOOK = 5  # pixels about an edge in which its steepness is looked for
CLEAR, OPAQUE = 0.02, 0.985  # alpha beyond which a pixel is wholly the one or the other
STILL = 6  # of 255, in any channel from pixel to pixel: a flat colour
SURE = 0.97  # of the strongest close by: as strong as that
SHARP = 2  # pixels inside a sharp edge that may still show the ground
LIKE = 40.0  # of 255: lossy files scatter one colour by less
LIKE_PX = 2  # from a pixel: so far away like colours are averaged
ABOUT_PX = 1.2  # the weights by which a lossy edge is found: more would round corners off
STEEP = (0.85, 1.0)  # of a straight edge's steepness: from when on it counts as one, and wholly
# Differences of colours as JPEG keeps them: luma and chroma (ITU-T T.871), chroma half as well
# (the usual tables, ITU-T T.81 annex K).
_AS_KEPT = np.array([[0.299, -0.0844, 0.25], [0.587, -0.1656, -0.2094], [0.114, 0.25, -0.0406]])


@dataclass(frozen=True, eq=False)
class Matte:
    """A motif without its ground.

    Attributes:
        colour: (rows, columns, 3) sRGB uint8, its own colour, where it is clear as well.
        alpha: (rows, columns) uint8.
    """

    colour: Pixels
    alpha: Pixels


def matte(
    pixels: Pixels, ground: Ground, inside: Mask, others: Mask, *, lossy: bool = False
) -> Matte:
    """Free a motif of its ground.

    Args:
        pixels: (rows, columns, 3) sRGB uint8: the motif and at least ``MOST_EDGE`` pixels about it.
        ground: what it lies on.
        inside: (rows, columns) bool: where it is, edges with even a little of it included.
        others: likewise, where other motifs are.
        lossy: whether its file format leaves faint traces about what is drawn.
    """
    from scipy.ndimage import maximum_filter

    off = pixels.astype(np.float64) - np.array(ground.colour)
    away = np.linalg.norm(off, axis=2)
    edge = edge_px(np.where(inside, away, 0.0), inside)
    depth = distance_up_to(inside, edge)
    strongest = maximum_filter(np.where(inside, away, 0.0), 2 * edge + 1)
    ridge = inside & (away >= SURE * strongest)
    # where colours still stand out from the ground they are not mixed with it: the middle of a line
    deep = depth > edge
    rows, columns = np.nonzero(inside & ~deep)
    deep[rows, columns] = _steps(pixels, rows, columns) <= STILL
    alpha = np.where(deep, 1.0, 0.0)
    outward = distance_up_to(~inside, edge)
    unsure = ~deep & (outward <= edge) & ~_nearer_to(others, outward, edge)
    places = np.argwhere(unsure)
    colours = np.zeros((0, 3))
    if len(places):
        alpha[unsure], colours = _explained(off, depth, places, deep, ridge, lossy=lossy)
    if lossy and edge == SHARP:
        alpha[unsure] = _along_edges(alpha, unsure)
    alpha[alpha < CLEAR] = 0.0
    alpha[alpha > OPAQUE] = 1.0
    own = _own_colours(pixels, ground, alpha, unsure, colours)
    return Matte(own, np.rint(alpha * 255.0).astype(np.uint8))


def edge_px(away: Floats, inside: Mask) -> int:
    """Return how many pixels inside a motif's edge may still show the ground: 2 where it is sharp.

    Args:
        away: (rows, columns) distance from the ground's colour.
        inside: (rows, columns) bool.
    """
    from scipy.ndimage import binary_erosion, maximum_filter

    border = inside & ~binary_erosion(inside, np.ones((3, 3)))
    down, across = np.gradient(away)
    # the largest of squares is the square of the largest
    steepest = np.sqrt(maximum_filter(down * down + across * across, LOOK)[border])
    height = maximum_filter(away, 2 * LOOK + 1)[border]
    width = float(np.median(height / np.maximum(steepest, 1e-9))) if border.any() else 2.0
    # a sharp edge is two steps wide to a central difference
    return SHARP if width < 2.6 else min(MOST_EDGE, int(np.ceil(2.0 * width)) - 2)


def _steps(pixels: Pixels, rows: Indices, columns: Indices) -> Pixels:
    """Return the largest difference in a channel among each pixel and the eight about it, (n,).

    Args:
        pixels: (rows, columns, 3).
        rows: where; none of them the picture's first or last.
        columns: likewise.
    """
    least = most = pixels[rows, columns]
    for down, across in ((j, i) for j in (-1, 0, 1) for i in (-1, 0, 1) if (j, i) != (0, 0)):
        one = pixels[rows + down, columns + across]
        least, most = np.minimum(least, one), np.maximum(most, one)
    largest: Pixels = (most - least).max(axis=1)
    return largest


def _nearer_to(others: Mask, outward: Floats, edge: int) -> Mask:
    """Return where another motif is nearer than this one, which lies so far off, up to an edge."""
    if not others.any():
        return others
    nearer: Mask = distance_up_to(~others, edge) < outward
    return nearer


def _explained(
    off: Floats, depth: Floats, places: Indices, deep: Mask, ridge: Mask, *, lossy: bool
) -> tuple[Floats, Floats]:
    """Return alpha, and the motif's colour less the ground's, at each of the places (row, column).

    Args:
        off: (rows, columns, 3) each pixel less the ground.
        depth: (rows, columns) how far inside the motif it lies, as far as an edge goes.
        places: (n, 2) where to tell.
        deep: what is certainly the motif's own colour.
        ridge: what is as strong as anything close by.
        lossy: whether the motif's own colours are scattered.
    """
    mixed = off[places[:, 0], places[:, 1]]
    inward = depth[places[:, 0], places[:, 1]]
    best = np.full(len(places), np.inf)
    alpha, colour = np.zeros(len(places)), mixed.copy()
    for source in (ridge, deep):
        if not source.any():
            continue
        rows, columns = _nearest(source, places)
        own = _like_about(off, deep, rows, columns) if lossy else off[rows, columns]
        this, whole = (mixed @ _AS_KEPT, own @ _AS_KEPT) if lossy else (mixed, own)
        share = np.einsum("ij,ij->i", this, whole) / np.maximum(
            np.einsum("ij,ij->i", whole, whole), 1e-9
        )
        taken = np.clip(share, 0.0, 1.0)
        # what lies behind a line stronger than itself is not an edge
        behind = (source[places[:, 0], places[:, 1]]) | (depth[rows, columns] < inward - 0.5)
        taken[behind] = 1.0
        error = np.linalg.norm(mixed - taken[:, None] * own, axis=1)
        error[behind] = 0.0
        better = error < best - 1e-9
        best[better], alpha[better] = error[better], taken[better]
        colour[better] = np.where(behind[:, None], mixed, own)[better]
    return alpha, colour


def _like_about(off: Floats, deep: Mask, rows: Indices, columns: Indices) -> Floats:
    """Return the mean of the motif's colours that are close to each pixel and like it, (n, 3)."""
    seen, which = np.unique(rows * off.shape[1] + columns, return_inverse=True)
    row, column = np.divmod(seen, off.shape[1])
    mine = off[row, column]
    total, count = mine.copy(), np.ones(len(mine))
    reach = range(-LIKE_PX, LIKE_PX + 1)
    for down, across in ((j, i) for j in reach for i in reach if (j, i) != (0, 0)):
        there = row + down, column + across
        one = off[there]
        like = deep[there] & (np.linalg.norm(one - mine, axis=1) <= LIKE)
        total[like] += one[like]
        count += like
    mean: Floats = (total / count[:, None])[which]
    return mean


def _along_edges(alpha: Floats, where: Mask) -> Floats:
    """Return alpha, (n,), with each straight stretch of edge as one: without its pixels' scatter.

    A straight edge at d from a pixel's middle has the weighted mean Phi(d / s) about it, and a
    gradient of phi(d / s) / s; s is the spread of weights and pixel together.
    """
    from scipy.ndimage import gaussian_filter
    from scipy.special import ndtri

    mean, down, across = (
        gaussian_filter(alpha, ABOUT_PX, order=order, truncate=3.0)[where]
        for order in ((0, 0), (1, 0), (0, 1))
    )
    steep = np.hypot(down, across)
    spread = float(np.sqrt(ABOUT_PX**2 + 1.0 / 12.0))  # a pixel's own spread is 1/12
    far = ndtri(np.clip(mean, 1e-6, 1.0 - 1e-6))
    straight = np.exp(-far * far / 2.0) / (np.sqrt(2.0 * np.pi) * spread)
    low, high = STEEP
    trust = np.clip((steep / straight - low) / (high - low), 0.0, 1.0)
    norm = np.maximum(steep, 1e-12)
    share = _share_beyond(far * spread, np.abs(across) / norm, np.abs(down) / norm)
    own = alpha[where]
    smoothed: Floats = own + trust * (share - own)
    return smoothed


def _share_beyond(off_px: Floats, across: Floats, down: Floats) -> Floats:
    """Return what of a pixel lies on the inner side of a straight edge.

    Args:
        off_px: how far inside the edge the pixel's middle lies.
        across: how far the edge's normal goes across, 0 to 1.
        down: how far it goes down, likewise.
    """
    long, short = np.maximum(across, down), np.maximum(np.minimum(across, down), 1e-3)
    long = np.maximum(long, 0.5)  # of a gradient of nothing
    corners = ((1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0))
    area = np.zeros_like(off_px)
    for i, j in corners:
        area += i * j * np.maximum(off_px + (i * long + j * short) / 2.0, 0.0) ** 2
    share: Floats = np.clip(area / (2.0 * long * short), 0.0, 1.0)
    return share


def _nearest(source: Mask, places: Indices) -> tuple[Indices, Indices]:
    """Return the row and column of the nearest pixel of a mask to each place."""
    from scipy.ndimage import distance_transform_edt

    nearest = distance_transform_edt(~source, return_distances=False, return_indices=True)
    return nearest[0][places[:, 0], places[:, 1]], nearest[1][places[:, 0], places[:, 1]]


def _own_colours(
    pixels: Pixels, ground: Ground, alpha: Floats, unsure: Mask, colours: Floats
) -> Pixels:
    """Return each pixel's own colour; clear ones have their neighbour's.

    Args:
        pixels: (rows, columns, 3) sRGB uint8.
        ground: what the motif lies on.
        alpha: (rows, columns) 0 to 1.
        unsure: where the motif's colour was asked for.
        colours: (n, 3) the answers, less the ground.
    """
    from scipy.ndimage import distance_transform_edt

    own = pixels.copy()
    share = alpha[unsure]
    rows, columns = np.nonzero(unsure)
    mixed = share < 1.0
    rows, columns, share, said = rows[mixed], columns[mixed], share[mixed], colours[mixed]
    strong = share >= 0.5
    behind = np.array(ground.colour)
    off = pixels[rows[strong], columns[strong]] - behind
    said[strong] = off / share[strong][:, None]
    own[rows, columns] = np.rint(np.clip(said + behind, 0.0, 255.0)).astype(np.uint8)
    clear = alpha <= 0.0
    if clear.all():
        return own
    nearest = distance_transform_edt(clear, return_distances=False, return_indices=True)
    own[clear] = own[nearest[0][clear], nearest[1][clear]]
    return own
