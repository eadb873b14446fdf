"""The tile rolled by half, so that its joins cross in the middle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patterns.seams import SeamCheck


def seam_picture(pixels: NDArray[np.uint8], _check: SeamCheck) -> NDArray[np.uint8]:
    """Return the tile rolled by half both ways."""
    return np.roll(pixels, (pixels.shape[0] // 2, pixels.shape[1] // 2), (0, 1))
