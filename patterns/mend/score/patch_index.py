"""Which patches does this artwork have, and how far is another from all of them?

In: CIELAB patches of nine by four pixels, in one or more grids. Out: for any other patch the mean
CIE76 to the most alike of them, and how far they are from each other. Compared in full among the
nearest in eight principal components. Not done here: what to make of it
(``patterns.mend.score.interior``).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.arrays import Floats, Floats32, Indices, Mask
from patterns.lab32 import de76

ALONG, LINES = 9, 4  # of a patch, along the join and across
NEAREST = 12
ALIKE = 0.5  # of how far the tile's own patches are at most: alike, beyond doubt
SAMPLED = 1500  # of the interior's own patches
USUAL = 99.5  # percentile of them
SHOWS_DE = 6.0  # CIE76 over a short run that a person sees


class PatchIndex:
    """The patches of a tile's interior.

    Attributes:
        limit_de: how far its own patches are at most from all others, CIE76; at least what shows.
    """

    def __init__(self, every: Sequence[Floats32]) -> None:
        from scipy.spatial import cKDTree

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
        _, self._first, back = np.unique(rounded, return_index=True, return_inverse=True)
        self._patches = flat[self._first]
        self._tree = cKDTree(down[self._first])
        sampled = np.linspace(0, len(back) - 1, min(len(back), SAMPLED)).astype(np.intp)
        self.limit_de = max(SHOWS_DE, self._usual(back[sampled], np.bincount(back)))

    def distances_de(self, patches: Floats32, own: Indices | None = None) -> Floats:
        """Return (patches,): the mean CIE76 of each patch to the most alike of those known.

        Where that is small, it is that of one alike.

        Args:
            patches: (patches, pixels of a patch) CIELAB.
            own: for each the known patch that it is itself, which counts as none.
        """
        queries = (patches - self._centre) @ self._basis
        if own is not None:
            return self._among(patches, self._near(queries, 4 * NEAREST), own)
        out = self._among(patches, self._near(queries, 1))
        # most have a match at once, and then the nearest of all does not matter
        rare = np.flatnonzero(out > ALIKE * self.limit_de)
        out[rare] = self._among(patches[rare], self._near(queries[rare], NEAREST))
        return out

    def _near(self, queries: Floats, count: int) -> Indices:
        ranks = [*range(1, min(count, len(self._first)) + 1)]
        return np.asarray(self._tree.query(queries, k=ranks)[1])

    def _among(self, patches: Floats32, near: Indices, own: Indices | None = None) -> Floats:
        """Return (patches,): the mean CIE76 of each patch to the most alike of its near ones."""
        out = np.empty(len(patches))
        for start in range(0, len(patches), 1000):
            part = slice(start, start + 1000)
            shape = *near[part].shape, ALONG * LINES, 3
            known, queries = self._patches[near[part]], patches[part, None]
            lines = de76(known.reshape(shape), queries.reshape(len(queries), 1, -1, 3)).mean(axis=2)
            if own is not None:
                lines = np.where(self._overlap(near[part], own[part]), np.inf, lines)
            out[part] = lines.min(axis=1)
        return out

    def _overlap(self, near: Indices, own: Indices) -> Mask:
        rows, columns = np.divmod(self._first[near] % self._places, self._columns)
        own_rows, own_columns = np.divmod(self._first[own] % self._places, self._columns)
        down = np.abs(rows - own_rows[:, None]) < ALONG
        return np.asarray(down & (np.abs(columns - own_columns[:, None]) < LINES))

    def _usual(self, queries: Indices, count: Indices) -> float:
        distances = self.distances_de(self._patches[queries], queries)
        # a patch that occurs more than once has a match
        distances = np.where(count[queries] > 1, 0.0, distances)
        distances = distances[np.isfinite(distances)]
        return float(np.percentile(distances, USUAL)) if distances.size else 0.0
