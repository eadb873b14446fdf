"""Learn the weights of the seam verdict again, and write them as a plain table into the package.

    python tools/train_seams.py --public FOLDER [--cache FOLDER] [--jobs 2] [--check]

``FOLDER`` is where the Debian packages caja-common 1.26.1 and afterstep-data 2.2.12 were unpacked.
The same packages and the same versions of numpy, Pillow and scikit-learn give the same table.

Measures the figures (``patterns.seams.figures``) of clean and faulty tiles, public ones and drawn
ones, and fits three sets of small boosted trees (scikit-learn's histogram gradient boosting):

* ``seam``: fault or clean, on every set but the one with design lines on the boundary; what
  exceeds the interior's greatest may only raise the score (monotone constraints);
* ``line``: clean joins with a design line on them against faults; above a threshold the verdict is
  left to a person;
* ``kind:...``: which fault it is, one model a kind.

``--check`` prints recall at the program's thresholds by cross-validation with whole tiles left out,
and with whole sets left out; "going on" are public joins that go on in the tile as sold
(``benchmarks.seam_continues``). scikit-learn and treelite, which reads its trees, are needed here
only, never when a tile is checked: ``pip install -e '.[tools]'``.
"""

from __future__ import annotations

import argparse
import json
import pickle
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from benchmarks.seam_continues import STRANGER, strangers_as_good
from benchmarks.seam_faults import EVERY_FAULT, broken_rhythm, faulty, jpeg
from benchmarks.seam_tiles import Tile, drawn_tiles, public_tiles
from palette.arrays import Pixels
from patterns.plane import STRAIGHT
from patterns.seams import verdict
from patterns.seams.figures import CONTEXT, measure_joins
from patterns.seams.joins import build_joins

TABLE = Path(__file__).resolve().parent.parent / "patterns" / "seams" / "seam_trees.csv"
# seed, scale, tiles a family, whether softened, grained, made paler; benchmarks use other seeds
DRAWN = (
    (23, 1.0, 4, False),
    (29, 1.0, 4, True),
    (101, 1.0, 4, False),
    (103, 1.0, 4, True),
    (41, 3.0, 1, False),
    (43, 2.0, 1, True),
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
}
LARGE = tuple(f"-{seed}" for seed, scale, *_ in DRAWN if scale > 1.0)
LARGE_COUNTS = 3.0  # few tiles of the size that makers use, for they take long to measure
# how much the clean joins of each set count beside its faults: grain is called a seam too easily
CLEAN = {"real": 14.0, "texture": 6.0, "scattered": 3.5, "geometric": 3.5, "lined": 4.0}
RARE = {"crop 1 px": 0.3, "clamped": 0.3}  # mostly at the limit of what can be seen


class Row(NamedTuple):
    """The figures of one join, and what it is."""

    set_name: str
    family: str
    name: str
    axis: str
    kind: str
    de: float
    values: dict[str, float]


def _figures(pixels: Pixels, axis: str) -> dict[str, float]:
    return measure_joins(build_joins(pixels, STRAIGHT)["xy".index(axis)]).values


def _rows_of(tile: Tile, seed: int) -> Iterator[Row]:
    said = (tile.set_name, tile.family, f"{tile.name}-{seed if tile.set_name != 'real' else 0}")
    for kind, pixels in (("clean", tile.pixels), ("clean jpeg", jpeg(tile.pixels))):
        for axis in "xy":
            yield Row(*said, axis, kind, 0.0, _figures(pixels, axis))
    rng = np.random.default_rng([seed, *tile.name.encode()])
    for kind in EVERY_FAULT:
        if kind not in KINDS or (tile.family == "plaid" and kind.startswith(("crop", "doubled"))):
            continue
        for axis in "xy":
            pixels, de = faulty(tile.pixels, kind, axis, rng)
            if de > 6.0:
                yield Row(*said, axis, kind, de, _figures(pixels, axis))


def _public_rows(public: Path) -> list[Row]:
    return [row for tile in public_tiles(public) for row in _rows_of(tile, 1)]


