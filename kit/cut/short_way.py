"""The short way over outlines that may each be begun at one of several points.

In: for each outline its starting points, and where the way begins and ends, in millimetres. Out:
the order (``short_order``), and for an order which point each is begun at (``best_starts``). The
problem is the generalised travelling salesman's, so the way is short, not shortest: within 3 % of
what a much longer search finds (``python -m benchmarks.cut_order``).

How: the nearest next outline first, its starts by dynamic programming. Then 2-opt (Croes, 1958),
Or-opt (Or, 1976) and better starts, among near neighbours, until none helps. To get out of what
these are stuck in, two neighbouring stretches of the order are exchanged at random and the same is
done again where they were; the change is kept unless the way has become longer (iterated local
search; Lourenço, Martin and Stützle, 2003). The random numbers are the same each time, so the same
outlines are always cut in the same order.

Not done here: what has to come before what (``kit.cut.order``).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import dist

import numpy as np

from kit.shapes import Point
from palette.arrays import Floats

NEIGHBOURS = 8
LONGEST_MOVE = 3  # outlines that Or-opt moves together
WINDOWS = (12, 60)  # places in the order that a random exchange stays within, turn about
EXCHANGES_EACH = 5  # for each outline
HAIR_MM = 1e-7

Starts = Sequence[Sequence[Point]]
Move = tuple[float, int, int, tuple[int, ...]]  # gain, first and last place changed, new joints


def short_order(starts: Starts, home: Point, end: Point | None) -> list[int]:
    """Return the numbers of the outlines in an order in which the way over them is short.

    Args:
        starts: for each outline where it may be begun, at least one point.
        home: where the way begins.
        end: where it ends; None where it ends at the last outline.
    """
    if not starts:
        return []
    order = nearest_next(starts, home)
    way = _Way(starts, order, best_starts([starts[i] for i in order], home, end), home, end)
    way.shorten()
    return way.order


def best_starts(starts: Starts, home: Point, end: Point | None) -> list[int]:
    """Return for each outline, in cutting order, which of its starts makes the way shortest."""
    reach, here, back = np.zeros(1), np.array([home]), []
    for places in starts:
        there = np.array(places)
        ways = reach[:, None] + _apart(here, there)
        came = np.argmin(ways, axis=0)
        back.append(came)
        reach, here = ways[came, np.arange(len(there))], there
    if end is not None:
        reach = reach + _apart(here, np.array([end]))[:, 0]
    at = int(np.argmin(reach))
    chosen = []
    for came in reversed(back):
        chosen.append(at)
        at = int(came[at])
    return chosen[::-1]


def nearest_next(starts: Starts, home: Point) -> list[int]:
    """Return the order in which the next outline is always the nearest one left."""
    owners = np.repeat(np.arange(len(starts)), [len(places) for places in starts])
    points = np.array([point for places in starts for point in places])
    left, here = np.ones(len(points), dtype=np.bool_), np.array([home])
    order: list[int] = []
    for _ in starts:
        away = _apart(here, points).min(axis=0)
        nearest = int(owners[np.argmin(np.where(left, np.round(away, 9), np.inf))])
        order.append(nearest)
        left[owners == nearest] = False
        here = np.array(starts[nearest])
    return order


def _apart(one: Floats, other: Floats) -> Floats:
    apart: Floats = np.hypot(*(one[:, None] - other[None]).transpose(2, 0, 1))
    return apart


def _neighbours(starts: Starts) -> list[list[tuple[int, float]]]:
    """Return for each outline the nearest others, and how far they are at least.

    The distance is between their nearest starts, less a hair; it rises from one to the next.
    """
    most = max(len(places) for places in starts)
    padded = np.array([[*places, *[places[-1]] * (most - len(places))] for places in starts])
    nearest = np.full((len(starts), len(starts)), np.inf)
    for one in range(most):
        for other in range(most):
            np.minimum(nearest, _apart(padded[:, one], padded[:, other]), out=nearest)
    ranks = np.argsort(np.round(nearest, 9), axis=1, kind="stable")[:, : NEIGHBOURS + 1]
    least = np.maximum.accumulate(np.take_along_axis(nearest, ranks, axis=1), axis=1) - HAIR_MM
    return [
        [(k, away) for k, away in zip(row, far, strict=True) if k != i]
        for i, (row, far) in enumerate(zip(ranks.tolist(), least.tolist(), strict=True))
    ]


class _Way:
    """A way that is made shorter: its stops, each one's place in it, and each one's start."""

    def __init__(
        self, starts: Starts, order: list[int], chosen: list[int], home: Point, end: Point | None
    ) -> None:
        self.starts = starts
        self.count = len(order)
        self.near = _neighbours(starts)
        # the last two stops are where the way begins and ends; a free end is next to everything
        self.free_end = end is None
        self.at: list[Point] = [home] * (self.count + 2)
        self.at[-1] = end or home
        for stop, start in zip(order, chosen, strict=True):
            self.at[stop] = starts[stop][start]
        self.route = [self.count, *order, self.count + 1]
        self.place = [0] * len(self.route)
        self._renumber(0, self.count + 1)

    @property
    def order(self) -> list[int]:
        """The outlines in the order of the way."""
        return self.route[1:-1]

    def shorten(self) -> None:
        """Make moves and exchanges, as many as are worth their time."""
        self._settle(self.order)
        if self.count <= 3:
            return
        chances = np.random.default_rng(0).random((EXCHANGES_EACH * self.count, 6)).tolist()
        for turn, (whence, *cuts, head, tail) in enumerate(chances):
            window = min(WINDOWS[turn % len(WINDOWS)], self.count)
            first = 1 + int(whence * (self.count - window + 1))
            a, b, c = sorted(first + int(cut * (window + 1)) for cut in cuts)
            if a < b < c <= self.count + 1:
                self._try_exchange((a, b, c), (head, tail))

    def _between(self, one: int, other: int) -> float:
        if self.free_end and self.count + 1 in {one, other}:
            return 0.0
        return dist(self.at[one], self.at[other])

    def _renumber(self, low: int, high: int) -> None:
        for k in range(low, high + 1):
            self.place[self.route[k]] = k

    def _try_exchange(self, cuts: tuple[int, int, int], begin: tuple[float, float]) -> None:
        """Exchange the stretches between three places, and undo it where the way becomes longer.

        The first and the last of what was exchanged begin at any of their starts: ``begin`` are
        two random numbers from 0 to 1.
        """
        a, b, c = cuts
        route, way = self.route, self._between
        kept = route[:], self.at[:]
        p, q, r, s, t, u = (route[k] for k in (a - 1, a, b - 1, b, c - 1, c))
        gain = way(p, q) + way(r, s) + way(t, u) - way(p, s) - way(t, q) - way(r, u)
        route[a:c] = route[b:c] + route[a:b]
        self._renumber(a, c - 1)
        for k, share in zip((a, c - 1), begin, strict=True):
            stop = route[k]
            before, after = route[k - 1], route[k + 1]
            gain += way(before, stop) + way(stop, after)
            self.at[stop] = self.starts[stop][int(share * len(self.starts[stop]))]
            gain -= way(before, stop) + way(stop, after)
        gain += self._settle([stop for stop in (p, q, r, s, t, u) if stop < self.count])
        if gain < -HAIR_MM:
            self.route, self.at = kept
            self._renumber(0, self.count + 1)

    def _settle(self, active: Sequence[int]) -> float:
        """Move stops as long as that helps, from these on; return how much shorter the way is."""
        waiting = list(active)
        queued = set(waiting)
        gained = 0.0
        while waiting:
            stop = waiting.pop()
            queued.discard(stop)
            move = self._begin_elsewhere(stop) or self._turn(stop) or self._carry(stop)
            if move is None:
                continue
            gain, low, high, joints = move
            gained += gain
            self._renumber(low, high)
            for k in joints:
                for again in self.route[k - 1 : k + 1]:
                    if again < self.count and again not in queued:
                        queued.add(again)
                        waiting.append(again)
        return gained

    def _begin_elsewhere(self, stop: int) -> Move | None:
        """Begin a stop's outline where that suits the stops before and after it best."""
        here = self.place[stop]
        before, after = self.route[here - 1], self.route[here + 1]
        came = self.at[before]
        goes = came if self.free_end and after == self.count + 1 else self.at[after]
        now = dist(came, self.at[stop]) + dist(self.at[stop], goes)
        best = min(self.starts[stop], key=lambda point: dist(came, point) + dist(point, goes))
        gain = now - dist(came, best) - dist(best, goes)
        if goes is came:  # nothing after it: the way there was counted twice
            gain /= 2.0
        if gain <= HAIR_MM:
            return None
        self.at[stop] = best
        return gain, here, here, (here, here + 1)

    def _turn(self, stop: int) -> Move | None:
        """Turn a stretch round so that a stop comes to lie beside one of its neighbours (2-opt)."""
        route, place, way = self.route, self.place, self._between
        here = place[stop]
        for step in (1, -1):
            beside = route[here + step]
            now = way(stop, beside)
            for other, least in self.near[stop]:
                if least >= now:
                    break  # nor are those after it any nearer
                closer = now - way(stop, other)
                if closer <= 0.0:
                    continue
                there = place[other]
                far = route[there + step]
                gain = closer + way(other, far) - way(beside, far)
                if gain > HAIR_MM:
                    # between the two ways that are given up
                    low, high = min(here, there) + (step > 0), max(here, there) - (step < 0)
                    route[low : high + 1] = route[low : high + 1][::-1]
                    return gain, low, high, (low, high + 1)
        return None

    def _carry(self, stop: int) -> Move | None:
        """Carry a short stretch that ends at a stop to beside one of its neighbours (Or-opt)."""
        here = self.place[stop]
        for length in range(1, LONGEST_MOVE + 1):
            for low in (here,) if length == 1 else (here, here - length + 1):
                if low >= 1 and low + length <= self.count + 1:
                    move = self._carry_stretch(stop, low, low + length - 1)
                    if move is not None:
                        return move
        return None

    def _carry_stretch(self, stop: int, low: int, high: int) -> Move | None:
        route, place, way = self.route, self.place, self._between
        left, right = route[low - 1], route[high + 1]
        far = route[high] if route[low] == stop else route[low]
        freed = way(left, route[low]) + way(route[high], right) - way(left, right)
        for other, least in self.near[stop]:
            if least >= freed:
                break
            there = place[other]
            closer = freed - way(stop, other)
            if closer <= 0.0 or low <= there <= high:
                continue
            for gap in (there, there + 1):  # the stretch comes to lie before this place
                if low <= gap <= high + 1:
                    continue
                beside = route[gap - 1] if gap == there else route[gap]
                gain = closer - way(far, beside) + way(other, beside)
                if gain > HAIR_MM:
                    part = route[low : high + 1]
                    if (part[-1] == stop) != (gap == there):
                        part.reverse()
                    return gain, *self._insert(part, low, gap)
        return None

    def _insert(self, part: list[int], low: int, gap: int) -> tuple[int, int, tuple[int, ...]]:
        """Take a stretch from its place to before another; return what has changed in the route."""
        route, after = self.route, low + len(part)
        if gap >= after:
            route[low:gap] = route[after:gap] + part
            return low, gap - 1, (low, gap - len(part), gap)
        route[gap:after] = part + route[gap:low]
        return gap, after - 1, (gap, gap + len(part), after)
