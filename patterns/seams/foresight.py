"""Can the first line after a cut be predicted from the lines before it, as elsewhere in the tile?

In: the lines on either side of each cut. Out: figures a cut, in CIE76 unless said. A linear model,
fitted by least squares to the tile's own interior, foresees each pixel from 15 pixels of the three
lines on the other side, and the same backwards. In grain, weave and paper, where single steps say
nothing, the error over the whole edge still tells lines that follow each other from lines that do
not. Linear prediction of textures: Jain, "Fundamentals of Digital Image Processing", 1989, ch. 6.
"""

from __future__ import annotations

import numpy as np

from palette.arrays import Floats32
from patterns.lab32 import norm
from patterns.seams.prediction import subtract_prediction
from patterns.seams.step_measures import LONG, Sides, shift_along, worst_run

DEPTH, WIDTH = 3, 2  # lines looked back, pixels to either side
PENALTY = 1e-2  # of the linear model's weights


def foresight_figures(sides: Sides, fit_rows: slice) -> dict[str, Floats32]:
    """Return the errors of foresight forwards and backwards; the worse, and both together."""
    forward, forward_share = _errors(sides.a[:DEPTH], sides.b[0], fit_rows)
    backward, backward_share = _errors(sides.b[:DEPTH], sides.a[0], fit_rows)
    both = np.sqrt(0.5 * (forward * forward + backward * backward))
    return {
        "strange_all": np.sqrt((both * both).mean(axis=-1)),
        "strange_long": worst_run(both, LONG),
        "strange_flat": np.sqrt(both).mean(axis=-1) ** 2,
        "strange_both": 0.5 * (forward_share + backward_share),
    }


def _errors(before: list[Floats32], line: Floats32, fit_rows: slice) -> tuple[Floats32, Floats32]:
    """Return (cuts, along) CIE76 errors, and their share of the line's own variance by cut."""
    middle = line[fit_rows].mean(axis=(0, 1))
    centred = [b - middle for b in before]
    terms = [shift_along(b, by) for b in centred for by in range(-WIDTH, WIDTH + 1)]
    target = line - middle
    error = subtract_prediction(target, terms, fit_rows, PENALTY)
    energy = np.einsum("ijk,ijk->i", error, error)
    share = energy / (np.einsum("ijk,ijk->i", target, target) + np.float32(line.shape[1]))
    return norm(error), share
