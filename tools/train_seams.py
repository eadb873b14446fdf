"""Learn the weights of the seam verdict anew, and write them as a plain table into the package.

    python tools/train_seams.py --public FOLDER [--cache FOLDER] [--jobs 2] [--check]

``FOLDER`` is where the Debian packages caja-common 1.26.1 and afterstep-data 2.2.12 were unpacked.
The same packages and the same versions of numpy, Pillow, scikit-image (its photographs) and
scikit-learn give the same table.

Measures the figures (``patterns.figures``) of clean and faulty joins (``benchmarks.seam_lessons``)
and fits three sets of small boosted trees (scikit-learn's histogram gradient boosting):

* ``seam``: fault or clean, on every set but the one with design lines on the boundary; what
  exceeds the interior's greatest may only raise the score (monotone constraints);
* ``line``: clean joins with a design line on them against faults; above a threshold the verdict is
  left to a person;
* ``kind:...``: which fault it is, one model a kind.

``--check`` prints recall at the program's thresholds by cross-validation with whole tiles left out,
with whole hands (families of drawn tiles) and with whole sets left out; "going on" are public joins
that go on in the tile as sold (``benchmarks.seam_continues``). scikit-learn is needed here only,
never when a tile is checked.
"""

from __future__ import annotations

import argparse
import pickle
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from benchmarks.seam_continues import STRANGER, strangers_as_good
from benchmarks.seam_faults_varied import VARIED
from benchmarks.seam_lessons import (
    Row,
    drawn_rows,
    hand_rows,
    more_public_rows,
    photo_rows,
    public_rows,
)
from benchmarks.seam_tiles import public_tiles
from patterns import verdict
from patterns.figures import CONTEXT

TABLE = Path(__file__).resolve().parent.parent / "patterns" / "seam_trees.csv"
# seed, scale, tiles a family, whether softened, grained, made paler; benchmarks use other seeds
DRAWN = (
    (23, 1.0, 4, False),
    (29, 1.0, 4, True),
    (101, 1.0, 4, False),
    (103, 1.0, 4, True),
    (41, 3.0, 1, False),
    (43, 2.0, 1, True),
)
# seed, least and greatest scale, tiles a family, of all hands that are learnt from
BY_HANDS = (
    (201, 0.8, 1.6, 1),
    (203, 0.8, 1.6, 1),
    (207, 0.7, 1.4, 1),
    (211, 1.6, 3.0, 1),
    (213, 0.8, 1.6, 1),
    (217, 0.7, 1.4, 1),
    (219, 0.8, 1.6, 1),
    (223, 0.8, 1.6, 1),
)
KINDS = {
    "fringe": "fringe",
    "half fringe": "fringe",
    "crop 1 px": "crop",
    "crop 3 %": "crop",
    "crop 17 %": "crop",
    "motif cut off": "cut-motif",
    "doubled line": "doubled-line",
    "drift 8 L*": "drift",
    "clamped": "clamped",
    "rhythm": "rhythm",
    "clamped 3 to 6": "clamped",
    "crop any": "crop",
    "part fringe": "fringe",
    "first doubled": "doubled-line",
    "drift any": "drift",
    "shape cut off": "cut-motif",
}
LARGE_COUNTS = 3.0  # few tiles of the size that makers use, for they take long to measure
# how much the clean joins of each set count beside its faults: grain is called a seam too easily
AGAIN = ", again"
CLEAN = {
    "real": 18.0,
    f"real{AGAIN}": 8.0,
    "texture": 8.0,
    "photo": 8.0,
    "scattered": 4.6,
    "geometric": 4.6,
    "lined": 5.2,
}
OF_SET = {"texture": 0.5, "photo": 0.5, f"real{AGAIN}": 0.5}
RARE = {
    **dict.fromkeys(
        ("crop 1 px", "clamped", "clamped 3 to 6"), 0.3
    ),  # at the limit of what is seen
    **dict.fromkeys(VARIED, 0.4),
}


Measure = Callable[..., list[Row]]


