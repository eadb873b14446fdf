"""How many faults are found, and clean joins called one, of hands that the trees did not grow from.

In: the rows of a growth. Out: printed tables, at the program's thresholds: of each set the clean
joins called "seam" and "unsure", then of each kind of fault the share called "seam", and after the
stroke "seam" or "unsure". "Going on" are public joins that go on in the tile as sold
(``learning.continues``).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from learning.boosters import Data, Models, fit
from learning.continues import STRANGER, strangers_as_good
from learning.folds import Split, by_hand, by_set
from learning.joins import Row
from learning.tiles import public_tiles
from palette.arrays import Floats
from patterns.seams import verdict


def _chances(models: Models, x: Floats) -> dict[str, Floats]:
    return {name: model.predict_proba(x)[:, 1] for name, model in models.items()}


def _joins_that_stop(public: Path) -> set[tuple[str, str]]:
    """Return (name, axis) of public joins that do not go on in the tile as sold."""
    return {
        (f"{tile.name}-0", axis)
        for tile in public_tiles(public)
        for axis in "xy"
        if strangers_as_good(tile.pixels, axis) >= STRANGER
    }


def _print_recall(data: Data, chances: dict[str, Floats], stops: set[tuple[str, str]]) -> None:
    # by the trees and their plain rules; a check of a tile also asks whether it keeps its rhythm
    # inside, and looks at stripes and inner repeats
    values = dict(zip(data.names, data.x.T, strict=True))
    seam = verdict.apply_rules(chances, values)
    found = verdict.classify(seam, chances["line"], values["rhythm:max"])
    kinds = [k for k in dict.fromkeys(data.kinds) if not k.startswith("clean")]
    print("set, clean called seam, unsure | seam/either of " + ", ".join(kinds))
    on = np.array([key not in stops for key in zip(data.tiles, data.axes, strict=True)])
    groups = {str(name): data.sets == name for name in dict.fromkeys(data.sets)}
    groups["going on"] = groups["real"] & on
    for name, among in groups.items():
        clean = found[among & ~data.bad]
        row = [f"{np.mean(clean == 2):.3f}", f"{np.mean(clean == 1):.3f} |"]
        for kind in kinds:
            v = found[among & (data.kinds == kind)]
            row.append(f"{np.mean(v == 2):.2f}/{np.mean(v >= 1):.2f}" if len(v) else "-")
        print(f"{name:10s}", *row)


def _asked_outside(data: Data, splits: Sequence[Split]) -> dict[str, Floats]:
    """Return each join's chances from trees that grew without it."""
    chances: dict[str, Floats] = {}
    for inside, outside in splits:
        for name, chance in _chances(fit(data, inside), data.x[outside]).items():
            chances.setdefault(name, np.zeros(len(data.x)))[outside] = chance
    return chances


def cross_check(rows: Sequence[Row], data: Data, public: Path) -> None:
    """Print recall with hands left out, then with sets left out."""
    stops = _joins_that_stop(public)
    for title, splits in (("hands left out", by_hand(rows)), ("sets left out", by_set(rows))):
        print(f"\n{title}", flush=True)
        _print_recall(data, _asked_outside(data, splits), stops)
