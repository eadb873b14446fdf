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
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from palette.lab import Floats

_STARTS = 3
_THIN_TO = 3000
_CANDIDATES = 48
_TRIES = 4
_ROUNDS = 12


@dataclass(frozen=True)
class Clusters:
    """Centres (k, 3) in Lab, the cluster of each point (n,), and the loss in squared Lab units."""

    centres: Floats
    labels: NDArray[np.intp]
    loss: float


def preload() -> None:
    """Import scikit-learn; call it in a thread while artwork is decoded to hide its second."""
    import sklearn.cluster  # noqa: F401


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
    points: Floats,
    weight: Floats,
    k: int,
    *,
    seed: int = 0,
    starts: int = _STARTS,
    rounds: int = _ROUNDS,
) -> Clusters:
    """Cluster weighted points into k groups.

    Args:
        points: (n, 3) CIELAB (D50).
        weight: (n,) non-negative, not all zero.
        k: how many centres; fewer come back where there are fewer distinct points.
        seed: of the starts.
        starts: how many starts to search from; more is surer and slower.
        rounds: how many swaps to try after each start.
    """
    from threadpoolctl import threadpool_limits

    used = weight > 0.0
    k = min(k, len(np.unique(points[used], axis=0)))
    few, few_weight = _thinned(points[used], weight[used])
    if len(few) <= 4 * k:
        few, few_weight = points[used], weight[used]
    # Small k-means is slower, not faster, on several threads; and one thread sums in one order.
    with threadpool_limits(1):
        found = [_search(few, few_weight, k, seed + start, rounds) for start in range(starts)]
        found.sort(key=lambda one: one.loss)
        polished = [_lloyd(points, weight, one.centres) for one in _distinct(found)[:2]]
        return min(polished, key=lambda one: one.loss)


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


def _lloyd(points: Floats, weight: Floats, start: Floats) -> Clusters:
    return _fitted(points, weight, len(start), start, 0)


def _fitted(
    points: Floats, weight: Floats, k: int, start: Floats | Literal["k-means++"], seed: int
) -> Clusters:
    from sklearn.cluster import KMeans

    model = KMeans(k, init=start, n_init=1, random_state=seed, tol=1e-5, max_iter=100)
    model.fit(points, sample_weight=weight)
    return assess(points, weight, np.asarray(model.cluster_centers_, dtype=np.float64))


def _search(points: Floats, weight: Floats, k: int, seed: int, rounds: int) -> Clusters:
    best = _fitted(points, weight, k, "k-means++", seed)
    random = np.random.default_rng(seed)
    for _ in range(rounds if k > 1 else 0):
        better = _swapped(points, weight, best, random)
        if better is None:
            break
        best = better
    return best


def _swapped(
    points: Floats, weight: Floats, now: Clusters, random: np.random.Generator
) -> Clusters | None:
    """Return better clusters with one centre moved elsewhere, or None where no move helps."""
    table = squared_distances(points, now.centres)
    two = np.partition(table, 1, axis=1)[:, :2]
    cost_of_losing = np.bincount(
        now.labels, weights=weight * (two[:, 1] - two[:, 0]), minlength=len(now.centres)
    )
    pull = weight * two[:, 0]
    if not pull.sum() > 0.0:
        return None
    chosen = random.choice(len(points), size=_CANDIDATES, p=pull / pull.sum())
    to_chosen = squared_distances(points, points[chosen])
    gain = weight @ np.maximum(two[:, :1] - to_chosen, 0.0)
    net = gain[:, None] - cost_of_losing[None, :]
    for pick in np.argsort(-net, axis=None, kind="stable")[: _TRIES * 4 : 4]:
        row, lost = np.unravel_index(pick, net.shape)
        centres = now.centres.copy()
        centres[lost] = points[chosen[row]]
        trial = _lloyd(points, weight, centres)
        if trial.loss < now.loss * (1.0 - 1e-5):
            return trial
    return None
