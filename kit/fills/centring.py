"""Does a whole motif sit in the middle of the sticker?

In: a motif mask as a ``Field`` and a sticker's outline. Out: for every offset, how much more motif
is in the middle of the sticker than in the ring around it, -1 to 1: highest where one motif is
centred with ground about it. The middle is a disc of a quarter of the sticker's shorter side in
radius, the ring reaches to half of it. Reckoned for all offsets at once by Fourier correlation.
"""

from __future__ import annotations

import math

import numpy as np

from kit.fills.field import Field, correlate, fold_over
from kit.shapes import Contour, bounding_box
from palette.arrays import Floats


def centre_contrast(mask: Field, outline: Contour, shorter_mm: float | None = None) -> Floats:
    """Return the contrast of middle against ring for every offset, (rows, cols).

    Args:
        mask: where motifs are, 0 to 1.
        outline: the sticker's, as it lies on the artwork.
        shorter_mm: the sticker's shorter side, for an outline that is turned; None for its box's.
    """
    box = bounding_box(outline)
    x, y = box.centre_mm
    reach = (shorter_mm or min(box.width_mm, box.height_mm)) / 2.0
    pitch_x, pitch_y = mask.pitch_mm
    left, top = math.floor((x - reach) / pitch_x), math.floor((y - reach) / pitch_y)
    cols, rows = math.ceil(2.0 * reach / pitch_x) + 1, math.ceil(2.0 * reach / pitch_y) + 1
    across = (np.arange(cols) + left + 0.5) * pitch_x - x
    down = (np.arange(rows) + top + 0.5) * pitch_y - y
    away = np.hypot(across[None, :], down[:, None])
    disc = (away <= reach / 2.0).astype(np.float64)
    ring = ((away > reach / 2.0) & (away <= reach)).astype(np.float64)
    weights = disc / max(disc.sum(), 1.0) - ring / max(ring.sum(), 1.0)
    folded = fold_over(weights, mask.values.shape[0], mask.values.shape[1])
    return correlate(np.roll(folded, (top, left), axis=(0, 1)), mask.values)
