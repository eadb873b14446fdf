"""Would a person still see where this mended tile meets itself? Asked of the clean tile.

Mending never sees the clean tile; this does. Turned so that the join runs down the picture, a *run*
is nine pixels of one line along the join. In: tiles, (height, width, 3) sRGB uint8.

*Strict*: the worst run of the join, or of any line of the mended band, differs by a mean CIE76 of
more than 6 from its true continuation. For a fringe, a drift and a doubled line that is the same
run of the clean tile, and no other. A cut-off motif may go, or be made whole, and a crop may end
anywhere: there a run is true where, with the lines beside it (nine by four pixels), it is found
somewhere in the clean tile, every one of the four lines within 6 of that place's own.

*Texture-relative*: the same patches, by the mean of all four lines, count only where they are also
more unlike all the clean tile holds than 999 of 1,000 of its own patches are. It forgives noise
that no two places share, and in a crowded tile more than that: it stands beside the strict figure.
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
        """The worst of both, CIE76."""
        return max(self.join_de, self.band_de)


class Truth:
    """Clean tiles, any of which is true, to compare a mended one with."""

    def __init__(self, *clean: Pixels) -> None:
        self.lab = [srgb_to_lab(each) for each in clean]
        patches = np.concatenate([_patches(np.pad(each, _WRAP, "wrap")) for each in self.lab])
        self.centre = patches.mean(axis=0)
        some = (patches - self.centre)[:: max(1, len(patches) // 8000)]
        self.basis = np.linalg.svd(some, full_matrices=False)[2][:9].T
        down = (patches - self.centre) @ self.basis
        # the same patch many times over slows the search and adds nothing
        rounded = np.round(down @ np.linspace(1.0, 2.0, down.shape[1]), 3)
        _, self.place, self.back = np.unique(rounded, return_index=True, return_inverse=True)
        self.patches, self.tree = patches[self.place], cKDTree(down[self.place])
        self.usual_de = self._usual(clean[0].shape[:2])

    def strict(self, tile: Pixels, band: int, *, in_place: bool) -> Worst:
        """Return the worst run against its true continuation.

        Args:
            tile: the mended one.
            band: columns on either side of the join that were touched.
            in_place: whether only the same place of the clean tile is true, where sizes agree.
        """
        lab = srgb_to_lab(tile)
        if in_place and any(lab.shape == each.shape for each in self.lab):
            reach = min(band + SIDE, tile.shape[1] // 2)
            runs = self._in_place(lab).max(axis=0)
            return _worst(np.concatenate([runs[-reach:], runs[:reach]]), 1)
        return self._anywhere(lab, band)[0]

    def _in_place(self, lab: Floats) -> Floats:
        """Return (height, width): each run's mean CIE76 from the nearest of the clean tiles."""
        found = [np.full(lab.shape[:2], np.inf)]
        for each in self.lab:
            if each.shape == lab.shape:
                off = np.linalg.norm(lab - each, axis=2)
                # item y is the run that begins at row y
                run = uniform_filter1d(off, ALONG, axis=0, mode="wrap")
                found.append(np.roll(run, -(ALONG // 2), axis=0))
        return np.asarray(np.min(found, axis=0))

    def relative(self, tile: Pixels, band: int) -> Worst:
        """Return the worst patch's mean difference from its like, less what is usual over 6."""
        return self._anywhere(srgb_to_lab(tile), band)[1]

    def shows_relative(self, worst: float) -> bool:
        """Whether a mean difference is over 6 and over what is usual in the clean tile."""
        return worst > max(SHOWS_DE, self.usual_de)

    def _anywhere(self, lab: Floats, band: int) -> tuple[Worst, Worst]:
        reach = min(band + LINES, lab.shape[1] // 2)
        ends = np.concatenate([lab[:, -reach:], lab[:, :reach]], axis=1)
        ends = np.pad(ends, ((0, ALONG - 1), (0, 0), (0, 0)), "wrap")
        every = _patches(ends)
        mixed = np.round(every @ np.sin(np.arange(every.shape[1]) + 1.0), 3)
        _, first, back = np.unique(mixed, return_index=True, return_inverse=True)
        wanted = every[first]
        near = self._near(wanted, min(NEAREST, len(self.patches)))
        strict, mean = np.empty(len(wanted)), np.empty(len(wanted))
        for start in range(0, len(wanted), 2000):
            part = slice(start, start + 2000)
            lines = self._lines(wanted[part], near[part])
            strict[part] = lines.max(axis=2).min(axis=1)
            mean[part] = lines.mean(axis=2).min(axis=1)
        columns = 2 * reach - LINES + 1
        place = self._in_place(lab)
        place = np.concatenate([place[:, -reach:], place[:, :reach]], axis=1)
        four = np.lib.stride_tricks.sliding_window_view(place, LINES, axis=1).max(axis=2)
        strict = np.minimum(strict[back.ravel()], four.ravel())
        mean = mean[back.ravel()]
        found = [each.reshape(-1, columns).max(axis=0) for each in (strict, mean)]
        return _worst(found[0], SIDE), _worst(found[1], SIDE)

    def _near(self, wanted: NDArray[np.float32], count: int) -> NDArray[np.intp]:
        return np.asarray(
            self.tree.query((wanted - self.centre) @ self.basis, k=[*range(1, count + 1)])[1]
        )

    def _lines(self, wanted: NDArray[np.float32], near: NDArray[np.intp]) -> Floats:
        """Return (asked, places, lines): mean CIE76 of each line."""
        away = self.patches[near] - wanted[:, None]
        shape = (*away.shape[:2], ALONG, LINES, 3)
        return np.asarray(np.linalg.norm(away.reshape(shape), axis=4).mean(axis=2))

    def _usual(self, shape: tuple[int, int]) -> float:
        """Return how far 999 of 1,000 patches are at most from all that do not overlap them."""
        asked = np.arange(0, shape[0] * shape[1], max(1, shape[0] * shape[1] // 2000))
        wanted, first = self.patches[self.back[asked]], asked
        found = self._near(wanted, min(48, len(self.patches)))
        near = self.place[found]
        asked = self.place[self.back[asked]]
        apart = np.zeros(near.shape, dtype=bool)
        for axis, reach in ((0, ALONG), (1, LINES)):
            place = np.divmod(near % (shape[0] * shape[1]), shape[1])[axis]
            away = np.abs(place - np.divmod(asked, shape[1])[axis][:, None])
            apart |= np.minimum(away, shape[axis] - away) >= reach
        off = np.where(apart, self._lines(wanted, found).mean(axis=2), np.inf)
        # a patch that is there more than once has its like
        often = np.bincount(self.back[: shape[0] * shape[1]])[self.back[first]] > 1
        least = np.where(often, 0.0, off.min(axis=1))
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
