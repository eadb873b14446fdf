"""Is the seam table what it says it is, and does it answer as the library that grew it?"""

from __future__ import annotations

import numpy as np
import pytest

from learning.folds import by_hand, by_set, hand_of
from learning.inputs import DRAWN_BY, GROWN_BY, read_manifest, source_digest, without_words
from learning.joins import Row
from patterns.seams.trees import TABLE, forest, read_forest, read_head


def test_the_table_says_what_it_was_grown_from() -> None:
    """Else nobody can grow it again, and a verdict that a maker doubts cannot be traced."""
    head = read_head(TABLE.read_text(encoding="ascii"))
    assert head["drawings"] == source_digest(DRAWN_BY), "grow the table anew: python -m learning"
    assert head["grower"] == source_digest(GROWN_BY), "grow the table anew: python -m learning"
    for word in ("python", "numpy", "scikit-learn", "treelite"):
        assert f"{word} " in head["with"]
    assert head["measures"]
    assert head["public tiles"]
    assert {name: len(tiles) for name, tiles in read_manifest().items()} == {
        "caja": 29,
        "afterstep": 12,
    }


def test_a_digest_is_of_what_is_drawn_not_of_how_it_is_told() -> None:
    """Else a comment mended asks for a new growth, or a drawing changed does not."""
    told = '"""A dot."""\n\ndef dot(r):\n    """Draw it."""\n    return 2 * r  # across\n'
    assert without_words(told) == without_words("def dot(r):\n    return (2*r)\n")
    assert without_words(told) != without_words("def dot(r):\n    return 3 * r\n")


def test_what_is_not_a_number_is_refused() -> None:
    """Else a broken measurement takes some branch, and a maker gets a verdict out of nothing."""
    trees = forest()
    values = dict.fromkeys(trees.figures, 0.0)
    with pytest.raises(ValueError, match="not a number: step_long:max"):
        trees.chances({**values, "step_long:max": float("nan")})


def test_no_hand_is_on_both_sides_of_a_fold() -> None:
    """Else the figures in the docs promise more than artwork of an unknown hand will get."""
    families = ("blooms", "stars", "bricks", "plaid", "caja", "afterstep", "rhythm")
    rows = [
        Row(set_name, family, f"{family}-{i}-{seed}", axis, "clean", 0.0, {})
        for family in families
        for set_name in (("geometric", "lined") if family == "bricks" else ("scattered",))
        for i in range(3)
        for seed in (23, 29)
        for axis in "xy"
    ]
    hands = np.array([hand_of(row) for row in rows])
    asked = np.zeros(len(rows), dtype=int)
    for inside, outside in by_hand(rows):
        assert not set(hands[inside]) & set(hands[outside])
        asked[outside] += 1
    assert (asked == 1).all()
    assert [len(outside) for _, outside in by_set(rows)] == [72, 12]


@pytest.mark.slow
def test_the_table_answers_as_the_library_that_grew_it() -> None:
    """Else the measured figures are those of other trees than a maker's verdict comes from.

    Source: scikit-learn's own ``predict_proba``, on 2,000 joins, a fifth of whose figures lie
    exactly on a threshold.
    """
    pytest.importorskip("treelite")
    from sklearn.ensemble import HistGradientBoostingClassifier

    from learning.table import format_table

    rng = np.random.default_rng(5)
    x = np.round(rng.normal(0.0, 30.0, (2000, 12)), 4)
    noise = rng.normal(0.0, 20.0, 2000)
    models = {
        name: HistGradientBoostingClassifier(max_iter=30, max_leaf_nodes=6, max_bins=63).fit(x, y)
        for name, y in (("seam", x[:, 0] + x[:, 1] > noise), ("line", x[:, 2] * x[:, 3] > noise))
    }
    names = [f"figure_{k}" for k in range(12)]
    table = format_table(models, names, {"grown": "for a test"})
    trees = read_forest(table)
    asked = trees.figure >= 0
    for k in range(12):
        on_threshold = trees.threshold[asked & (trees.figure == k)]
        if len(on_threshold):
            x[rng.random(2000) < 0.2, k] = rng.choice(on_threshold)
    wanted = {name: model.predict_proba(x)[:, 1] for name, model in models.items()}
    for k, row in enumerate(x):
        found = trees.chances(dict(zip(names, row.tolist(), strict=True)))
        for name, chance in wanted.items():
            assert found[name] == pytest.approx(float(chance[k]), abs=1e-12)
