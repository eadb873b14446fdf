"""Is there anything in the mended band that this artwork has nowhere else?

In: tiles turned so that the join runs down the picture, (height, width, 3) sRGB uint8. Out: CIE76.
Each patch of nine by four pixels (nine along the join) in the band is looked for in the tile's own
interior; how far its worst line is from the most alike patch there is what a person would see as
strange. A texture is unlike itself everywhere: ``limit_de`` makes room for that, so that its mend
is not held to more than the texture keeps to. Large tiles are reduced by area first.

Patch novelty after Efros and Leung, "Texture synthesis by non-parametric sampling", ICCV 1999: what
has a like among the tile's own patches is plausible there. Not done here: choosing a remedy.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patterns.joins import lab32
from patterns.light import Pixels

Floats = NDArray[np.float64]
Array = NDArray[np.float32]

ALONG, LINES = 9, 4  # of a patch, along the join and across
EDGE_PX = 4  # columns at either edge that may be part of the fault
LONGEST_PX = 320
NEAREST = 12
ASKED = 800  # of the interior's own patches
USUAL = 99.0  # percentile of them
USUAL_STEP = 99.9  # percentile of the interior's own steps
SHOWS_DE = 6.0  # CIE76 over a short run that a person sees


class Interior:
    """What a tile contains away from its join."""

    def __init__(self, tile: Pixels) -> None:
        from scipy.spatial import cKDTree

        self.factor = max(1.0, max(tile.shape[:2]) / LONGEST_PX)
        lab = _reduced(tile, self.factor)
        edge = min(EDGE_PX, (lab.shape[1] - LINES) // 3)
        inside = _patches(lab[:, edge : lab.shape[1] - edge])
        self._columns = inside.shape[1]
        flat = inside.reshape(-1, ALONG * LINES * 3)
        self._centre = flat.mean(axis=0)
        some = flat[:: max(1, len(flat) // 4000)] - self._centre
        self._basis = np.linalg.svd(some, full_matrices=False)[2][:8].T
        down = (flat - self._centre) @ self._basis
        # flat ground is the same patch thousands of times, which slows the search and adds nothing
        rounded = np.round(down @ np.linspace(1.0, 2.0, down.shape[1]), 3)
        _, self._kept, back = np.unique(rounded, return_index=True, return_inverse=True)
        self._patches = flat[self._kept]
        self._tree = cKDTree(down[self._kept])
        asked = np.linspace(0, len(back) - 1, min(len(back), ASKED)).astype(np.intp)
        self.limit_de = max(SHOWS_DE, self._usual(back[asked], np.bincount(back)))
        inner = excess_de(lab32(tile)[:, edge : tile.shape[1] - edge])
        self.step_limit_de = max(SHOWS_DE, float(np.percentile(inner, USUAL_STEP)))

    def strange(self, tile: Pixels, band_px: int, drop_px: int = 0) -> Floats:
        """Return (rows, columns): how strange each patch around the join is, in CIE76.

        Args:
            tile: any tile of the same artwork, its join at its left and right edges.
            band_px: columns on either side of the join that were touched.
            drop_px: by how many pixels the right neighbour sits lower.
        """
        lab = _reduced(tile, self.factor)
        reach = min(int(band_px / self.factor + 0.999) + LINES, lab.shape[1] // 2)
        lowered = np.roll(lab[:, :reach], round(drop_px / self.factor), axis=0)
        found = _patches(np.concatenate([lab[:, -reach:], lowered], axis=1))
        wanted = found.reshape(-1, ALONG * LINES * 3)
        return self._away(wanted, None).reshape(found.shape[:2])

    def score(self, tile: Pixels, band_px: int, drop_px: int = 0) -> float:
        """Return how much shows in the band: up to 1 is what a person would not see."""
        step = float(join_excess_de(tile, drop_px).max()) / self.step_limit_de
        return max(step, float(self.strange(tile, band_px, drop_px).max()) / self.limit_de)

    def _away(self, wanted: Array, apart_from: NDArray[np.intp] | None) -> Floats:
        count = min(NEAREST if apart_from is None else 4 * NEAREST, len(self._kept))
        _, near = self._tree.query((wanted - self._centre) @ self._basis, k=[*range(1, count + 1)])
        out = np.empty(len(wanted))
        for start in range(0, len(wanted), 1000):
            part = slice(start, start + 1000)
            away = self._patches[near[part]] - wanted[part, None]
            grid = away.reshape(*away.shape[:2], ALONG, LINES, 3)
            lines = np.sqrt(np.square(grid).sum(axis=4)).mean(axis=2).max(axis=2)
            if apart_from is not None:
                lines = np.where(self._overlap(near[part], apart_from[part]), np.inf, lines)
            out[part] = lines.min(axis=1)
        return out

    def _overlap(self, near: NDArray[np.intp], own: NDArray[np.intp]) -> NDArray[np.bool_]:
        rows, columns = np.divmod(self._kept[near], self._columns)
        own_rows, own_columns = np.divmod(self._kept[own], self._columns)
        down = np.abs(rows - own_rows[:, None]) < ALONG
        return np.asarray(down & (np.abs(columns - own_columns[:, None]) < LINES))

    def _usual(self, asked: NDArray[np.intp], count: NDArray[np.intp]) -> float:
        away = self._away(self._patches[asked], asked)
        # a patch that is there more than once has its like
        away = np.where(count[asked] > 1, 0.0, away)
        away = away[np.isfinite(away)]
        return float(np.percentile(away, USUAL)) if away.size else 0.0


def excess_de(lab: Array) -> Floats:
    """Return (height, width - 3): by how much a step exceeds the steps beside it, over a run.

    Item x is the step between columns x + 1 and x + 2, the mean over ``ALONG`` rows around, CIE76.
    A texture, and a contour along the join, step beside it too; a cut steps there alone.
    """
    from scipy.ndimage import uniform_filter1d

    steps = np.sqrt(np.square(np.diff(lab, axis=1)).sum(axis=2))
    more = np.maximum(steps[:, 1:-1] - np.maximum(steps[:, :-2], steps[:, 2:]), 0.0)
    run = min(ALONG, len(more))
    return np.asarray(uniform_filter1d(more, run, axis=0, mode="wrap"), dtype=np.float64)


def join_excess_de(tile: Pixels, drop_px: int = 0) -> Floats:
    """Return ``excess_de`` of the join itself, (height,)."""
    ends = np.concatenate([tile[:, -2:], np.roll(tile[:, :2], drop_px, axis=0)], axis=1)
    return excess_de(lab32(ends))[:, 0]


def _reduced(tile: Pixels, factor: float) -> Array:
    from PIL import Image

    if factor <= 1.0:
        return lab32(tile)
    size = max(12, round(tile.shape[1] / factor)), max(8, round(tile.shape[0] / factor))
    small = Image.fromarray(np.ascontiguousarray(tile)).resize(size, Image.Resampling.BOX)
    return lab32(np.asarray(small))


def _patches(lab: Array) -> Array:
    """Return (rows, columns, pixels of a patch): every patch, rows going round."""
    around = np.concatenate([lab, lab[: ALONG - 1]])
    windows = np.lib.stride_tricks.sliding_window_view(around, (ALONG, LINES), axis=(0, 1))
    flat = windows.transpose(0, 1, 3, 4, 2)
    return np.ascontiguousarray(flat).reshape(*flat.shape[:2], -1)
