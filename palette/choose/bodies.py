"""Which colours did someone choose for this artwork, as against blurs and stray tones?

Input: the bins of each tile. Output: ``Bodies``, one centre for each colour that covers something.

Each tile is clustered finely on its own, so that a small accent in one tile of many is seen as well
as in a single one. Then the nearest clusters, of all tiles, are joined as long as they are closer
than ``JOIN_DE2000``; a join that would take a tile's main colour more than ``MAIN_DE2000`` away
from what that tile shows counts as ``MAIN_FACTOR`` times as far. What is left has to cover a little
of some tile, and has to be more than the fringe between two larger colours.

Source: none for the whole; it is k-means (see ``palette.choose.kmeans``) followed by
centroid-linkage agglomeration in CIEDE2000. The limits are ours, measured on artwork drawn for
that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from palette.arrays import Floats, Indices, Mask
from palette.choose.antialiasing import lies_between
from palette.choose.histogram import ColourBins
from palette.choose.kmeans import kmeans
from palette.space import de2000, lab_to_srgb8

JOIN_DE2000 = 8.0
LEAST_JOIN_DE2000 = 2.3  # a just noticeable difference: Mahy, van Eycken, Oosterlinck 1994 (CIE76)
FINE_CLUSTERS = 28
LEAST_SHARE = 0.002  # of some tile
LEAST_TONE_SHARE = 0.01  # the same, of a tone within JOIN_DE2000 of a larger body
MOST_TONE_FRINGE = 0.15
MOSTLY_FRINGE = 0.5
OFTEN_FRINGE = 0.4  # enough where the colour also lies between two larger ones
_POINTS = 200
TILES_AT_ONCE = 64
MAIN_SHARE = 1 / 3  # a tile's largest colour is a main one, and any that covers this much of it
MAIN_DE2000 = 5.0  # plain to see side by side: a tile's own ground would be another colour
MAIN_FACTOR = 1.5  # more, and with a number set the accents make room for pale grounds
MOST_GUARDED = 64  # tiles; also the most colours that anyone can ask for


@dataclass(frozen=True)
class Bodies:
    """Candidate colours.

    Attributes:
        lab: (n, 3) CIELAB (D50) centres.
        shares: (n, tiles) share of each tile's area, fringe left out.
        fringe: (n,) share of all its pixels, 0 to 1, that are fringe.
        pinned: (n,) the maker's own colours, which neither move nor vanish.
    """

    lab: Floats
    shares: Floats
    fringe: Floats
    pinned: Mask

    def __len__(self) -> int:
        return len(self.lab)

    def select(self, keep: Mask) -> Bodies:
        """Return only the bodies where ``keep`` is true; pinned ones always stay."""
        keep = keep | self.pinned
        return Bodies(self.lab[keep], self.shares[keep], self.fringe[keep], self.pinned[keep])


def bodies_of(tiles: Sequence[ColourBins], pinned: Floats, colours: int | None) -> Bodies:
    """Find the colours of a set of tiles.

    Args:
        tiles: bins of each tile.
        pinned: (m, 3) CIELAB (D50) colours that must be among the answer, first.
        colours: how many to return, or None to let the artwork decide. Fewer come back where the
            artwork holds fewer colours that can be told apart.
    """
    fine = _fine_bodies(tiles, pinned)
    limit = JOIN_DE2000
    result = _settle(fine, limit)
    while colours is not None and len(result) < colours and limit > LEAST_JOIN_DE2000:
        limit = max(limit * 0.85, LEAST_JOIN_DE2000)
        result = _settle(fine, limit)
    return result if colours is None else _reduce(result, max(colours, len(pinned)))


def _fine_bodies(tiles: Sequence[ColourBins], pinned: Floats) -> Bodies:
    """Cluster each tile; of many tiles some at a time, as their table of shares would be large."""
    result = Bodies(
        pinned,
        np.zeros((len(pinned), len(tiles))),
        np.zeros(len(pinned)),
        np.ones(len(pinned), dtype=np.bool_),
    )
    for start in range(0, len(tiles), TILES_AT_ONCE):
        result = _join_by_cell(_with_tiles(result, tiles, range(start, start + TILES_AT_ONCE)))
    return result


def _with_tiles(result: Bodies, tiles: Sequence[ColourBins], which: range) -> Bodies:
    lab, shares, fringe = [result.lab], [result.shares], [result.fringe]
    for column, tile in list(enumerate(tiles))[which.start : which.stop]:
        clusters = kmeans(tile.lab, tile.body, FINE_CLUSTERS)
        count = len(clusters.centres)
        body = np.bincount(clusters.labels, weights=tile.body, minlength=count)
        area = np.bincount(clusters.labels, weights=tile.weight, minlength=count)
        blur = np.bincount(clusters.labels, weights=tile.weight * tile.fringe, minlength=count)
        share = np.zeros((count, len(tiles)))
        share[:, column] = body
        lab.append(clusters.centres)
        shares.append(share)
        fringe.append(blur / np.maximum(area, 1e-12))
    bodies = Bodies(
        np.concatenate(lab),
        np.concatenate(shares),
        np.concatenate(fringe),
        np.concatenate([result.pinned, np.zeros(sum(map(len, lab)) - len(result), dtype=np.bool_)]),
    )
    return bodies.select(bodies.shares.sum(axis=1) > 0.0)


def _join_by_cell(bodies: Bodies) -> Bodies:
    """Join what lies in one cell of Lab, in ever larger cells, until a full table is affordable."""
    cell = 0.5
    while len(bodies) > _POINTS:
        cell *= 1.5
        keys = np.floor(bodies.lab / cell).astype(np.int64) @ np.array([1 << 40, 1 << 20, 1])
        keys[bodies.pinned] = -np.arange(1, int(bodies.pinned.sum()) + 1) - (1 << 60)
        _, groups = np.unique(keys, return_inverse=True)
        bodies = _join_groups(bodies, groups)
    return bodies


def _join_groups(bodies: Bodies, groups: Indices) -> Bodies:
    weight = bodies.shares.sum(axis=1) + 1e-12
    total = np.bincount(groups, weights=weight)
    shares = np.zeros((len(total), bodies.shares.shape[1]))
    np.add.at(shares, groups, bodies.shares)
    lab = np.stack([np.bincount(groups, weights=weight * bodies.lab[:, i]) for i in range(3)], 1)
    fringe = np.bincount(groups, weights=weight * bodies.fringe)
    pinned = np.bincount(groups, weights=bodies.pinned) > 0
    order = np.argsort(~pinned, kind="stable")
    return Bodies(
        (lab / total[:, None])[order], shares[order], (fringe / total)[order], pinned[order]
    )


def _settle(bodies: Bodies, limit_de2000: float) -> Bodies:
    """Join the nearest while they are nearer than the limit, then drop blurs and strays."""
    bodies = _join(bodies, limit_de2000, at_least=1, by_weight=False)
    covers = bodies.shares.max(axis=1) >= LEAST_SHARE
    bodies = bodies.select(covers & (bodies.fringe < MOSTLY_FRINGE))
    bodies = bodies.select(~_mixtures(bodies))
    return bodies.select(~_rims(bodies))


def _rims(bodies: Bodies) -> Mask:
    """Say which bodies are only the grain or the outline's rim of a larger one close by."""
    share = bodies.shares.max(axis=1)
    close = de2000(bodies.lab[:, None], bodies.lab[None]) < JOIN_DE2000
    near_larger = (close & (share[None] > share[:, None])).any(axis=1)
    rims: Mask = near_larger & ((share < LEAST_TONE_SHARE) | (bodies.fringe > MOST_TONE_FRINGE))
    return rims


