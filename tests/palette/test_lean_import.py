"""scikit-learn's k-means is its own class, whatever was put off, and the rest is there when asked.

Each case runs in an interpreter of its own, because what is imported once stays.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow
ROOT = Path(__file__).parents[2]

FITS = """
import numpy as np
from threadpoolctl import threadpool_limits
points = np.array([[0.0, 0.0], [0.0, 1.0], [9.0, 9.0], [9.0, 8.0]])
with threadpool_limits(1):
    centres = found(2, n_init=1, random_state=0).fit(points).cluster_centers_
assert sorted(centres.tolist()) == [[0.0, 0.5], [9.0, 8.5]]
"""

CASES = {
    "the rest is not loaded": """
import sys
from palette.lean_import import kmeans_class
found = kmeans_class()
for name in ("scipy.stats._continuous_distns", "sklearn.metrics._ranking", "sklearn.svm"):
    assert name not in sys.modules, name
""",
    "it is the public class": """
from palette.lean_import import kmeans_class
found = kmeans_class()
import sklearn.cluster
from sklearn.cluster import KMeans
assert found is KMeans is sklearn.cluster.KMeans
assert found.__module__.startswith("sklearn.")
""",
    "the rest comes when asked for": """
from palette.lean_import import kmeans_class
found = kmeans_class()
import pickle, scipy.stats, sklearn.metrics, numpy
from sklearn.cluster import DBSCAN, KMeans
from sklearn.preprocessing import StandardScaler, normalize
assert DBSCAN and StandardScaler and normalize([[3.0, 4.0]]).tolist() == [[0.6, 0.8]]
assert abs(scipy.stats.norm.cdf(0.0) - 0.5) < 1e-12
assert sklearn.metrics.accuracy_score([1, 0], [1, 0]) == 1.0
assert numpy.f2py.__version__
assert numpy.ma.masked_array([1, 2], mask=[0, 1]).sum() == 1
assert numpy.polynomial.Polynomial([1.0, 2.0])(1.0) == 3.0
numpy.testing.assert_equal(1, 1)
assert KMeans is found is pickle.loads(pickle.dumps(found))
assert not hasattr(scipy.stats, "no_such_thing")
""",
    "all of its names": """
from palette.lean_import import kmeans_class
found = kmeans_class()
from scipy.stats import *
assert norm and gmean
""",
    "versions of unknown layout": """
import sys
from palette import lean_import
lean_import._KNOWN["scikit-learn"] = ("0.0.",)
found = lean_import.kmeans_class()
assert "_kitloom_begun" not in sys.modules["sklearn.metrics"].__dict__
""",
    "loaded before": """
from sklearn.cluster import KMeans
from palette.lean_import import kmeans_class
found = kmeans_class()
assert found is KMeans
""",
    "another layout": """
from palette import lean_import
lean_import._PUT_OFF["sklearn.cluster"] = {"KMeans": "_moved_elsewhere"}
lean_import._PUT_OFF["scipy.no_such_package"] = {}
found = lean_import.kmeans_class()
from sklearn.cluster import KMeans, DBSCAN
assert found is KMeans
""",
    "ndimage without special functions": """
import sys
from palette.lean_import import kmeans_class, load_ndimage
load_ndimage()
assert not sys.modules["scipy.special"].__dict__["_kitloom_begun"]
import numpy, scipy.ndimage
assert "importlib.metadata" not in sys.modules
assert scipy.ndimage.label(numpy.eye(3))[1] == 3
assert scipy.ndimage.label.__doc__.startswith("Label features")
assert scipy.ndimage.rotate(numpy.eye(4), 30.0).shape == (5, 5)
from scipy.special import expit
assert expit(0.0) == 0.5
found = kmeans_class()
""",
    "ndimage of unknown layout": """
import sys
from palette import lean_import
lean_import._KNOWN["scipy"] = ("0.0.",)
lean_import.load_ndimage()
assert "_kitloom_begun" not in sys.modules["scipy.special"].__dict__
assert "Array API" in sys.modules["scipy.ndimage"].label.__doc__
found = lean_import.kmeans_class()
""",
    "asked for by many threads": """
from concurrent.futures import ThreadPoolExecutor
from palette.lean_import import kmeans_class
found = kmeans_class()
import scipy.stats
with ThreadPoolExecutor(8) as pool:
    names = ["norm", "gmean", "rankdata", "chi2"] * 6
    got = list(pool.map(lambda name: getattr(scipy.stats, name), names))
assert all(got)
""",
}


@pytest.mark.parametrize("case", CASES)
def test_in_a_fresh_interpreter(case: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", CASES[case] + FITS],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
