"""Derive a built-in press from a published characterisation table.

Usage: python tools/fit_press.py TABLE.csv…

A table has the columns c, m, y, k (per cent) and L, a, b (CIELAB, D50), with "#" lines before. The
sixteen primaries are read from it (mean of repeated patches); the twenty-four figures of
``palette.press.neugebauer`` are fitted by least squares of CIEDE2000 over every patch, from one
fixed start, so that the result is the same on every run. What is printed goes into
``palette/press/conditions.py`` by hand, together with the table's source.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

from palette.difference import de2000
from palette.press.neugebauer import PrintCondition, print_lab

# n; gain of C, M, Y by X, Y, Z; gain of K; what C, M, Y, K add to each other's gain; skew
START = np.array([2.0, *[0.06] * 10, *[0.0] * 13])
LOWEST = np.array([1.0, *[-0.5] * 23])
HIGHEST = np.array([4.0, *[0.5] * 23])
BESIDE = ~np.eye(4, dtype=bool)


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
    """Return a condition of twenty-four figures in the order n, gain, over, skew."""
    gain = np.vstack([figures[1:10].reshape(3, 3), np.full(3, figures[10])])
    over = np.zeros((4, 4))
    over[BESIDE] = figures[11:23]
    return PrintCondition(name, solids, float(figures[0]), gain, over, float(figures[23]), 4.0)


def fit(path: Path) -> None:
    """Fit one table and print what to keep."""
    inks, lab = read_table(path)
    solids = np.round(primaries(inks, lab), 2)

    def misses(figures: np.ndarray) -> np.ndarray:
        return de2000(print_lab(condition(path.stem, solids, figures), inks), lab)

    found = least_squares(misses, START, bounds=(LOWEST, HIGHEST), max_nfev=200).x
    kept = np.round(found, 4)
    miss = misses(kept)
    found_condition = condition(path.stem, solids, kept)
    print(path.stem, "primaries", solids.tolist())
    print("n", found_condition.n, "skew", found_condition.skew)
    print("gain", found_condition.gain.tolist(), "over", found_condition.over.tolist())
    print(
        f"CIEDE2000 over {len(miss)} patches: mean {miss.mean():.2f}, "
        f"95 % {np.percentile(miss, 95):.2f}, largest {miss.max():.2f}"
    )


if __name__ == "__main__":
    for argument in sys.argv[1:]:
        fit(Path(argument))
