"""How evenly was the sheet lit? The white patches say; their light is taken out of every patch.

In: patch readings in the scanner's own values, 0 to 1. Out: readings divided by what plain paper
would read at the same place, channel by channel, so that paper is 1 everywhere.

Fall-off multiplies light; a scanner's values are a power of light, or nearly; so it multiplies the
values too and can be divided out before anything is known about the scanner. The field is a
polynomial of third order in x and y through the logarithms of the white patches' readings, fitted
so that a white patch with a hair on it counts for little. Not done here: flare from neighbours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats
from palette.chart import ChartList
from palette.scan.sample import PatchReadings

_ORDER = 3
_ROUNDS = 5


@dataclass(frozen=True, slots=True, eq=False)
class LightField:
    """What plain paper reads anywhere on the sheet.

    Attributes:
        terms: (10, 3) coefficients of the logarithm, channel by channel.
        size_mm: the paper, which the polynomial's x and y are scaled by.
        falloff: 1 - darkest / lightest over the white patches, 0 to 1.
        rest: the share by which white patches still differ from the field, 95 % of them within.
    """

    terms: Floats
    size_mm: tuple[float, float]
    falloff: float
    rest: float

    def at(self, places_mm: Floats) -> Floats:
        """Return what paper reads at (n, 2) places, (n, 3)."""
        values: Floats = np.exp(_powers(places_mm, self.size_mm) @ self.terms)
        return values


def light_field(readings: PatchReadings, chart: ChartList) -> LightField:
    """Return the field through the white patches that are in the picture."""
    used = chart.white & readings.seen
    places = chart.centres_mm[used]
    logs = np.log(np.maximum(readings.values[used], 1e-3))
    powers = _powers(places, chart.paper_mm)
    weight = np.ones(len(logs))
    terms = np.zeros((powers.shape[1], 3))
    for _ in range(_ROUNDS):
        root = np.sqrt(weight)[:, None]
        terms = np.linalg.lstsq(powers * root, logs * root, rcond=None)[0]
        off = np.abs(logs - powers @ terms).max(axis=1)
        scale = max(1.5 * float(np.median(off)), 1e-4)
        weight = 1.0 / (1.0 + (off / scale) ** 2)
    level = (powers @ terms).mean(axis=1)
    rest = np.percentile(np.abs(logs - powers @ terms).max(axis=1), 95.0)
    return LightField(terms, chart.paper_mm, float(1.0 - np.exp(-np.ptp(level))), float(rest))


def _powers(places_mm: Floats, size_mm: tuple[float, float]) -> Floats:
    x, y = (places_mm / np.array(size_mm) * 2.0 - 1.0).T
    terms = [x**i * y**j for i in range(_ORDER + 1) for j in range(_ORDER + 1 - i)]
    return np.stack(terms, axis=1)
