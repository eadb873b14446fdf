"""Would a window into the pattern show hardly anything but its ground?

In: a motif mask as a ``Field``, a sticker's outline and its panels. Out: for every offset, how far
the motifs that the window shows fall short of ``LEAST_SHARE`` of what the tile shows on average:
0 where it shows enough, 1 where it shows none. Reckoned for all offsets at once by Fourier
correlation. The cleanest cut of all is one through bare ground; a maker takes it for a misprint.

The limit is our own: common practice, no published source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from kit.fills.field import Field, correlate, fold_over
from kit.shapes import Contour, bounding_box, flatten_contour, polygon_coverage
from palette.arrays import Floats

LEAST_SHARE = 0.35


def bareness(mask: Field, outline: Contour, panels: Sequence[Contour] = ()) -> Floats:
    """Return how bare the visible part of the sticker is at every offset, (rows, cols), 0 to 1.

    All 0 for a tile without motifs, and for a sticker that its panels cover.
    """
    pitch_x, pitch_y = mask.pitch_mm
    box = bounding_box(outline)
    col, row = math.floor(box.x_mm / pitch_x), math.floor(box.y_mm / pitch_y)
    cols = math.ceil(box.right_mm / pitch_x) - col
    rows = math.ceil(box.bottom_mm / pitch_y) - row

    def cover(contour: Contour) -> Floats:
        points = np.array(flatten_contour(contour, 0.01)) / (pitch_x, pitch_y) - (col, row)
        return polygon_coverage([points], rows, cols)

    visible = cover(outline)
    for panel in panels:
        visible = np.maximum(visible - cover(panel), 0.0)
    mean = float(mask.values.mean())
    if mean <= 1e-9 or visible.sum() <= 1e-9:
        return np.zeros(mask.values.shape[:2])
    folded = fold_over(visible, mask.values.shape[0], mask.values.shape[1])
    shown = correlate(np.roll(folded, (row, col), axis=(0, 1)) / visible.sum(), mask.values) / mean
    bare: Floats = np.clip(1.0 - shown / LEAST_SHARE, 0.0, 1.0)
    return bare
