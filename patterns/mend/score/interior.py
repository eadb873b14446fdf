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

from functools import cached_property

import numpy as np

from palette.arrays import Floats, Floats32, Pixels
from patterns.lab32 import de76, lab32
from patterns.mend.score.patch_index import ALONG, LINES, SHOWS_DE, PatchIndex
from patterns.plane import reduce_in_bands

EDGE_PX = 4  # columns at either edge that may be part of the fault
LONGEST_PX = 320  # of a tile whose patches are compared in full size
REDUCED_PX = 200
SHOWN = 1.1  # a score up to which a person sees nothing: the artwork's own, and what chance adds
PLAIN = 1.5  # an edge so strong shows, whatever the patches say
PIECE_PX, MOST_PIECES, LEAST_STRIP_PX = 1_200_000, 10, 48
BAND_PX, OVERLAP_PX = 3_000_000, 32  # of a band that are looked at at once
RUNS = (9, 27, 1_000_000)  # the last one is the whole join


class Interior:
    """What a tile contains away from its join."""

    def __init__(self, tile: Pixels) -> None:
        height, width = tile.shape[:2]
        side = float(np.sqrt(height * width))
        self.factor = 1.0 if side <= LONGEST_PX else side / REDUCED_PX
        edge = min(EDGE_PX, (width - LINES) // 3)
        self._tile, self._edge = tile, edge
        self._most = _measure_inside(tile[:, edge : width - edge])
        self.step_limit_de = max(SHOWS_DE, float(self._most[0, 0]), float(self._most[2, 0]))

    @cached_property
    def _patch_index(self) -> PatchIndex:
        """The tile's own patches: many remedies are turned down before they are asked for."""
        # what was let in does not lie on the same grid of the small copy
        shifts = (0, round(self.factor / 2)) if self.factor > 1.0 else (0,)
        every = []
        for across in shifts:
            inside = self._tile[:, self._edge + across : self._tile.shape[1] - self._edge]
            every += [_patches(self._small(inside, down)) for down in shifts]
        return PatchIndex(every)

    def _small(self, tile: Pixels, down_px: int) -> Floats32:
        """Return a tile as CIELAB on the scale on which patches are compared."""
        if self.factor <= 1.0:
            return lab32(tile)
        rows, columns = (max(4, round(side / self.factor)) for side in tile.shape[:2])
        return lab32(reduce_in_bands(tile, rows, columns, down_px))

    @property
    def limit_de(self) -> float:
        """How strange to each other the tile's own patches are, in CIE76; at least what shows."""
        return self._patch_index.limit_de

    def strange(self, tile: Pixels, band_px: int, drop_px: int = 0) -> Floats:
        """Return (rows, columns): how strange each patch around the join is, in CIE76.

        Args:
            tile: any tile of the same artwork, its join at its left and right edges.
            band_px: columns on either side of the join that were touched.
            drop_px: by how many pixels the right neighbour sits lower.
        """
        full = max(4, round(len(tile) / self.factor)), max(2, round(tile.shape[1] / self.factor))
        reach = min(int(band_px / self.factor + 0.999) + LINES, full[1] // 2)
        wide = min(round(reach * tile.shape[1] / full[1]), tile.shape[1] // 2)
        ends = _ends(tile, wide, drop_px)
        if self.factor > 1.0:
            ends = reduce_in_bands(ends, full[0], 2 * reach)
        patches = _patches(lab32(ends))
        flat = patches.reshape(-1, ALONG * LINES * 3)
        digests = np.round(flat @ np.sin(np.arange(flat.shape[1]) + 1.0), 2)
        _, first, back = np.unique(digests, return_index=True, return_inverse=True)
        return self._patch_index.distances_de(flat[first])[back].reshape(patches.shape[:2])

    def score(
        self,
        tile: Pixels,
        band_px: int,
        drop_px: int = 0,
        *,
        patches: bool = True,
    ) -> float:
        """Return how much shows in the band: up to 1 is what the artwork shows as well.

        Args:
            tile: any tile of the same artwork, its join at its left and right edges.
            band_px: columns on either side of the join that were touched.
            drop_px: by how many pixels the right neighbour sits lower.
            patches: whether to look for strange patches too, not for edges and lines alone.
        """
        shown = _measure_band(_ends(tile, min(band_px + LINES, tile.shape[1] // 2), drop_px))
        ratio = shown / np.maximum(SHOWS_DE, self._most)
        if ratio.max() > PLAIN or not patches:
            return float(ratio.max())
        strange = float(self.strange(tile, band_px, drop_px).max())
        return max(float(ratio.max()), strange / self.limit_de)


def _ends(tile: Pixels, wide: int, drop_px: int) -> Pixels:
    """Return the last columns of a tile and the first of its right neighbour, side by side."""
    wide = max(1, wide)  # a tile of one pixel has no half
    return np.concatenate([tile[:, -wide:], np.roll(tile[:, :wide], drop_px, axis=0)], axis=1)


def excess_de(lab: Floats32) -> Floats:
    """Return (height, width - 3): by how much a step exceeds the steps beside it, over a run.

    Item x is the step between columns x + 1 and x + 2, the mean over ``ALONG`` rows around, CIE76.
    A texture, and a contour along the join, step beside it too; a cut steps there alone.
    """
    from scipy.ndimage import uniform_filter1d

    steps = de76(lab[:, 1:], lab[:, :-1])
    more = np.maximum(steps[:, 1:-1] - np.maximum(steps[:, :-2], steps[:, 2:]), 0.0)
    run = min(ALONG, len(more))
    return np.asarray(uniform_filter1d(more, run, axis=0, mode="wrap"), dtype=np.float64)


def join_excess_de(tile: Pixels) -> Floats:
    """Return ``excess_de`` of the join itself, (height,)."""
    return excess_de(lab32(_ends(tile, 2, 0)))[:, 0]


def _measure_band(band: Pixels) -> Floats:
    """Return (evidence, runs): the most that a band does, CIE76; a wide one in strips.

    Evidence is edges and lines along the join, then edges and lines across it.

    Strips overlap by the longest run that is looked for across them, so that none is missed.
    """
    height, width = band.shape[:2]
    wide = max(2 * OVERLAP_PX, BAND_PX // height)
    strips = []
    for start in range(0, max(1, width - OVERLAP_PX), wide):
        lab = lab32(band[:, start : start + wide + OVERLAP_PX])
        strips.append([*_greatest(lab, turn=False), *_greatest(lab, turn=True)])
    return np.asarray(np.max(np.array(strips), axis=0))


def _measure_inside(inside: Pixels) -> Floats:
    """Return (evidence, runs): the most that the interior does anywhere, CIE76.

    In strips of some columns, so that no more than one is held as CIELAB; of a very large tile in
    strips that are spread evenly over it.
    """
    height, width = inside.shape[:2]
    wide = max(LEAST_STRIP_PX, PIECE_PX // height)
    starts = np.arange(0, max(1, width - 3), wide)
    if len(starts) > MOST_PIECES:
        starts = starts[np.linspace(0, len(starts) - 1, MOST_PIECES).astype(int)]
    each = []
    for start in starts:
        lab = lab32(inside[:, start : start + wide + 3])
        each.append([*_greatest(lab, turn=False), *_greatest(lab, turn=True)])
    return np.asarray(np.max(np.array(each), axis=0))


def _greatest(lab: Floats32, *, turn: bool) -> tuple[Floats, Floats]:
    """Return (runs,) of edges and of lines: the most they show over runs along them, CIE76.

    ``turn``: those across the join instead of along it; they must fit into what is looked at.
    """
    values = lab.transpose(1, 0, 2) if turn else lab
    steps = de76(values[:, 1:], values[:, :-1])
    edge = steps[:, 1:-1] - np.maximum(steps[:, :-2], steps[:, 2:])
    line = np.minimum(steps[:, :-1], steps[:, 1:]) - de76(values[:, 2:], values[:, :-2])
    return _longest(np.maximum(edge, 0.0), turn=turn), _longest(np.maximum(line, 0.0), turn=turn)


def _longest(strength: Floats32, *, turn: bool) -> Floats:
    """Return (runs,): the greatest mean over runs down the columns; all of a column, if longer."""
    from scipy.ndimage import uniform_filter1d

    if not strength.size:
        return np.zeros(len(RUNS))
    out = []
    for run in RUNS:
        if run <= len(strength):
            mode = "constant" if turn else "wrap"
            out.append(float(uniform_filter1d(strength, run, axis=0, mode=mode).max()))
        else:
            out.append(0.0 if turn else float(strength.mean(axis=0).max()))
    return np.array(out)


def _patches(lab: Floats32) -> Floats32:
    """Return (rows, columns, pixels of a patch): every patch, rows going round."""
    # a tile of a few pixels goes round more than once
    rows = np.arange(len(lab) + ALONG - 1) % len(lab)
    around = lab[rows][:, np.arange(max(LINES, lab.shape[1])) % lab.shape[1]]
    windows = np.lib.stride_tricks.sliding_window_view(around, (ALONG, LINES), axis=(0, 1))
    flat = windows.transpose(0, 1, 3, 4, 2)
    return np.ascontiguousarray(flat).reshape(*flat.shape[:2], -1)
