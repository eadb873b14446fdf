"""The trees as the plain table that the package ships, with a head that says where it comes from.

In: fitted models and what they were grown from. Out: one line a node, thresholds and values in full
digits, so that a figure that equals a threshold goes the way that it went when the tree grew.
``patterns.seams.trees`` reads it back.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from learning.boosters import Data, Models
from patterns.seams.trees import read_forest


def trees_of(model: Any) -> tuple[float, list[list[dict[str, Any]]]]:
    """Return the model's first guess and its trees' nodes, each node at its own number."""
    import treelite

    dumped = json.loads(treelite.sklearn.import_model(model).dump_as_json())
    return float(dumped["base_scores"][0]), [tree["nodes"] for tree in dumped["trees"]]


def body_of(models: Models) -> str:
    """Return every node of every tree as one line."""
    lines = []
    for m, model in enumerate(models.values()):
        first, trees = trees_of(model)
        lines.append(f"{m},0,-1,0,0,0,{first!r}")
        for t, nodes in enumerate(trees, start=1):
            for node in nodes:
                if "leaf_value" in node:
                    lines.append(f"{m},{t},-1,0,0,0,{node['leaf_value']!r}")
                else:
                    where = f"{node['split_feature_id']},{node['threshold'] + 0.0!r}"
                    lines.append(f"{m},{t},{where},{node['left_child']},{node['right_child']},0")
    return "\n".join(lines) + "\n"


def format_table(models: Models, names: Sequence[str], whence: Mapping[str, str]) -> str:
    """Return the table's text: ``# name: what`` lines of its head, then its nodes."""
    head = {
        **whence,
        "figures": " ".join(names),
        "models": " ".join(models),
        "columns": "model, tree, figure (-1: leaf), threshold, left, right, value",
    }
    return "".join(f"# {name}: {what}\n" for name, what in head.items()) + body_of(models)


def greatest_difference(table: str, models: Models, data: Data, joins: int = 2000) -> float:
    """Return how far the table's chances are from the library's, at most, over so many joins."""
    trees = read_forest(table)
    picked = np.unique(np.linspace(0, len(data.x) - 1, joins).astype(int))
    wanted = {name: model.predict_proba(data.x[picked])[:, 1] for name, model in models.items()}
    most = 0.0
    for k, figures in enumerate(data.x[picked]):
        found = trees.chances(dict(zip(data.names, figures.tolist(), strict=True)))
        most = max(most, *(abs(found[name] - float(wanted[name][k])) for name in models))
    return most
