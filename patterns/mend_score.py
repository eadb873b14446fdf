"""Is there anything in the mended band that this artwork has nowhere else?

In: tiles turned so that the join runs down the picture, (height, width, 3) sRGB uint8. Out: ratios;
up to 1 nothing shows that the tile's own interior does not show as well. Three kinds of evidence:

* an edge along the join or across it, that is a step in colour which the steps beside it lack;
* a line, that is a pixel unlike both its neighbours, which are alike;
* a patch of nine by four pixels unlike every patch of the interior.

Edges and lines are means over runs of 9 and 27 pixels and over the whole join (in crowded artwork a
short straight edge is common, a long one is not), against the interior's greatest; patches against
how far the interior's own are from each other. Patches are compared on a copy reduced by area.

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
LONGEST_PX = 320  # of a tile whose patches are compared in full size
REDUCED_PX = 200
PLAIN = 1.5  # an edge so strong shows, whatever the patches say
PIECE_PX = 2400
NEAREST = 12
ASKED = 1500  # of the interior's own patches
USUAL = 99.5  # percentile of them
RUNS = (9, 27, 1_000_000)  # the last one is the whole join
SHOWS_DE = 6.0  # CIE76 over a short run that a person sees


class Interior:
    """What a tile contains away from its join."""

    def __init__(self, tile: Pixels) -> None:
        from scipy.spatial import cKDTree

        most = max(tile.shape[:2])
        self.factor = 1.0 if most <= LONGEST_PX else most / REDUCED_PX
        edge = min(EDGE_PX, (tile.shape[1] - LINES) // 3)
        # what was let in does not lie on the same grid of the small copy
        shifts = (0, round(self.factor / 2)) if self.factor > 1.0 else (0,)
        every = []
        for down in shifts:
            for across in shifts:
                inside = np.roll(tile, down, axis=0)[:, edge + across : tile.shape[1] - edge]
                every.append(_patches(_reduced(inside, self.factor)))
        self._columns = min(each.shape[1] for each in every)
        each_patch = [each[:, : self._columns].reshape(-1, ALONG * LINES * 3) for each in every]
        self._places = len(each_patch[0])
        flat = np.concatenate(each_patch)
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
        self._most = _most(tile[:, edge : tile.shape[1] - edge])
        self.step_limit_de = max(SHOWS_DE, float(self._most[0, 0]), float(self._most[1, 0]))

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
        mixed = np.round(wanted @ np.sin(np.arange(wanted.shape[1]) + 1.0), 2)
        _, first, back = np.unique(mixed, return_index=True, return_inverse=True)
        return self._away(wanted[first], None)[back].reshape(found.shape[:2])

    def score(self, tile: Pixels, band_px: int, drop_px: int = 0, *, patches: bool = True) -> float:
        """Return how much shows in the band: up to 1 is what the artwork shows as well.

        Args:
            tile: any tile of the same artwork, its join at its left and right edges.
            band_px: columns on either side of the join that were touched.
            drop_px: by how many pixels the right neighbour sits lower.
            patches: whether to look for strange patches too, not for edges and lines alone.
        """
        reach = min(band_px + LINES, tile.shape[1] // 2)
        lowered = np.roll(tile[:, :reach], drop_px, axis=0)
        lab = lab32(np.concatenate([tile[:, -reach:], lowered], axis=1))
        shown = np.stack([_greatest(lab, what, turn) for what, turn in EVIDENCE])
        ratio = shown / np.maximum(SHOWS_DE, self._most)
        if ratio.max() > PLAIN or not patches:
            return float(ratio.max())
        strange = float(self.strange(tile, band_px, drop_px).max())
        return max(float(ratio.max()), strange / self.limit_de)

    def _away(self, wanted: Array, apart_from: NDArray[np.intp] | None) -> Floats:
        count = min(NEAREST if apart_from is None else 4 * NEAREST, len(self._kept))
        _, near = self._tree.query((wanted - self._centre) @ self._basis, k=[*range(1, count + 1)])
        out = np.empty(len(wanted))
        for start in range(0, len(wanted), 1000):
            part = slice(start, start + 1000)
            away = self._patches[near[part]] - wanted[part, None]
            grid = away.reshape(*away.shape[:2], ALONG, LINES, 3)
            lines = np.sqrt(np.square(grid).sum(axis=4)).mean(axis=(2, 3))
            if apart_from is not None:
                lines = np.where(self._overlap(near[part], apart_from[part]), np.inf, lines)
            out[part] = lines.min(axis=1)
        return out

    def _overlap(self, near: NDArray[np.intp], own: NDArray[np.intp]) -> NDArray[np.bool_]:
        rows, columns = np.divmod(self._kept[near] % self._places, self._columns)
        own_rows, own_columns = np.divmod(self._kept[own] % self._places, self._columns)
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


EVIDENCE = (("edge", False), ("edge", True), ("line", False), ("line", True))


def _most(inside: Pixels) -> Floats:
    """Return (evidence, runs): the most that the interior does anywhere, CIE76."""
    pieces = [inside]
    if inside.shape[0] * inside.shape[1] > PIECE_PX**2:  # a bound on memory: some rows of many
        starts = np.linspace(0, max(0, len(inside) - PIECE_PX // 4), 8).astype(int)
        pieces = [inside[start : start + PIECE_PX // 4] for start in starts]
    each = [[_greatest(lab32(p), what, turn) for what, turn in EVIDENCE] for p in pieces]
    return np.asarray(np.max(np.array(each), axis=0))


def _greatest(lab: Array, what: str, turn: bool) -> Floats:
    """Return (runs,): the most an edge or line shows over runs along it, CIE76.

    ``turn``: lines across the join instead of along it; those must fit into what is looked at.
    """
    from scipy.ndimage import uniform_filter1d

    values = lab.transpose(1, 0, 2) if turn else lab
    steps = np.sqrt(np.square(np.diff(values, axis=1)).sum(axis=2))
    if what == "edge":
        strength = steps[:, 1:-1] - np.maximum(steps[:, :-2], steps[:, 2:])
    else:
        over = np.sqrt(np.square(values[:, 2:] - values[:, :-2]).sum(axis=2))
        strength = np.minimum(steps[:, :-1], steps[:, 1:]) - over
    strength = np.maximum(strength, 0.0)
    if not strength.size:
        return np.zeros(len(RUNS))
    out = []
    for run in RUNS:
        if turn and run > len(strength):
            out.append(0.0)
            continue
        mode = "constant" if turn else "wrap"
        mean = uniform_filter1d(strength, min(run, len(strength)), axis=0, mode=mode)
        out.append(float(mean.max()))
    return np.array(out)


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
