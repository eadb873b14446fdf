"""How are two layers of a watercolour mixed along a path, so that no step in tone is left?

In: a tile whose right end is laid over its left end, (height, width, 3) sRGB uint8, and the path
between the two. Out: the narrower tile. Coarse detail is mixed over a wide band about the path and
fine detail over a narrow one, so that neither a step nor a double image is seen (Burt and Adelson,
"A multiresolution spline with application to image mosaics", ACM Transactions on Graphics 2(4),
1983; here with Gaussian bands in full size, which wrap along the join). Right where the artwork is
soft; round an outline it leaves a halo. Not done here: the path, and choosing what to mix.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats, Indices, Pixels

FINEST_PX = 1.0  # standard deviation of the finest band's mixture


def blend_layers(pixels: Pixels, overlap: int, drop_px: int, column: Indices) -> Pixels:
    """Return the tile with its ends mixed about a path.

    Args:
        pixels: (height, width, 3) sRGB uint8.
        overlap: columns of either end that lie over each other.
        drop_px: by how many pixels the right neighbour sits lower.
        column: (height,) first column of the overlap that shows the left end, for each row.
    """
    width = pixels.shape[1]
    right = pixels[:, width - overlap :].astype(np.float64)
    left = np.roll(pixels[:, :overlap], drop_px, axis=0).astype(np.float64)
    shows_left = (np.arange(overlap)[None, :] >= column[:, None]).astype(np.float64)
    room = np.minimum(np.arange(overlap) + 1.0, overlap - np.arange(overlap))
    end, sigma = np.zeros_like(right), FINEST_PX
    while 4.0 * sigma <= overlap:
        share = _hold_borders(_blur(shows_left, sigma), room / (2.0 * sigma))[..., None]
        right_rest, left_rest = _blur(right, sigma), _blur(left, sigma)
        end += (right - right_rest) * (1.0 - share) + (left - left_rest) * share
        right, left, sigma = right_rest, left_rest, 2.0 * sigma
    share = _hold_borders(_blur(shows_left, sigma), room / (0.5 * overlap))[..., None]
    end += right * (1.0 - share) + left * share
    ready = np.rint(np.clip(end, 0.0, 255.0)).astype(np.uint8)
    return np.concatenate([pixels[:, overlap : width - overlap], ready], axis=1)


def _hold_borders(share: Floats, room: Floats) -> Floats:
    """Return shares of the left layer that go over to whole layers at the overlap's borders."""
    own = (np.arange(len(room)) >= len(room) / 2).astype(np.float64)
    near = np.clip(room, 0.0, 1.0)
    return np.asarray(share * near + own * (1.0 - near))


def _blur(values: Floats, sigma: float) -> Floats:
    from scipy.ndimage import gaussian_filter1d

    down = gaussian_filter1d(values, sigma, axis=0, mode="wrap")
    return np.asarray(gaussian_filter1d(down, sigma, axis=1, mode="nearest"))
