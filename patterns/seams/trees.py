"""Read small boosted trees from a plain table and ask them, without the library that grew them.

In: ``seam_trees.csv`` beside this file, a head that says what it was grown from and then one line a
node (written by ``python -m learning``), and named figures. Out: a chance from 0 to 1 for each
model. Additive trees with a logistic link, as in Friedman, "Greedy function approximation: a
gradient boosting machine", Annals of Statistics 29(5), 2001. Not done here: learning.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from palette.arrays import Floats, Indices

TABLE = Path(__file__).with_name("seam_trees.csv")


@dataclass(frozen=True, slots=True)
class Forest:
    """All trees of all models, end to end.

    Attributes:
        figures, models: the names, in the table's order.
        model: (trees,) which model a tree belongs to.
        root: (trees,) the row of its first node.
        figure: (nodes,) which figure is asked; -1 in a leaf.
        threshold, left, right, value: (nodes,) a figure up to the threshold goes left.
    """

    figures: tuple[str, ...]
    models: tuple[str, ...]
    model: Indices
    root: Indices
    figure: Indices
    threshold: Floats
    left: Indices
    right: Indices
    value: Floats

    def chances(self, values: Mapping[str, float]) -> dict[str, float]:
        """Return each model's chance, 0 to 1, for one set of figures.

        Raises:
            ValueError: a figure is not a number; the trees never learnt what that would mean.
        """
        x = np.array([values[name] for name in self.figures])
        if np.isnan(x).any():
            unknown = [name for name in self.figures if np.isnan(values[name])]
            raise ValueError(f"not a number: {', '.join(unknown)}")
        node = self.root.copy()
        while (asking := self.figure[node] >= 0).any():
            lower = x[self.figure[node]] <= self.threshold[node]
            node = np.where(asking, np.where(lower, self.left[node], self.right[node]), node)
        sums = np.bincount(self.model, self.value[node], len(self.models))
        chance = 1.0 / (1.0 + np.exp(-sums))
        return {name: float(c) for name, c in zip(self.models, chance, strict=True)}


@cache
def forest() -> Forest:
    """Return the trees of the seam verdict; read once."""
    return read_forest(TABLE.read_text(encoding="ascii"))


def read_head(table: str) -> dict[str, str]:
    """Return what a table says of itself by name: what it was grown from, when, by which means."""
    lines = (line for line in table.splitlines() if line.startswith("# "))
    pairs = (line.removeprefix("# ").partition(": ") for line in lines)
    return {name: what for name, _, what in pairs}


def read_forest(table: str) -> Forest:
    """Return the trees of a table's text."""
    head = read_head(table)
    nodes = table[table.index("\n", table.rindex("# ")) + 1 :]
    numbers = np.array(nodes.replace("\n", ",").rstrip(",").split(","), dtype=np.float64)
    model, tree, figure, threshold, left, right, value = numbers.reshape(-1, 7).T
    change = np.ones(len(model), dtype=bool)
    change[1:] = (np.diff(model) != 0) | (np.diff(tree) != 0)
    root = np.flatnonzero(change)
    start = root[np.cumsum(change) - 1]  # left and right count within the tree
    return Forest(
        tuple(head["figures"].split()),
        tuple(head["models"].split()),
        model[root].astype(np.intp),
        root,
        figure.astype(np.intp),
        threshold,
        start + left.astype(np.intp),
        start + right.astype(np.intp),
        value,
    )
