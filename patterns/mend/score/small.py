"""What does a tile look like made small, however large it is?

In: a tile, (height, width, 3) sRGB uint8. Out: a copy of any smaller size, by the mean of the area
that each of its pixels covers, made some rows at a time so that a tile of 12,000 pixels a side
needs no more memory than a small one. Not done here: colour that is right for print (means of sRGB
numbers serve to compare a tile with itself alone).
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Pixels

PIECE_PX = 1_000_000


def reduced(tile: Pixels, size: tuple[int, int], down_px: int = 0) -> Pixels:
    """Return the tile at a size.

    Args:
        tile: (height, width, 3) sRGB uint8.
        size: (columns, rows) of the copy.
        down_px: by how many pixels the tile is rolled down before.
    """
    from PIL import Image

    height, width = tile.shape[:2]
    columns, rows = size
    scale = height / rows
    many = max(1, int(PIECE_PX / (scale * width)))
    out = np.empty((rows, columns, 3), np.uint8)
    for start in range(0, rows, many):
        stop = min(rows, start + many)
        top, bottom = start * scale, min(height, stop * scale)
        first, last = int(top), min(height, int(np.ceil(bottom)))
        piece = tile[(np.arange(first, last) - down_px) % height]
        box = (0.0, top - first, float(width), min(bottom - first, float(last - first)))
        image = Image.fromarray(piece)
        small = image.resize((columns, stop - start), Image.Resampling.BOX, box=box)
        out[start:stop] = np.asarray(small)
    return out
