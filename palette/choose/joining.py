"""Several colours become fewer: the two that cost least to join are joined, as long as a rule says.

In: ``Bodies``, candidate colours with their areas, and a ``Rule``. Out: fewer ``Bodies``. A join
that would take a tile's main colour more than ``MAIN_DE2000`` away from what that tile shows counts
as ``MAIN_FACTOR`` times as dear.

Source: centroid-linkage agglomeration, in CIEDE2000. The limits are ours, measured on artwork drawn
for that.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from palette.arrays import Floats, Mask
from palette.space import de2000

MAIN_SHARE = 1 / 3  # a tile's largest colour is a main one, and any that covers this much of it
MAIN_DE2000 = 5.0  # plain to see side by side: a tile's own ground would be another colour
MAIN_FACTOR = 1.5  # more, and with a number set the accents make room for pale grounds
MOST_GUARDED = 64  # tiles; also the most colours that anyone can ask for
USUAL = 8  # colours of a palette that nobody gave a number


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


@dataclass(frozen=True)
class Rule:
    """When two colours are joined: while that costs less than the limit.

    Attributes:
        limit: the cost from which on nothing is joined.
        at_least: how many colours to leave.
        area: power of the smaller area in the cost; 0 lets areas count for nothing.
        chroma: what a chroma of 100 adds to the cost, in shares of it.
        rises: times as much is the limit for each colour beyond the usual number.
    """

    limit: float = np.inf
    at_least: int = 1
    area: float = 0.0
    chroma: float = 0.0
    rises: float = 1.0

    def limit_at(self, count: int) -> float:
        """Return the limit while there are so many colours."""
        return self.limit * self.rises ** max(0, count - USUAL)

    def costs(self, bodies: Bodies, table: Floats) -> Floats:
        """Return what each join costs, (n, n): infinitely much for two that are pinned."""
        cost = table.copy()
        if self.area:
            weight = bodies.shares.max(axis=1) + 1e-9
            cost *= (weight[:, None] * weight[None] / (weight[:, None] + weight[None])) ** self.area
        if self.chroma:
            chroma = np.hypot(bodies.lab[:, 1], bodies.lab[:, 2]) / 100.0
            cost *= 1.0 + self.chroma * np.maximum(chroma[:, None], chroma[None])
        cost[np.ix_(bodies.pinned, bodies.pinned)] = np.inf
        np.fill_diagonal(cost, np.inf)
        return cost


def join(bodies: Bodies, rule: Rule) -> Bodies:
    """Join pairs, cheapest first, as long as the rule says so."""
    now = bodies
    table = de2000(now.lab[:, None], now.lab[None])
    mains = _Mains.of(now) if _has_choice(now, rule.at_least) else None
    while len(now) > rule.at_least:
        first, second, least = _cheapest(now, rule.costs(now, table), mains)
        if not least < rule.limit_at(len(now)):
            break
        mains = mains.join(now.shares, first, second) if mains is not None else None
        now = _pair_joined(now, first, second)
        table = np.delete(np.delete(table, second, axis=0), second, axis=1)
        table[first] = table[:, first] = de2000(now.lab[first], now.lab)
    return now


def _has_choice(bodies: Bodies, at_least: int) -> bool:
    """Say whether main colours can be spared: more tiles than colours cannot have one each."""
    return bodies.shares.shape[1] <= MOST_GUARDED and at_least != int(bodies.pinned.sum())


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
