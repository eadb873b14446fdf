"""Which k colours stand best for these colours? scikit-learn's k-means, weighted.

In: CIELAB (D50) points (n, 3) and weights (n,). Out: ``Clusters``, k centres, each point's cluster,
and the loss: the weighted mean squared Lab distance to the nearest centre.

Plain k-means stops in the first valley that it meets; who needs the best asks for several starts.
The same points in the same order give the same answer on any number of threads.

Source: Lloyd's iteration and k-means++ seeding as in scikit-learn's ``KMeans``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from palette.arrays import Floats, Indices

_SEED = 0


@dataclass(frozen=True)
class Clusters:
    """Centres (k, 3) in Lab, the cluster of each point (n,), and the loss in squared Lab units."""

    centres: Floats
    labels: Indices
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


def kmeans(points: Floats, weight: Floats, k: int, *, starts: int = 1) -> Clusters:
    """Cluster weighted points into k groups.

    Args:
        points: (n, 3) CIELAB (D50).
        weight: (n,) non-negative, not all zero.
        k: how many centres; fewer come back where there are fewer distinct points.
        starts: from how many seedings; the lowest loss is kept. Of one, colours of a tile lie up to
            a third over the best of a hundred, of ten by a hundredth (``benchmarks/palette.py
            --loss``).
    """
    from sklearn import config_context
    from sklearn.cluster import KMeans

    used = weight > 0.0
    k = min(k, _distinct_points(points[used]))
    model = KMeans(k, n_init=starts, random_state=_SEED, tol=1e-5)
    light = config_context(assume_finite=True, skip_parameter_validation=True)
    # Small k-means is slower, not faster, on several threads; and one thread sums in one order.
    with light, _threadpools().limit(limits=1):
        model.fit(points[used], sample_weight=weight[used])
    return assess(points, weight, np.asarray(model.cluster_centers_, dtype=np.float64))


@cache
def _threadpools() -> Any:
    import sklearn.cluster  # noqa: F401  its thread pools have to be loaded to be found
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()


def _distinct_points(points: Floats) -> int:
    """Count different points, by a projection on which different ones do not meet."""
    return len(np.unique(points @ np.array([1.0, np.pi, np.e])))