def _mixtures(bodies: Bodies) -> Mask:
    """Say which bodies are often fringe and lie between two larger ones."""
    rgb8, share = lab_to_srgb8(bodies.lab), bodies.shares.max(axis=1)
    result = np.zeros(len(bodies), dtype=np.bool_)
    for i in np.flatnonzero(bodies.fringe >= OFTEN_FRINGE):
        larger = rgb8[share > share[i]]
        one, other = np.triu_indices(len(larger), 1)
        here = np.broadcast_to(rgb8[i], (len(one), 3)).T
        result[i] = bool(lies_between(here, larger[one].T, larger[other].T).any())
    return result


def _reduce(bodies: Bodies, colours: int) -> Bodies:
    """Join further, sparing large differences more than large areas, until ``colours`` are left."""
    return _join(bodies, np.inf, at_least=colours, by_weight=True)


def _join(bodies: Bodies, limit: float, *, at_least: int, by_weight: bool) -> Bodies:
    """Join pairs, nearest first, as long as the cost is below the limit."""
    now = bodies
    table = de2000(now.lab[:, None], now.lab[None])
    mains = _Mains.of(now) if _has_choice(now, at_least) else None
    while len(now) > at_least:
        cost = _costs(now, table, by_weight=by_weight)
        first, second, least = _cheapest(now, cost, mains)
        if not least < limit:
            break
        mains = mains.join(now.shares, first, second) if mains is not None else None
        now = _pair_joined(now, first, second)
        table = np.delete(np.delete(table, second, axis=0), second, axis=1)
        table[first] = table[:, first] = de2000(now.lab[first], now.lab)
    return now