def _drawn_rows(seed: int, scale: float, count: int, finish: bool) -> list[Row]:
    rows = []
    for tile in drawn_tiles(count, seed=seed, scale=scale, finish=finish):
        rows.extend(_rows_of(tile, seed))
    for i in range(2 * count):
        pixels, axis = broken_rhythm(np.random.default_rng([seed, i, 77]), scale)
        said = ("geometric", "rhythm", f"rhythm-{i}-{seed}", axis, "rhythm", 99.0)
        rows.append(Row(*said, _figures(pixels, axis)))
    return rows


def _measured(source: tuple[str, Any, Path | None]) -> list[Row]:
    """Return the rows of one source, from the cache where they were measured before."""
    name, what, cache = source
    kept = cache / f"{name}.pickle" if cache else None
    if kept and kept.exists():
        return [Row(*row) for row in pickle.loads(kept.read_bytes())]  # noqa: S301
    rows = _public_rows(what) if name == "public" else _drawn_rows(*what)
    if kept:
        kept.write_bytes(pickle.dumps([tuple(row) for row in rows]))
    print(f"{name}: {len(rows)} joins", flush=True)
    return rows


def collect(public: Path, cache: Path | None, jobs: int) -> list[Row]:
    """Measure all tiles, some 10,000 joins: about five minutes of one core."""
    if not any(public_tiles(public)):
        raise SystemExit(f"no public tiles under {public}: unpack caja-common and afterstep-data")
    if cache:
        cache.mkdir(parents=True, exist_ok=True)
    sources = [("public", public, cache), *((f"drawn-{d[0]}", d, cache) for d in DRAWN)]
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
        models["line"] = _booster(data, rounds=100, monotone=False).fit(
            data.x[picked], ~data.bad[picked], balance
        )
    picked = rows[data.bad[rows]]
    kinds = np.array([KINDS[k] for k in data.kinds[picked]])
    # each kind counts alike, or crops, of which three sorts are learnt, take the cut motifs
    share = data.weight[picked].copy()
    for kind in set(kinds):
        share[kinds == kind] /= share[kinds == kind].sum()
    share *= len(picked) / share.sum()
    for kind in sorted(set(kinds)):
        models[f"kind:{kind}"] = _booster(data, rounds=100, monotone=False).fit(
            data.x[picked], kinds == kind, share
        )
    return models


def trees_of(model: Any) -> tuple[float, list[list[dict[str, Any]]]]:
    """Return the model's first guess and its trees' nodes, each node at its own number."""
    import treelite

    dumped = json.loads(treelite.sklearn.import_model(model).dump_as_json())
    return float(dumped["base_scores"][0]), [tree["nodes"] for tree in dumped["trees"]]


def write_table(models: dict[str, Any], names: list[str], path: Path) -> None:
    """Write every node as one line; ``patterns.seams.trees`` reads them back."""
    lines = ["# figures: " + " ".join(names), "# models: " + " ".join(models)]
    lines.append("# columns: model, tree, figure (-1: leaf), threshold, left, right, value")
    for m, model in enumerate(models.values()):
        first, trees = trees_of(model)
        lines.append(f"{m},0,-1,0,0,0,{first:.6g}")
        for t, nodes in enumerate(trees, start=1):
            for node in nodes:
                if "leaf_value" in node:
                    lines.append(f"{m},{t},-1,0,0,0,{node['leaf_value']:.5g}")
                else:
                    where = f"{node['split_feature_id']},{node['threshold'] + 0.0:.6g}"
                    lines.append(f"{m},{t},{where},{node['left_child']},{node['right_child']},0")
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
    seam = verdict.apply_rules(chances, values)
    found = verdict.classify(seam, chances["line"], values["rhythm:max"])
    kinds = [k for k in dict.fromkeys(data.kinds) if not k.startswith("clean")]
    print("set, clean called seam, unsure | seam/either of " + ", ".join(kinds))
    on = np.array([key not in stops for key in zip(data.groups, data.axes, strict=True)])
    groups = {name: data.sets == name for name in dict.fromkeys(data.sets)}
    groups["going on"] = groups["real"] & on
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
        if s != "lined"
    ]
    for title, splits in (("tiles left out", folds), ("sets left out", by_set)):
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