def _sources(public: Path) -> dict[str, tuple[Measure, tuple[Any, ...]]]:
    """Return what is measured, by name; each may run in a process of its own."""
    return {
        "public": (public_rows, (public,)),
        "public-more": (more_public_rows, (public,)),
        **{f"drawn-{d[0]}": (drawn_rows, d) for d in DRAWN},
        **{f"hands-{h[0]}": (hand_rows, h) for h in BY_HANDS},
        "photos": (photo_rows, ()),
    }


def _measured(source: tuple[str, Measure, tuple[Any, ...], Path | None]) -> list[Row]:
    """Return the rows of one source, from the cache where they were measured before."""
    name, measure, what, cache = source
    kept = cache / f"{name}.pickle" if cache else None
    if kept and kept.exists():
        return [Row(*row) for row in pickle.loads(kept.read_bytes())]  # noqa: S301
    rows = measure(*what)
    if kept:
        kept.write_bytes(pickle.dumps([tuple(row) for row in rows]))
    print(f"{name}: {len(rows)} joins", flush=True)
    return rows


def collect(public: Path, cache: Path | None, jobs: int) -> list[Row]:
    """Measure all tiles: about half an hour of one core."""
    if not any(public_tiles(public)):
        raise SystemExit(f"no public tiles under {public}: unpack caja-common and afterstep-data")
    if cache:
        cache.mkdir(parents=True, exist_ok=True)
    sources = [(name, *how, cache) for name, how in _sources(public).items()]
    with ProcessPoolExecutor(jobs) as pool:
        return [row for rows in pool.map(_measured, sources) for row in rows]


class Data:
    """The figures as arrays, with weights that let every set and kind count alike."""

    def __init__(self, rows: list[Row]) -> None:
        self.names = list(rows[0].values)
        table = [[row.values[n] for n in self.names] for row in rows]
        self.x = np.round(np.array(table), verdict.FIGURE_DECIMALS)
        self.sets = np.array([row.set_name for row in rows])
        self.axes = np.array([row.axis for row in rows])
        self.kinds = np.array([row.kind for row in rows])
        self.groups = np.array([row.name for row in rows])
        # a hand is a family of drawn tiles; public tiles and photographs are each their own
        drawn = [row.set_name not in {"real", "photo"} for row in rows]
        self.hands = np.array([r.family if d else r.name for r, d in zip(rows, drawn, strict=True)])
        self.counts = np.array([row.counts for row in rows])
        self.bad = np.array([not row.kind.startswith("clean") for row in rows])
        self.weight = np.ones(len(rows))
        # public tiles in other phases are told from those as sold: only these have hard joins
        told = [s + AGAIN * (s == "real") for s in self.sets]
        told = np.where(self.counts, self.sets, told)
        for name in np.unique(told):
            for kind in np.unique(self.kinds):
                m = (told == name) & (self.kinds == kind)
                if m.any():
                    share = CLEAN[name] if kind.startswith("clean") else RARE.get(kind, 1.0)
                    self.weight[m] = share * OF_SET.get(name, 1.0) / m.sum()
        self.weight[[row.large for row in rows]] *= LARGE_COUNTS
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


def fit(data: Data, rows: NDArray[np.intp]) -> dict[str, Any]:
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
        models["line"] = _booster(data, rounds=160, monotone=False).fit(
            data.x[picked], ~data.bad[picked], balance
        )
    picked = rows[data.bad[rows]]
    kinds = np.array([KINDS[k] for k in data.kinds[picked]])
    for kind in sorted(set(kinds)):
        models[f"kind:{kind}"] = _booster(data, rounds=60, monotone=False).fit(
            data.x[picked], kinds == kind, data.weight[picked]
        )
    return models


def trees_of(model: Any) -> tuple[float, list[NDArray[Any]]]:
    """Return the model's first guess and its trees' nodes (a private part of scikit-learn)."""
    trees = [stage[0].nodes for stage in model._predictors]  # noqa: SLF001
    return float(np.ravel(model._baseline_prediction)[0]), trees  # noqa: SLF001


