"""What in these lines can be predicted from other lines, as far as this tile teaches it?

In: terms and a target, lines by cut, of which some cuts are the interior. Out: what a linear model
leaves of the target. The model is fitted to the interior by least squares with a small penalty on
its weights (ridge regression: Hoerl and Kennard, Technometrics 12(1), 1970), so that lines of one
colour, which say nothing, leave it solvable. Linear prediction of textures: Jain, "Fundamentals of
Digital Image Processing", 1989, chapter 6. Not done here: which terms.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.arrays import Floats32

SAMPLES = 12_000  # values of the interior that the model is fitted to


def subtract_prediction(
    target: Floats32, terms: Sequence[Floats32], fit_rows: slice, penalty: float
) -> Floats32:
    """Return what a linear model of the terms leaves of the target.

    Args:
        target: (cuts, along, 3).
        terms: arrays of that shape.
        fit_rows: the cuts that the model is fitted to.
        penalty: on the squares of the weights, for each value fitted.
    """
    inside = [term[fit_rows].reshape(-1) for term in terms]
    stride = max(1, inside[0].size // SAMPLES)
    x = np.stack([values[::stride] for values in inside], axis=1).astype(np.float64)
    y = target[fit_rows].reshape(-1)[::stride].astype(np.float64)
    normal = x.T @ x + np.eye(x.shape[1]) * (penalty * len(y))
    weights = np.linalg.solve(normal, x.T @ y).astype(np.float32)
    left = target.copy()
    for weight, term in zip(weights, terms, strict=True):
        left -= weight * term
    return left
