"""k-means on bins against scikit-learn on every pixel's colour, and its promises."""

from __future__ import annotations

import numpy as np
import pytest

from benchmarks.planted import colours, grainy, through_jpeg, tile
from palette.choose import bins_of
from palette.choose.kmeans import assess, kmeans
from palette.space import srgb_to_lab


def _tiles() -> list[np.ndarray]:
    random = np.random.default_rng(9)
    plain = [tile(random, colours(random, 4 + i), 150, motifs=30) for i in range(3)]
    return [plain[0], through_jpeg(plain[1]), grainy(plain[2], random)]


TILES = _tiles()


@pytest.mark.parametrize("number", range(3))
@pytest.mark.parametrize(
    ("k", "allowed"), [(2, 1.01), (4, 1.01), (6, 1.02), (12, 1.04), (28, 1.08)]
)
def test_loss_over_every_pixel(number: int, k: int, allowed: float) -> None:
    """Baseline: the best of 20 restarts of scikit-learn on every colour, weighted by its pixels."""
    from sklearn.cluster import KMeans
    from threadpoolctl import threadpool_limits

    exact, counts = np.unique(TILES[number].reshape(-1, 3), axis=0, return_counts=True)
    points, weight = srgb_to_lab(exact), counts / counts.sum()
    bins = bins_of(TILES[number])
    ours = assess(points, weight, kmeans(bins.lab, bins.weight, k, starts=10).centres)
    with threadpool_limits(1):
        best = KMeans(k, n_init=20, random_state=0).fit(points, sample_weight=weight)
    theirs = assess(points, weight, best.cluster_centers_)
    assert ours.loss <= theirs.loss * allowed


def test_same_answer_twice_and_on_more_threads() -> None:
    bins = bins_of(TILES[2])
    first = kmeans(bins.lab, bins.weight, 5)
    from threadpoolctl import threadpool_limits

    with threadpool_limits(2):
        second = kmeans(bins.lab, bins.weight, 5)
    assert np.array_equal(first.centres, second.centres)


def test_fewer_colours_than_asked() -> None:
    points = np.array([[50.0, 0, 0], [60, 10, 10], [50, 0, 0]])
    found = kmeans(points, np.array([0.5, 0.3, 0.2]), 6)
    assert len(found.centres) == 2
    assert found.loss == pytest.approx(0.0, abs=1e-9)


def test_points_without_weight_pull_nothing() -> None:
    points = np.array([[50.0, 0, 0], [50, 2, 0], [90, 0, 0]])
    found = kmeans(points, np.array([0.5, 0.5, 0.0]), 1)
    assert np.allclose(found.centres, [[50, 1, 0]])
