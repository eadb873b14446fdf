"""What is motif, what is ground, and how large should the motifs be on paper?

In: a tile, (height, width, 3) sRGB uint8. Out: a mask, 0 for ground to 1 for motif, and a repeat in
millimetres. The ground is the tile's most frequent colour (CIELAB in cells of 8), and a pixel is
motif as far as it differs from it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.lab import srgb_to_lab

_FROM_DE76, _TO_DE76 = 6.0, 14.0
_SHARE_OF_STICKER = 0.9  # a tile about as wide as a half box shows its motifs whole and several
_CRISP_DPI = 300.0


@dataclass(frozen=True, slots=True)
class AutoRepeat:
    """A physical repeat and the sizes that were considered, in millimetres."""

    repeat_mm: float
    considered: tuple[float, float, float]


def motif_mask(pixels: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Return how much of each pixel is motif, (height, width), 0 to 1."""
    lab = srgb_to_lab(pixels)
    cells = np.floor(lab.reshape(-1, 3) / 8.0).astype(np.int64) + 64
    keys = (cells[:, 0] * 256 + cells[:, 1]) * 256 + cells[:, 2]
    values, counts = np.unique(keys, return_counts=True)
    ground = lab.reshape(-1, 3)[keys == values[counts.argmax()]].mean(axis=0)
    apart = np.sqrt(((lab - ground) ** 2).sum(axis=-1))
    mask: NDArray[np.float64] = np.clip((apart - _FROM_DE76) / (_TO_DE76 - _FROM_DE76), 0.0, 1.0)
    return mask


def auto_repeat(
    pixels: NDArray[np.uint8], width_mm: float, height_mm: float, dpi: float
) -> AutoRepeat:
    """Return a repeat at which a sticker of this size shows the tile well and prints crisply."""
    largest = pixels.shape[1] * 25.4 / max(dpi, _CRISP_DPI)
    wanted = max(width_mm, height_mm) * _SHARE_OF_STICKER
    sizes = tuple(min(largest, wanted * share) for share in (0.7, 1.0, 1.4))
    return AutoRepeat(sizes[1], (sizes[0], sizes[1], sizes[2]))