def write_table(models: dict[str, Any], names: list[str], path: Path) -> None:
    """Write every node as one line; ``patterns.trees`` reads them back."""
    lines = ["# figures: " + " ".join(names), "# models: " + " ".join(models)]
    lines.append("# columns: model, tree, figure (-1: leaf), threshold, left, right, value")
    for m, model in enumerate(models.values()):
        first, trees = trees_of(model)
        lines.append(f"{m},0,-1,0,0,0,{first:.6g}")
        for t, nodes in enumerate(trees, start=1):
            for node in nodes:
                if node["is_leaf"]:
                    lines.append(f"{m},{t},-1,0,0,0,{node['value']:.5g}")
                else:
                    where = f"{node['feature_idx']},{node['num_threshold'] + 0.0:.6g}"
                    lines.append(f"{m},{t},{where},{node['left']},{node['right']},0")
    path.write_text("\n".join(lines) + "\n", encoding="ascii")


def _chances(models: dict[str, Any], x: NDArray[np.float64]) -> dict[str, NDArray[np.float64]]:
    return {name: model.predict_proba(x)[:, 1] for name, model in models.items()}


def _joins_that_stop(public: Path) -> set[tuple[str, str]]:
    """Return (name, axis) of public joins that do not go on in the tile as sold."""
    return {
        (f"{tile.name}-0", axis)
        for tile in public_tiles(public)
        for axis in "xy"
        if strangers_as_good(tile.pixels, axis) >= STRANGER
    }


def _print_recall(
    data: Data, chances: dict[str, NDArray[np.float64]], stops: set[tuple[str, str]]
) -> None:
    values = dict(zip(data.names, data.x.T, strict=True))
    seam = verdict.ruled(chances, values)
    found = verdict.verdicts(seam, chances["line"], values["rhythm:max"])
    kinds = [k for k in dict.fromkeys(data.kinds) if not k.startswith("clean")]
    print("set, clean called seam, unsure | seam/either of " + ", ".join(kinds))
    on = np.array([key not in stops for key in zip(data.groups, data.axes, strict=True)])
    groups = {name: data.sets == name for name in dict.fromkeys(data.sets)}
    groups["going on"] = groups["real"] & on
    groups = {name: among & data.counts for name, among in groups.items() if name != "photo"}
    for name, among in groups.items():
        clean = found[among & ~data.bad]
        row = [f"{np.mean(clean == 2):.3f}", f"{np.mean(clean == 1):.3f} |"]
        for kind in kinds:
            v = found[among & (data.kinds == kind)]
            row.append(f"{np.mean(v == 2):.2f}/{np.mean(v >= 1):.2f}" if len(v) else "-")
        print(f"{name:10s}", *row)


def cross_check(data: Data, public: Path) -> None:
    """Print recall with tiles left out, then with sets left out."""
    from sklearn.model_selection import GroupKFold

    stops = _joins_that_stop(public)
    folds = list(GroupKFold(5).split(data.x, data.bad, data.groups))
    by_set = [
        (np.flatnonzero(data.sets != s), np.flatnonzero(data.sets == s))
        for s in dict.fromkeys(data.sets)
        if s not in {"lined", "photo"}
    ]
    hands = list(GroupKFold(5).split(data.x, data.bad, data.hands))
    for title, splits in (
        ("tiles left out", folds),
        ("hands left out", hands),
        ("sets left out", by_set),
    ):
        chances: dict[str, NDArray[np.float64]] = {}
        for inside, outside in splits:
            for name, chance in _chances(fit(data, inside), data.x[outside]).items():
                chances.setdefault(name, np.zeros(len(data.x)))[outside] = chance
        print(f"\n{title}")
        _print_recall(data, chances, stops)


def main() -> None:
    """Measure or read the figures, check if asked, learn, write."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--public", type=Path, default=Path("/"))
    parser.add_argument("--cache", type=Path, help="folder to keep measured figures in")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--check", action="store_true")
    options = parser.parse_args()
    rows = collect(options.public, options.cache, options.jobs)
    data = Data(rows)
    if options.check:
        cross_check(data, options.public)
    write_table(fit(data, np.arange(len(rows))), data.names, TABLE)
    print(f"{len(rows)} joins learnt; wrote {TABLE.name}, {TABLE.stat().st_size // 1024} KiB")


if __name__ == "__main__":
    main()
