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

Inside its edge a motif is taken to be opaque: how see-through a wash is cannot be told from one
ground. What has the ground's colour inside a motif is taken for a hole that the ground shows
through, since nothing tells it from a part that is drawn in that colour.

Not done here: finding the motif (``patterns.lift.pieces``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Indices, Mask, Pixels
from patterns.lift.ground import Ground

MOST_EDGE = 10  # pixels that an edge may take to fade out, either way
LOOK = 5  # pixels about an edge in which its steepness is looked for
CLEAR, OPAQUE = 0.02, 0.985  # alpha beyond which a pixel is wholly the one or the other
STILL = 6  # of 255, in any channel from pixel to pixel: a flat colour
SURE = 0.97  # of the strongest close by: as strong as that


@dataclass(frozen=True, eq=False)
class Matte:
    """A motif without its ground.

    Attributes:
        colour: (rows, columns, 3) sRGB uint8, its own colour, where it is clear as well.
        alpha: (rows, columns) uint8.
    """

    colour: Pixels
    alpha: Pixels


def matte(pixels: Pixels, ground: Ground, inside: Mask, others: Mask) -> Matte:
    """Free a motif of its ground.

    Args:
        pixels: (rows, columns, 3) sRGB uint8: the motif and at least ``MOST_EDGE`` pixels about it.
        ground: what it lies on.
        inside: (rows, columns) bool: where it is, edges with even a little of it included.
        others: likewise, where other motifs are.
    """
    from scipy.ndimage import distance_transform_edt, maximum_filter

    off = pixels.astype(np.float64) - np.array(ground.colour)
    away = np.linalg.norm(off, axis=2)
    edge = edge_px(np.where(inside, away, 0.0), inside)
    depth = distance_transform_edt(inside)
    strongest = maximum_filter(np.where(inside, away, 0.0), 2 * edge + 1)
    ridge = inside & (away >= SURE * strongest)
    # where colours still stand out from the ground they are not mixed with it: the middle of a line
    deep = (depth > edge) | (inside & (_steps(pixels) <= STILL))
    alpha = np.where(deep, 1.0, 0.0)
    colour = off.copy()
    outward = distance_transform_edt(~inside)
    unsure = ~deep & (outward <= edge) & ~_nearer_to(others, outward)
    places = np.argwhere(unsure)
    if len(places):
        alpha[unsure], colour[unsure] = _explained(off, depth, places, deep, ridge)
    alpha[alpha < CLEAR] = 0.0
    alpha[alpha > OPAQUE] = 1.0
    own = _own_colours(off, alpha, colour) + np.array(ground.colour)
    return Matte(
        np.rint(np.clip(own, 0.0, 255.0)).astype(np.uint8), np.rint(alpha * 255.0).astype(np.uint8)
    )


def edge_px(away: Floats, inside: Mask) -> int:
    """Return how many pixels inside a motif's edge may still show the ground: 2 where it is sharp.

    Args:
        away: (rows, columns) distance from the ground's colour.
        inside: (rows, columns) bool.
    """
    from scipy.ndimage import binary_erosion, maximum_filter

    border = inside & ~binary_erosion(inside, np.ones((3, 3)))
    down, across = np.gradient(away)
    steepest = maximum_filter(np.hypot(down, across), LOOK)[border]
    height = maximum_filter(away, 2 * LOOK + 1)[border]
    width = float(np.median(height / np.maximum(steepest, 1e-9))) if border.any() else 2.0
    # a sharp edge is two steps wide to a central difference
    return 2 if width < 2.6 else min(MOST_EDGE, int(np.ceil(2.0 * width)) - 2)


def _steps(pixels: Pixels) -> Pixels:
    """Return the largest difference in a channel among a pixel and the eight about it."""
    from scipy.ndimage import maximum_filter, minimum_filter

    steps = maximum_filter(pixels, (3, 3, 1)) - minimum_filter(pixels, (3, 3, 1))
    largest: Pixels = np.maximum(np.maximum(steps[..., 0], steps[..., 1]), steps[..., 2])
    return largest


def _nearer_to(others: Mask, outward: Floats) -> Mask:
    """Return where another motif is nearer than this one, which lies so far off."""
    from scipy.ndimage import distance_transform_edt

    if not others.any():
        return others
    nearer: Mask = distance_transform_edt(~others) < outward
    return nearer


def _explained(
    off: Floats, depth: Floats, places: Indices, deep: Mask, ridge: Mask
) -> tuple[Floats, Floats]:
    """Return alpha, and the motif's colour less the ground's, at each of the places (row, column).

    Args:
        off: (rows, columns, 3) each pixel less the ground.
        depth: (rows, columns) how far inside the motif it lies.
        places: (n, 2) where to tell.
        deep: what is certainly the motif's own colour.
        ridge: what is as strong as anything close by.
    """
    mixed = off[places[:, 0], places[:, 1]]
    inward = depth[places[:, 0], places[:, 1]]
    best = np.full(len(places), np.inf)
    alpha, colour = np.zeros(len(places)), mixed.copy()
    for source in (ridge, deep):
        if not source.any():
            continue
        rows, columns = _nearest(source, places)
        own = off[rows, columns]
        share = np.einsum("ij,ij->i", mixed, own) / np.maximum(
            np.einsum("ij,ij->i", own, own), 1e-9
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


def _nearest(source: Mask, places: Indices) -> tuple[Indices, Indices]:
    """Return the row and column of the nearest pixel of a mask to each place."""
    from scipy.ndimage import distance_transform_edt

    nearest = distance_transform_edt(~source, return_distances=False, return_indices=True)
    return nearest[0][places[:, 0], places[:, 1]], nearest[1][places[:, 0], places[:, 1]]


def _own_colours(off: Floats, alpha: Floats, colour: Floats) -> Floats:
    """Return each pixel's own colour less the ground's; clear ones have their neighbour's."""
    from scipy.ndimage import distance_transform_edt

    own = colour.copy()
    strong = (alpha >= 0.5) & (alpha < 1.0)
    own[strong] = off[strong] / alpha[strong][:, None]
    own[alpha >= 1.0] = off[alpha >= 1.0]
    if not (alpha > 0.0).any():
        return own
    clear = alpha <= 0.0
    nearest = distance_transform_edt(clear, return_distances=False, return_indices=True)
    own[clear] = own[nearest[0][clear], nearest[1][clear]]
    return own
