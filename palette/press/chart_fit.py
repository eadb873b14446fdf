"""What would this printer make of colours that the chart does not hold? A fit through its patches.

In: the colours sent, uint8 (n, 3), and what was read of them, CIELAB (D50) relative to paper and
printed black. Out: a ``ChartFit`` that predicts any colour. It starts from a built-in press, the
likelier of the two, and adds a smooth correction through the patches' differences from it: near a
patch the data decide, far from all of them the built-in press does. How far a patch reaches and how
much it is smoothed is chosen by leaving out each patch in turn; the error of that, in CIEDE2000, is
kept as the fit's own honest figure (a little low for colours as deep as the chosen ones, a little
high for most, since a left-out patch is farther from the others than a fresh colour is).

Source: Gaussian process regression with a Matérn 3/2 kernel (Rasmussen and Williams, "Gaussian
Processes for Machine Learning", 2006, 4.2.1), leave-one-out in closed form (5.4.2). Not done here:
colours that no sRGB pixel asks for.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np

from palette.arrays import Floats, Pixels
from palette.press.builtin import CONDITIONS, builtin_press
from palette.space import de2000, srgb_to_lab

LIKE = tuple(CONDITIONS)
LENGTHS = (0.3, 0.6, 1.0, 2.0, 4.0)  # reach of a patch, in RGB where a side is 1
NOISES = (0.0001, 0.001, 0.01, 0.1)  # smoothing, as a share of the correction's own variance
_AT_ONCE = 16_384


@dataclass(frozen=True, slots=True)
class FitChoice:
    """How a fit was made.

    Attributes:
        like: the built-in press that it starts from.
        length: how far a patch reaches, in RGB where a side is 1.
        noise: how much it is smoothed.
    """

    like: str
    length: float
    noise: float


@dataclass(frozen=True, slots=True)
class FitError:
    """Error of patches that were left out, in CIEDE2000: mean, and 95 % within."""

    mean_de2000: float
    p95_de2000: float


@dataclass(frozen=True, slots=True, eq=False)
class ChartFit:
    """A printer as a function of the colours sent to it.

    Attributes:
        choice: how it was made.
        error: of left-out patches.
        sent: (m, 3) different colours sent, 0 to 1.
        pull: (m, 3) each patch's share in the correction, CIELAB.
        forecast: (m, 3) what the other colours predict for each, CIELAB.
        read: (m, 3) what was read of it.
    """

    choice: FitChoice
    error: FitError
    sent: Floats
    pull: Floats
    forecast: Floats
    read: Floats

    def __post_init__(self) -> None:
        for values in (self.sent, self.pull, self.forecast, self.read):
            values.setflags(write=False)

    def left_out(self, rgb: Pixels) -> tuple[Floats, Floats]:
        """Return, for (n, 3) uint8 colours of the fit, L* as the others predict it, and the miss.

        Shapes (n,) and (n, 3): CIELAB read less predicted.
        """
        places = {tuple(one): i for i, one in enumerate(np.rint(self.sent * 255.0).tolist())}
        at = [places[tuple(one)] for one in rgb.astype(np.float64).tolist()]
        return self.forecast[at, 0], (self.read - self.forecast)[at]

    def predict(self, rgb: Floats) -> Floats:
        """Return the CIELAB (D50), relative, that is on paper for sRGB 0 to 1, (n, 3)."""
        start = builtin_press(self.choice.like).to_print(srgb_to_lab(rgb))
        out = np.empty_like(start)
        for first in range(0, len(rgb), _AT_ONCE):
            part = slice(first, first + _AT_ONCE)
            out[part] = start[part] + _kernel(rgb[part], self.sent, self.choice.length) @ self.pull
        out[:, 0] = np.clip(out[:, 0], 0.0, 100.0)
        return out


def fit_chart(rgb: Pixels, lab: Floats, choice: FitChoice | None = None) -> ChartFit:
    """Return the fit through a chart's patches.

    Args:
        rgb: (n, 3) uint8 sent to the printer; copies of a colour are averaged.
        lab: (n, 3) what was read, relative to paper and black.
        choice: how to fit, where an earlier run has chosen it.
    """
    sent, read, copies = _average(rgb, lab)
    starts = {name: builtin_press(name).to_print(srgb_to_lab(sent)) for name in LIKE}
    choices = [choice] if choice else [FitChoice(*one) for one in product(LIKE, LENGTHS, NOISES)]
    best: tuple[float, ChartFit] | None = None
    for one in choices:
        pull, left_out = _solve(sent, read - starts[one.like], copies, one)
        forecast = starts[one.like] + left_out
        off = de2000(forecast, read)
        error = FitError(float(off.mean()), float(np.percentile(off, 95.0)))
        if best is None or error.mean_de2000 < best[0] - 1e-9:
            best = (error.mean_de2000, ChartFit(one, error, sent, pull, forecast, read))
    assert best is not None
    return best[1]


def _average(rgb: Pixels, lab: Floats) -> tuple[Floats, Floats, Floats]:
    """Return the different colours, 0 to 1, their mean reading, and how often each was read."""
    colours, which, count = np.unique(rgb, axis=0, return_inverse=True, return_counts=True)
    total = np.zeros((len(colours), 3))
    np.add.at(total, which.reshape(-1), lab)
    return colours / 255.0, total / count[:, None], count.astype(np.float64)


def _solve(sent: Floats, off: Floats, copies: Floats, choice: FitChoice) -> tuple[Floats, Floats]:
    """Return each patch's pull, and what the others predict of it when it is left out."""
    from scipy.linalg import cho_factor, cho_solve

    covariance = _kernel(sent, sent, choice.length) + np.diag(choice.noise / copies)
    inverse = cho_solve(cho_factor(covariance), np.eye(len(sent)))
    pull: Floats = inverse @ off
    return pull, off - pull / np.diag(inverse)[:, None]


def _kernel(a: Floats, b: Floats, length: float) -> Floats:
    from scipy.spatial.distance import cdist

    far = np.sqrt(3.0) / length * cdist(a, b)
    shares: Floats = (1.0 + far) * np.exp(-far)
    return shares
