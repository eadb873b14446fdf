"""Would a person still see where this mended tile meets itself? Asked of the clean tile.

Mending never sees the clean tile; this does. Tiles are turned so that the join runs down the
picture, (height, width, 3) sRGB uint8; the figures are ratios, and over 1 a person sees the join.

A fault is visible where the worst nine-pixel run of the join differs by a mean CIE76 of more than 6
from its true continuation. But a plausible continuation, if not the true one, is not a fault: a cut
motif may go or be made whole, a texture never repeats its own pixels. So a place of the join, and
of every line of the mended band, counts only where it is not true (the same run of the clean tile
within 6) and is, by more than 6 and by ``MARGIN`` times more than *any* place of the clean tile,

* an edge along the join or across it: a step that the steps beside it lack;
* a line along the join or across it: a pixel unlike both its neighbours, which are alike;
* strange: a patch of nine by four pixels unlike every patch of the clean tile; what is usual is how
  far its own patches are from all others (99.9th percentile; a join has some hundreds).

Edges and lines are means over runs of nine and 27 pixels and over the whole join: in crowded
artwork a short straight edge is common and a long one is not. The margin is what strips of the
clean tile let in by image quilting exceed it by: a plausible texture is a new draw from it. What
the artwork itself does anywhere is no evidence, so a fault that was left as it was is asked for
apart (``remains``): where it was visible and the join is still the same, it still shows.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import uniform_filter1d
from scipy.spatial import cKDTree

from palette.arrays import Floats, Floats32, Indices, Mask, Pixels
from palette.space import srgb_to_lab

SHOWS_DE = 6.0
SHOWS_TONE_DE = 2.5  # a step in tone along the whole join: a person sees a drift that long
SAME_DE = 2.0  # up to which a place was left as it was
MARGIN = 1.25
ALONG, LINES = 9, 4
SIDE = LINES // 2
RUNS = (9, 27, 100_000)
NEAREST = 24


@dataclass(frozen=True, slots=True)
class Seen:
    """How much shows at the join (two lines on either side), and in the rest of the band.

    Attributes:
        join, band: ratios; over 1 a person sees it.
        why: the strongest evidence: "edge", "line" or "strange".
    """

    join: float
    band: float
    why: str = ""

    @property
    def worst(self) -> float:
        """The greater of both."""
        return max(self.join, self.band)


class Truth:
    """Clean tiles, any of which is true, to judge a mended one by."""

    def __init__(self, *clean: Pixels) -> None:
        self.lab = [srgb_to_lab(each) for each in clean]
        self.most = {
            (what, turn): np.max([_most(each, what, turn) for each in self.lab], axis=0)
            for what in ("edge", "line")
            for turn in (False, True)
        }
        patches = np.concatenate([_patches(np.pad(each, _WRAP, "wrap")) for each in self.lab])
        self.centre = patches.mean(axis=0)
        some = (patches - self.centre)[:: max(1, len(patches) // 8000)]
        self.basis = np.linalg.svd(some, full_matrices=False)[2][:9].T
        down = (patches - self.centre) @ self.basis
        # the same patch many times over slows the search and adds nothing
        rounded = np.round(down @ np.linspace(1.0, 2.0, down.shape[1]), 3)
        _, self.place, self.back = np.unique(rounded, return_index=True, return_inverse=True)
        self.patches, self.tree = patches[self.place], cKDTree(down[self.place])
        self.strange_de = max(SHOWS_DE, MARGIN * self._usual(clean[0].shape[:2]))

    def seen(self, tile: Pixels, band: int) -> Seen:
        """Return how much shows.

        Args:
            tile: any tile of the same artwork, its join at its left and right edges.
            band: columns on either side of the join that were touched.
        """
        lab = srgb_to_lab(tile)
        reach = min(band + LINES, lab.shape[1] // 2)
        ends = np.concatenate([lab[:, -reach:], lab[:, :reach]], axis=1)
        true = self._true_in_place(lab)
        true = np.concatenate([true[:, -reach:], true[:, :reach]], axis=1)
        by_why = {
            "edge": self._steps(ends, true, "edge"),
            "line": self._steps(ends, true, "line"),
            "strange": self._strange(ends, true) / self.strange_de,
        }
        middle = reach - 0.5
        found = {}
        for why, columns in by_why.items():
            near = np.abs(np.arange(len(columns)) + (2 * reach - len(columns)) / 2 - middle) <= SIDE
            rest = columns[~near]
            found[why] = columns[near].max(), rest.max() if rest.size else 0.0
        why = max(found, key=lambda each: max(found[each]))
        join, band_most = (round(max(float(p[i]) for p in found.values()), 6) for i in (0, 1))
        return Seen(join, band_most, why if max(join, band_most) > 1.0 else "")

    def _true_in_place(self, lab: Floats) -> Mask:
        """Return (height, width): whether the run around each pixel is that of a clean tile."""
        true = np.zeros(lab.shape[:2], dtype=bool)
        for each in self.lab:
            if each.shape == lab.shape:
                off = np.linalg.norm(lab - each, axis=2)
                true |= uniform_filter1d(off, ALONG, axis=0, mode="wrap") <= SHOWS_DE
        return true

    def _steps(self, ends: Floats, true: Mask, what: str) -> Floats:
        """Return (columns,): the most by which an edge or line exceeds all of the clean tile."""
        columns = np.zeros(ends.shape[1])
        for turn in (False, True):
            strength, size = _strength(ends, what, turn)
            sound = _windows(true, size).all(axis=(2, 3))
            strength = np.where(sound, 0.0, strength)
            ratio = np.zeros(strength.shape)
            for run, most in zip(RUNS, self.most[what, turn], strict=True):
                mean = _run_mean(strength, run, turn=turn)
                ratio = np.maximum(ratio, mean / max(SHOWS_DE, MARGIN * most))
            before = (ends.shape[1] - strength.shape[1]) // 2
            place = before + np.arange(strength.shape[1])
            columns[place] = np.maximum(columns[place], ratio.max(axis=0))
        return columns

    def _strange(self, ends: Floats, true: Mask) -> Floats:
        """Return (columns,): the most a patch differs from all patches of the clean tiles."""
        rows = ((0, ALONG - 1), (0, 0))
        every = _patches(np.pad(ends, (*rows, (0, 0)), "wrap"))
        sound = _windows(np.pad(true, rows, "wrap"), (ALONG, LINES)).all(axis=(2, 3))
        mixed = np.round(every @ np.sin(np.arange(every.shape[1]) + 1.0), 3)
        _, first, back = np.unique(mixed, return_index=True, return_inverse=True)
        wanted = every[first]
        away = self._away(wanted, self._near(wanted, NEAREST)).min(axis=1)
        return np.asarray(np.where(sound, 0.0, away[back].reshape(sound.shape)).max(axis=0))

    def _near(self, wanted: Floats32, count: int) -> Indices:
        ranks = [*range(1, min(count, len(self.patches)) + 1)]
        return np.asarray(self.tree.query((wanted - self.centre) @ self.basis, k=ranks)[1])

    def _away(self, wanted: Floats32, near: Indices) -> Floats:
        """Return (asked, places): mean CIE76 of whole patches."""
        out = np.empty(near.shape)
        for start in range(0, len(wanted), 2000):
            part = slice(start, start + 2000)
            away = self.patches[near[part]] - wanted[part, None]
            grid = away.reshape(*away.shape[:2], ALONG * LINES, 3)
            out[part] = np.linalg.norm(grid, axis=3).mean(axis=2)
        return out

    def _usual(self, shape: tuple[int, int]) -> float:
        """Return how far 999 of 1,000 patches are at most from all that do not overlap them."""
        asked = np.arange(0, shape[0] * shape[1], max(1, shape[0] * shape[1] // 2000))
        wanted, kept = self.patches[self.back[asked]], self.place[self.back[asked]]
        found = self._near(wanted, 64)
        near = self.place[found] % (shape[0] * shape[1])
        apart = np.zeros(near.shape, dtype=bool)
        for axis, reach in ((0, ALONG), (1, LINES)):
            places = np.divmod(near, shape[1])[axis], np.divmod(kept, shape[1])[axis][:, None]
            away = np.abs(places[0] - places[1])
            apart |= np.minimum(away, shape[axis] - away) >= reach
        least = np.where(apart, self._away(wanted, found), np.inf).min(axis=1)
        # a patch that is there more than once has its like
        often = np.bincount(self.back[: shape[0] * shape[1]])[self.back[asked]] > 1
        least = np.where(often, 0.0, least)
        least = least[np.isfinite(least)]
        return float(np.percentile(least, 99.9)) if least.size else 0.0


_WRAP = ((0, ALONG - 1), (0, LINES - 1), (0, 0))


def remains(tile: Pixels, faulty: Pixels, visible_run_de: Floats) -> bool:
    """Tell whether some place of the join where the fault was visible was left as it was.

    Args:
        tile: the mended tile.
        faulty: the tile before.
        visible_run_de: (height,) mean CIE76 of the fault over the run around each row.
    """
    if len(tile) != len(faulty):
        return False
    pairs = [np.concatenate([t[:, -SIDE:], t[:, :SIDE]], axis=1) for t in (tile, faulty)]
    off = np.linalg.norm(srgb_to_lab(pairs[0]) - srgb_to_lab(pairs[1]), axis=2).max(axis=1)
    same = uniform_filter1d(off, ALONG, mode="wrap") <= SAME_DE
    return bool((same & (visible_run_de > SHOWS_DE)).any())


def visible_run_de(kind: str, clean: Pixels, shown: Pixels) -> Floats:
    """Return (height,): by how much the fault differs from what should be there, CIE76.

    A crop and a drift have no line that is wrong.
    """
    wrong = {"doubled line": clean[:, 0], "crop": shown[:, -1], "drift": shown[:, -1]}
    true = wrong.get(kind.split(maxsplit=1)[0], wrong.get(kind, clean[:, -1]))
    off = np.linalg.norm(srgb_to_lab(shown[:, -1]) - srgb_to_lab(true), axis=1)
    return np.asarray(uniform_filter1d(off, ALONG, mode="wrap"))


def tone_step_de(tile: Pixels, clean: Pixels) -> float:
    """Return the median step in tone across the join, over what the clean tile does, CIE76."""
    step = _tone_steps(srgb_to_lab(tile))[-1]
    own = _tone_steps(srgb_to_lab(clean))
    if tile.shape == clean.shape:
        return float(np.linalg.norm(step - own[-1]))
    return float(max(0.0, np.linalg.norm(step) - np.linalg.norm(own, axis=1).max()))


def _tone_steps(lab: Floats) -> Floats:
    """Return (width, 3): the median step after each column, from three columns to three."""
    means = uniform_filter1d(lab, 3, axis=1, mode="wrap")
    return np.asarray(np.median(np.roll(means, -2, axis=1) - np.roll(means, 1, axis=1), axis=0))


def _strength(lab: Floats, what: str, turn: bool) -> tuple[Floats, tuple[int, int]]:
    """Return how strong an edge or line is at each place, CIE76, and the window it looks at.

    An edge is a step less the greater of the steps on either side; a line is the lesser step into
    it and out of it, less the difference of its neighbours. Down the picture, or across (turned).
    """
    values = lab.transpose(1, 0, 2) if turn else lab
    steps = np.linalg.norm(np.diff(values, axis=1), axis=2)
    if what == "edge":
        strength, wide = steps[:, 1:-1] - np.maximum(steps[:, :-2], steps[:, 2:]), 4
    else:
        over = np.linalg.norm(values[:, 2:] - values[:, :-2], axis=2)
        strength, wide = np.minimum(steps[:, :-1], steps[:, 1:]) - over, 3
    strength = np.maximum(strength, 0.0)
    return (strength.T, (wide, 1)) if turn else (strength, (1, wide))


def _run_mean(strength: Floats, run: int, *, turn: bool) -> Floats:
    """Return the mean over runs along the line; across the join they must fit into the band."""
    size = strength.shape[1] if turn else strength.shape[0]
    if not turn:
        return np.asarray(uniform_filter1d(strength, min(run, size), axis=0, mode="wrap"))
    if run > size:
        return np.zeros_like(strength)
    return np.asarray(uniform_filter1d(strength, run, axis=1, mode="constant"))


def _most(lab: Floats, what: str, turn: bool) -> Floats:
    """Return for each run the most that a clean tile does anywhere, its own joins included."""
    around = ((2, 2), (RUNS[1], RUNS[1])) if turn else ((0, 0), (2, 2))
    strength = _strength(np.pad(lab, (*around, (0, 0)), "wrap"), what, turn)[0]
    return np.array([_run_mean(strength, run, turn=turn).max() for run in RUNS])


def _windows(mask: Mask, size: tuple[int, int]) -> Mask:
    return np.lib.stride_tricks.sliding_window_view(mask, size)


def _patches(lab: Floats) -> Floats32:
    windows = np.lib.stride_tricks.sliding_window_view(
        lab.astype(np.float32), (ALONG, LINES), axis=(0, 1)
    )
    flat = windows.transpose(0, 1, 3, 4, 2)
    return np.ascontiguousarray(flat).reshape(-1, ALONG * LINES * 3)
