"""Derive a built-in press from a published characterisation table.

Usage: python tools/fit_press.py TABLE.csv…

A table has the columns c, m, y, k (per cent) and L, a, b (CIELAB, D50), with "#" lines before. The
sixteen primaries are read from it (mean of repeated patches); the figures of
``palette.press.neugebauer`` (3 n, 12 skews, 96 gains) are fitted by least squares of CIEDE2000 over
every patch, from one fixed start, so that the result is the same on every run. A gain that few
patches bear on is held near the others by a small penalty on its distance from their mean. Last,
each fifth of the patches is predicted from a fit to the other four, which shows whether the figures
say something of the press or only of its table. What is printed goes into
``palette/press/conditions.py`` by hand, together with the table's source.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

from palette.press.neugebauer import PrintCondition, print_lab
from palette.space import de2000

# n by X, Y, Z; skew of C, M, Y, K by X, Y, Z; gain of C, M, Y, K by X, Y, Z on eight primaries
START = np.array([*[2.0] * 3, *[0.0] * 12, *[0.05] * 96])
PENALTY = 0.3  # CIEDE2000 for a gain that is off the mean by 1
FOLDS = 5


def read_table(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """Return ink shares (n, 4), 0 to 1, and CIELAB (D50), (n, 3)."""
    lines = [t for t in path.read_text(encoding="utf-8").splitlines() if not t.startswith("#")]
    rows = np.array([[float(v) for v in line.split(",")] for line in lines[1:]])
    return rows[:, :4] / 100.0, rows[:, 4:]


def primaries(inks: np.ndarray, lab: np.ndarray) -> np.ndarray:
    """Return the (16, 3) primaries in Demichel order: cyan changes fastest, black slowest."""
    solids = [[(i >> ink) & 1 for ink in range(4)] for i in range(16)]
    return np.array([lab[np.abs(inks - s).max(axis=1) < 1e-9].mean(axis=0) for s in solids])


def condition(name: str, solids: np.ndarray, figures: np.ndarray) -> PrintCondition:
    """Return a condition of the 111 figures in the order n, skew, gain."""
    return PrintCondition(
        name=name,
        primaries_lab=solids.copy(),
        n=figures[:3].copy(),
        gain=figures[15:].reshape(4, 3, 8).copy(),
        skew=figures[3:15].reshape(4, 3).copy(),
        ink_limit=4.0,
    )


def misses(
    solids: np.ndarray, figures: np.ndarray, inks: np.ndarray, lab: np.ndarray
) -> np.ndarray:
    """Return how far each patch is off, in CIEDE2000."""
    return de2000(print_lab(condition("", solids, figures), inks), lab)


def fitted(solids: np.ndarray, inks: np.ndarray, lab: np.ndarray) -> np.ndarray:
    """Return the figures that fit the patches best."""

    def cost(figures: np.ndarray) -> np.ndarray:
        gain = figures[15:]
        return np.concatenate([misses(solids, figures, inks, lab), PENALTY * (gain - gain.mean())])

    return least_squares(cost, START, max_nfev=60).x


def fit(path: Path) -> None:
    """Fit one table and print what to keep."""
    inks, lab = read_table(path)
    solids = np.round(primaries(inks, lab), 2)
    kept = np.round(fitted(solids, inks, lab), 4)
    found = condition(path.stem, solids, kept)
    for name in ("primaries_lab", "n", "skew", "gain"):
        print(path.stem, name, getattr(found, name).tolist())
    report(f"{len(lab)} patches", misses(solids, kept, inks, lab))
    fold = np.arange(len(lab)) % FOLDS
    unseen = np.empty(len(lab))
    for part in range(FOLDS):
        out = fold == part
        others = fitted(solids, inks[~out], lab[~out])
        unseen[out] = misses(solids, others, inks[out], lab[out])
    report("each from a fit to the other four fifths", unseen)


def report(title: str, miss: np.ndarray) -> None:
    """Print the mean, the 95th percentile and the largest of misses in CIEDE2000."""
    print(f"CIEDE2000, {title}: mean {miss.mean():.2f}, ", end="")
    print(f"95 % {np.percentile(miss, 95):.2f}, largest {miss.max():.2f}")


if __name__ == "__main__":
    for argument in sys.argv[1:]:
        fit(Path(argument))