def _has_choice(bodies: Bodies, at_least: int) -> bool:
    """Say whether main colours can be spared: more tiles than colours cannot have one each."""
    return bodies.shares.shape[1] <= MOST_GUARDED and at_least != int(bodies.pinned.sum())


def _costs(bodies: Bodies, table: Floats, *, by_weight: bool) -> Floats:
    cost = table.copy()
    if by_weight:
        weight = bodies.shares.max(axis=1) + 1e-9
        harmonic = weight[:, None] * weight[None] / (weight[:, None] + weight[None])
        cost *= harmonic**0.1  # differences count for more than areas, or accents go first
    cost[np.ix_(bodies.pinned, bodies.pinned)] = np.inf
    np.fill_diagonal(cost, np.inf)
    return cost


def _cheapest(bodies: Bodies, cost: Floats, mains: _Mains | None) -> tuple[int, int, float]:
    """Return the pair to join next and its cost; only what comes up is held to the main colours."""
    dearer: set[tuple[int, int]] = set()
    while True:
        i, j = (int(at) for at in np.unravel_index(int(cost.argmin()), cost.shape))
        pair, least = (min(i, j), max(i, j)), float(cost[i, j])
        if mains is None or pair in dearer or least == np.inf or not mains.lost(bodies, *pair):
            return *pair, least
        dearer.add(pair)
        cost[i, j] = cost[j, i] = MAIN_FACTOR * least


@dataclass(frozen=True)
class _Mains:
    """What each tile itself shows of each body, to see which of its main colours a join would move.

    Attributes:
        own: (n, tiles, 3) CIELAB (D50), the mean of the tile's own part of the body.
        largest: (tiles,) the share of the tile's largest body.
    """

    own: Floats
    largest: Floats

    @classmethod
    def of(cls, bodies: Bodies) -> _Mains:
        own = np.repeat(bodies.lab[:, None], bodies.shares.shape[1], axis=1)
        return cls(own, bodies.shares.max(axis=0, initial=0.0))

    def _pair_own(self, shares: Floats, first: int, second: int) -> Floats:
        one, other = shares[first][:, None], shares[second][:, None]
        both = np.maximum(one + other, 1e-12)
        mean: Floats = (one * self.own[first] + other * self.own[second]) / both
        return mean

    def lost(self, bodies: Bodies, first: int, second: int) -> bool:
        """Say whether some tile's main colour would be another one once the two are joined.

        It is held against the mean and against the larger one, whose members will stand for both.
        """
        one, other = bodies.shares[first], bodies.shares[second]
        shown = (self._pair_own(bodies.shares, first, second), self.own[first], self.own[second])
        held = []
        for share, look in zip((one + other, one, other), shown, strict=True):
            main = (share >= self.largest) | (share >= MAIN_SHARE)
            if main.any():
                held.append(look[main & (share > 0.0)])
        if not held:
            return False
        stand = [_mean_lab(bodies, first, second)]
        if not bodies.pinned[first]:
            stand.append(bodies.lab[first if one.sum() >= other.sum() else second])
        distance = de2000(np.concatenate(held)[:, None], np.array(stand)[None])
        return bool((distance > MAIN_DE2000).any())

    def join(self, shares: Floats, first: int, second: int) -> _Mains:
        """Return the same after the second has been put into the first."""
        own = self.own.copy()
        own[first] = self._pair_own(shares, first, second)
        largest = np.maximum(self.largest, shares[first] + shares[second])
        return _Mains(np.delete(own, second, axis=0), largest)


def _mean_lab(bodies: Bodies, first: int, second: int) -> Floats:
    """Return where the two are once joined, (3,): a pinned one stays."""
    if bodies.pinned[first]:
        stays: Floats = bodies.lab[first]
        return stays
    one, other = (float(bodies.shares[at].sum()) + 1e-12 for at in (first, second))
    mean: Floats = (one * bodies.lab[first] + other * bodies.lab[second]) / (one + other)
    return mean


def _pair_joined(bodies: Bodies, first: int, second: int) -> Bodies:
    """Put the second into the first; pinned ones stand first, so they keep their place."""
    lab, shares, fringe = bodies.lab.copy(), bodies.shares.copy(), bodies.fringe.copy()
    one, other = shares[first].sum() + 1e-12, shares[second].sum() + 1e-12
    lab[first] = _mean_lab(bodies, first, second)
    fringe[first] = (one * fringe[first] + other * fringe[second]) / (one + other)
    shares[first] += shares[second]
    return replace(
        bodies,
        lab=np.delete(lab, second, axis=0),
        shares=np.delete(shares, second, axis=0),
        fringe=np.delete(fringe, second),
        pinned=np.delete(bodies.pinned, second),
    )
