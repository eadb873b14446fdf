"""Which k colours stand best for these colours? Weighted k-means, with a way out of bad starts.

Inputs: CIELAB (D50) points (n, 3) and weights (n,). Output: ``Clusters``, k centres, each point's
cluster, and the loss: the weighted mean squared Lab distance to the nearest centre.

Plain k-means stops in the first valley it meets; more restarts help little. So each start is
followed by swaps: the centre that costs least to lose is moved to where a new one gains most, and
the move stays if k-means ends lower from there. The search runs on a thinned copy of the points and
only its best results are polished on all of them. Seeded; the same points in the same order give
the same answer on any number of threads.

Sources: Lloyd's iteration and k-means++ seeding as in scikit-learn's ``KMeans``; the swap after
Kanungo, Mount, Netanyahu, Piatko, Silverman, Wu, "A local search approximation algorithm for
k-means clustering", Computational Geometry 28, 2004, and Lattanzi and Sohler, "A better k-means++
algorithm via local search", ICML 2019.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from palette.space.lab import Floats

_THIN_TO = 3000
_CANDIDATES = 48


@dataclass(frozen=True)
class Effort:
    """How hard to search: starts, k-means++ seedings of each, swaps after it, tries a swap."""

    starts: int
    seedings: int
    swaps: int
    tries: int
    polish: bool  # finish on all points instead of on the thinned copy


THOROUGH = Effort(starts=3, seedings=10, swaps=12, tries=6, polish=True)
QUICK = Effort(starts=1, seedings=1, swaps=1, tries=1, polish=False)


@dataclass(frozen=True)
class Clusters:
    """Centres (k, 3) in Lab, the cluster of each point (n,), and the loss in squared Lab units."""

    centres: Floats
    labels: NDArray[np.intp]
    loss: float


def squared_distances(points: Floats, centres: Floats) -> Floats:
    """Return (n, k) squared Lab distances."""
    table = (points**2).sum(axis=1)[:, None] - 2.0 * points @ centres.T
    table += (centres**2).sum(axis=1)
    result: Floats = np.maximum(table, 0.0)
    return result


def assess(points: Floats, weight: Floats, centres: Floats) -> Clusters:
    """Return what given centres are worth for these points."""
    table = squared_distances(points, centres)
    labels = table.argmin(axis=1)
    nearest = table[np.arange(len(points)), labels]
    return Clusters(centres, labels, float(nearest @ weight / weight.sum()))


def kmeans(
    points: Floats, weight: Floats, k: int, *, seed: int = 0, effort: Effort = THOROUGH
) -> Clusters:
    """Cluster weighted points into k groups.

    Args:
        points: (n, 3) CIELAB (D50).
        weight: (n,) non-negative, not all zero.
        k: how many centres; fewer come back where there are fewer distinct points.
        seed: of the starts.
        effort: ``THOROUGH``, or ``QUICK`` where a good answer will do.
    """
    from sklearn import config_context

    used = weight > 0.0
    k = min(k, _distinct_points(points[used]))
    few, few_weight = _thinned(points[used], weight[used])
    if len(few) <= 4 * k:
        few, few_weight = points[used], weight[used]
    light = config_context(assume_finite=True, skip_parameter_validation=True)
    # Small k-means is slower, not faster, on several threads; and one thread sums in one order.
    with light, _threadpools().limit(limits=1):
        found = [_search(few, few_weight, k, seed + i, effort) for i in range(effort.starts)]
        found.sort(key=lambda one: one.loss)
        if not effort.polish:
            return assess(points, weight, found[0].centres)
        polished = [_settled(points, weight, one.centres) for one in _distinct(found)[:2]]
        return min(polished, key=lambda one: one.loss)


@cache
def _threadpools() -> Any:
    import sklearn.cluster  # noqa: F401  its thread pools have to be loaded to be found
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()


def _distinct_points(points: Floats) -> int:
    """Count different points, by a projection on which different ones do not meet."""
    return len(np.unique(points @ np.array([1.0, np.pi, np.e])))


def _distinct(found: list[Clusters]) -> list[Clusters]:
    kept: list[Clusters] = []
    for one in found:
        if not kept or one.loss > kept[-1].loss * (1.0 + 1e-4):
            kept.append(one)
    return kept


def _thinned(points: Floats, weight: Floats) -> tuple[Floats, Floats]:
    """Join points in ever larger cells of Lab until few are left; each cell is its mean."""
    cell = 1.0
    while len(points) > _THIN_TO:
        keys = np.floor(points / cell).astype(np.int64)
        _, inverse = np.unique(keys @ np.array([1 << 40, 1 << 20, 1]), return_inverse=True)
        total = np.bincount(inverse, weights=weight)
        sums = [np.bincount(inverse, weights=weight * points[:, i]) for i in range(3)]
        points, weight = np.stack(sums, axis=1) / total[:, None], total.astype(np.float64)
        cell *= 1.5
    return points, weight


def _settled(points: Floats, weight: Floats, start: Floats) -> Clusters:
    """Run k-means from given centres."""
    from sklearn.cluster import KMeans

    return _fitted(KMeans(len(start), init=start, n_init=1, tol=1e-5), points, weight)


def _fitted(model: Any, points: Floats, weight: Floats) -> Clusters:
    model.fit(points, sample_weight=weight)
    return assess(points, weight, np.asarray(model.cluster_centers_, dtype=np.float64))


def _search(points: Floats, weight: Floats, k: int, seed: int, effort: Effort) -> Clusters:
    """Start from k-means++ and swap centres as long as that helps."""
    from sklearn.cluster import KMeans

    model = KMeans(k, n_init=effort.seedings, random_state=seed, tol=1e-5)
    best = _fitted(model, points, weight)
    random = np.random.default_rng(seed)
    for _ in range(effort.swaps if k > 1 else 0):
        better = _swapped(points, weight, best, random, effort.tries)
        if better is None:
            break
        best = better
    return best


def _swapped(
    points: Floats, weight: Floats, now: Clusters, random: np.random.Generator, tries: int
) -> Clusters | None:
    """Return better clusters with one centre moved elsewhere, or None where no move helps."""
    table = squared_distances(points, now.centres)
    two = np.partition(table, min(1, table.shape[1] - 1), axis=1)[:, :2]
    pull = weight * two[:, 0]
    if not pull.sum() > 0.0:
        return None
    chosen = points[random.choice(len(points), size=_CANDIDATES, p=pull / pull.sum())]
    net = _gains(weight, two, squared_distances(points, chosen), now.labels, table.shape[1])
    # For each centre its best new place; then the most promising few, for k-means to settle.
    places = net.argmax(axis=0)
    order = np.argsort(-net.max(axis=0), kind="stable")
    for lost in order[:tries]:
        centres = now.centres.copy()
        centres[lost] = chosen[places[lost]]
        trial = _settled(points, weight, centres)
        if trial.loss < now.loss * (1.0 - 1e-5):
            return trial
    return None


def _gains(
    weight: Floats, two: Floats, to_chosen: Floats, labels: NDArray[np.intp], k: int
) -> Floats:
    """Return (candidates, k): how much the loss falls when one centre moves to a candidate."""
    member = np.zeros((len(labels), k))
    member[np.arange(len(labels)), labels] = weight
    stay = np.maximum(two[:, :1] - to_chosen, 0.0).T @ member
    lose = (np.minimum(two[:, 1:], to_chosen) - two[:, :1]).T @ member
    gains: Floats = stay.sum(axis=1, keepdims=True) - stay - lose
    return gains
