"""Would a person still see where this mended tile meets itself? Asked of the clean tile.

Mending never sees the clean tile; this does. Turned so that the join runs down the picture, a *run*
is nine pixels of one line along the join. In: tiles, (height, width, 3) sRGB uint8.

*Strict*: the worst run of the join, or of any line of the mended band, differs by a mean CIE76 of
more than 6 from its true continuation. Where the mended tile has the clean tile's size that is the
same run of the clean tile (or of the clean tile with a cut-off motif made whole: either is true).
Where the size has changed the place is not known: the run, with the lines beside it (nine by four
pixels), is looked for in the whole of the clean tile, and every one of the four lines must be
within 6 of that place's own.

*Texture-relative*: the same patches, by the mean of all four lines, count only where they are also
more unlike all the clean tile holds than 999 of 1,000 of its own patches are. It forgives noise that
no two places share, and in a crowded tile more than that: it is given beside the strict figure.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import uniform_filter1d
from scipy.spatial import cKDTree

from palette.lab import srgb_to_lab

SHOWS_DE = 6.0
ALONG, SIDE = 9, 2
LINES = 2 * SIDE
NEAREST = 24
Pixels = NDArray[np.uint8]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Worst:
    """The worst run: at the join (the two lines on either side), and in the rest of the band."""

    join_de: float
    band_de: float

    @property
    def de(self) -> float:
        return max(self.join_de, self.band_de)


class Truth:
    """Clean tiles, any of which is true, to compare a mended one with."""

    def __init__(self, *clean: Pixels) -> None:
        self.lab = [srgb_to_lab(each) for each in clean]
        patches = np.concatenate([_patches(np.pad(each, _WRAP, "wrap")) for each in self.lab])
        self.patches = patches
        self.centre = patches.mean(axis=0)
        some = (patches - self.centre)[:: max(1, len(patches) // 8000)]
        self.basis = np.linalg.svd(some, full_matrices=False)[2][:9].T
        self.tree = cKDTree((patches - self.centre) @ self.basis)
        self.usual_de = self._usual(clean[0].shape[:2])

    def strict(self, tile: Pixels, band: int) -> Worst:
        """Return the worst run against its true continuation; ``band`` columns on either side."""
        lab = srgb_to_lab(tile)
        if any(lab.shape == each.shape for each in self.lab):
            off = np.min(
                [
                    uniform_filter1d(
                        np.linalg.norm(lab - each, axis=2), ALONG, axis=0, mode="wrap"
                    ).max(axis=0)
                    for each in self.lab
                    if each.shape == lab.shape
                ],
                axis=0,
            )
            reach = min(band + SIDE, tile.shape[1] // 2)
            ends = np.concatenate([off[-reach:], off[:reach]])
            return _worst(ends, 1)
        return self._anywhere(lab, band)[0]

    def relative(self, tile: Pixels, band: int) -> Worst:
        """Return the worst patch's mean difference from its like, less what is usual over 6."""
        return self._anywhere(srgb_to_lab(tile), band)[1]

    def shows_relative(self, worst: float) -> bool:
        return worst > max(SHOWS_DE, self.usual_de)

    def _anywhere(self, lab: Floats, band: int) -> tuple[Worst, Worst]:
        reach = min(band + LINES, lab.shape[1] // 2)
        ends = np.concatenate([lab[:, -reach:], lab[:, :reach]], axis=1)
        ends = np.pad(ends, ((0, ALONG - 1), (0, 0), (0, 0)), "wrap")
        wanted = _patches(ends)
        near = self._near(wanted, NEAREST)
        strict, mean = np.empty(len(wanted)), np.empty(len(wanted))
        for start in range(0, len(wanted), 2000):
            part = slice(start, start + 2000)
            lines = self._lines(wanted[part], near[part])
            strict[part] = lines.max(axis=2).min(axis=1)
            mean[part] = lines.mean(axis=2).min(axis=1)
        columns = 2 * reach - LINES + 1
        found = [each.reshape(-1, columns).max(axis=0) for each in (strict, mean)]
        return _worst(found[0], SIDE), _worst(found[1], SIDE)

    def _near(self, wanted: NDArray[np.float32], count: int) -> NDArray[np.intp]:
        return np.asarray(self.tree.query((wanted - self.centre) @ self.basis, k=count)[1])

    def _lines(self, wanted: NDArray[np.float32], near: NDArray[np.intp]) -> Floats:
        """Return (asked, places, lines): mean CIE76 of each line."""
        away = self.patches[near] - wanted[:, None]
        shape = (*away.shape[:2], ALONG, LINES, 3)
        return np.asarray(np.linalg.norm(away.reshape(shape), axis=4).mean(axis=2))

    def _usual(self, shape: tuple[int, int]) -> float:
        """Return how far 999 of 1,000 patches are at most from all that do not overlap them."""
        asked = np.arange(0, shape[0] * shape[1], max(1, shape[0] * shape[1] // 3000))
        near = self._near(self.patches[asked], 48)
        apart = np.zeros(near.shape, dtype=bool)
        for axis, reach in ((0, ALONG), (1, LINES)):
            place = np.divmod(near % (shape[0] * shape[1]), shape[1])[axis]
            away = np.abs(place - np.divmod(asked, shape[1])[axis][:, None])
            apart |= np.minimum(away, shape[axis] - away) >= reach
        off = np.where(apart, self._lines(self.patches[asked], near).mean(axis=2), np.inf)
        least = off.min(axis=1)
        return float(np.percentile(least[np.isfinite(least)], 99.9)) if least.size else 0.0


_WRAP = ((0, ALONG - 1), (0, LINES - 1), (0, 0))


def _patches(lab: Floats) -> NDArray[np.float32]:
    windows = np.lib.stride_tricks.sliding_window_view(
        lab.astype(np.float32), (ALONG, LINES), axis=(0, 1)
    )
    flat = windows.transpose(0, 1, 3, 4, 2)
    return np.ascontiguousarray(flat).reshape(-1, ALONG * LINES * 3)


def _worst(by_column: Floats, near: int) -> Worst:
    """Split by place: the middle of the band is the join."""
    middle = len(by_column) / 2.0
    at = np.abs(np.arange(len(by_column)) + 0.5 - middle) <= near
    rest = by_column[~at]
    return Worst(float(by_column[at].max()), float(rest.max()) if rest.size else 0.0)


def tone_step(tile: Pixels, clean: Pixels) -> float:
    """Return the median step in CIELAB across the join, over the clean tile's own."""

    def step(of: Pixels) -> Floats:
        jump = srgb_to_lab(of[:, :3]).mean(axis=1) - srgb_to_lab(of[:, -3:]).mean(axis=1)
        return np.asarray(np.median(jump, axis=0))

    return float(np.linalg.norm(step(tile) - step(clean)))
