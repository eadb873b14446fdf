"""Trees fitted to measured joins: scikit-learn's histogram gradient boosting, small and few.

In: rows of ``learning.joins``. Out: fitted models by name:

* ``seam``: fault or clean, on every set but the one with design lines on the boundary; what
  exceeds the interior's greatest may only raise the score (monotone constraints);
* ``line``: clean joins with a design line on them against faults; above a threshold the verdict is
  left to a person;
* ``kind:...``: which fault it is, one model a kind.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from learning.joins import KINDS, LARGE, Row
from palette.arrays import Indices
from patterns.seams.figures import CONTEXT
from patterns.seams.verdict import FIGURE_DECIMALS

LARGE_COUNTS = 3.0  # few tiles of the size that makers use, for they take long to measure
# how much the clean joins of each set count beside its faults: grain is called a seam too easily
CLEAN = {"real": 14.0, "texture": 6.0, "scattered": 3.5, "geometric": 3.5, "lined": 4.0}
RARE = {"crop 1 px": 0.3, "clamped": 0.3}  # mostly at the limit of what can be seen
Models = dict[str, Any]


class Data:
    """The figures as arrays, with weights that let every set and kind count alike."""

    def __init__(self, rows: Sequence[Row]) -> None:
        self.names = list(rows[0].values)
        table = [[row.values[n] for n in self.names] for row in rows]
        self.x = np.round(np.array(table), FIGURE_DECIMALS)
        self.sets = np.array([row.set_name for row in rows])
        self.axes = np.array([row.axis for row in rows])
        self.kinds = np.array([row.kind for row in rows])
        self.tiles = np.array([row.name for row in rows])
        self.bad = np.array([not row.kind.startswith("clean") for row in rows])
        self.weight = np.ones(len(rows))
        for name in np.unique(self.sets):
            for kind in np.unique(self.kinds):
                m = (self.sets == name) & (self.kinds == kind)
                if m.any():
                    share = CLEAN[name] if kind.startswith("clean") else RARE.get(kind, 1.0)
                    self.weight[m] = share * (0.5 if name == "texture" else 1.0) / m.sum()
        self.weight[[row.name.endswith(LARGE) for row in rows]] *= LARGE_COUNTS
        self.weight *= len(rows) / self.weight.sum()


def _booster(data: Data, *, rounds: int, monotone: bool) -> Any:
    from sklearn.ensemble import HistGradientBoostingClassifier

    signs = [int(monotone and n.endswith(":max") and n not in CONTEXT) for n in data.names]
    return HistGradientBoostingClassifier(
        max_iter=rounds,
        learning_rate=0.08,
        max_leaf_nodes=6,
        min_samples_leaf=20,
        l2_regularization=3.0,
        max_features=0.3,
        max_bins=63,
        monotonic_cst=signs,
        early_stopping=False,
        random_state=0,
    )


def fit(data: Data, rows: Indices) -> Models:
    """Return the fitted models by name, from these rows alone."""
    models = {}
    lined = data.sets == "lined"
    picked = rows[~lined[rows]]
    models["seam"] = _booster(data, rounds=260, monotone=True).fit(
        data.x[picked], data.bad[picked], data.weight[picked]
    )
    picked = rows[(lined & ~data.bad)[rows] | (~lined & data.bad)[rows]]
    if (~data.bad[picked]).any():
        balance = data.weight[picked].copy()
        balance[~data.bad[picked]] *= (
            balance[data.bad[picked]].sum() / balance[~data.bad[picked]].sum()
        )
        models["line"] = _booster(data, rounds=100, monotone=False).fit(
            data.x[picked], ~data.bad[picked], balance
        )
    picked = rows[data.bad[rows]]
    kinds = np.array([KINDS[k] for k in data.kinds[picked]])
    # each kind counts alike, or crops, of which three sorts are learnt, take the cut motifs
    share = data.weight[picked].copy()
    for kind in sorted(set(kinds)):
        share[kinds == kind] /= share[kinds == kind].sum()
    share *= len(picked) / share.sum()
    for kind in sorted(set(kinds)):
        models[f"kind:{kind}"] = _booster(data, rounds=100, monotone=False).fit(
            data.x[picked], kinds == kind, share
        )
    return models
