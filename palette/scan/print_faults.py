"""Does the print itself look right? Bands of a clogged nozzle, paper at the end of the scale.

In: the straightened sheet and the ``ChartList``. Out: ``PrintFaults``, three measures that are near
0 for a sound print in a sound scan. They spoil a reading a little without stopping it, so nothing
is refused here; whether they are worth telling is said by the limits below.

``banding``: in patches dark enough, the mean of each row of pixels against the patch's straight
line, less what noise alone would give, as a share of the patch's depth; likewise columns, since a
sheet may be fed either way; the middle patch counts. Bands run one way, so the other way is taken
for what the scan does by itself. ``overexposed``: the share of plain paper's pixels that are at the
end of the scale: paler colours then read as paper.

Limits are kitloom's own choice, set where a reading begins to move; common practice, no published
source. Not done here: ink that is patchy over the sheet (``palette.chart.evenness``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats
from palette.chart import ChartList
from palette.scan.sample import PatchReadings, Straightened, inner_pixels

BANDING = 0.015
ONE_WAY = 3.0  # times more than the other way
OVEREXPOSED = 0.01
_DEEP = 60.0  # of 255, between paper and patch
_TOP = 255


@dataclass(frozen=True, slots=True)
class PrintFaults:
    """What is wrong with a print or its scan, short of refusing it.

    Attributes:
        banding: share of a patch's depth by which its rows of pixels differ.
        banded: whether that is a print with bands.
        overexposed: share of plain paper's pixels that are at the end of the scale.
        burnt: whether that is worth telling.
    """

    banding: float
    banded: bool
    overexposed: float
    burnt: bool


def print_faults(sheet: Straightened, readings: PatchReadings, chart: ChartList) -> PrintFaults:
    """Return what is wrong with a print, as far as its patches show."""
    paper = np.median(readings.values[chart.white], axis=0) * 255.0
    ways = [
        ripples
        for box in chart.boxes_mm[~chart.white]
        for ripples in (_ripples(inner_pixels(sheet, box).astype(np.float64), paper),)
        if ripples is not None
    ]
    across, down = np.median(np.array(ways), axis=0) if ways else (0.0, 0.0)
    most, least = max(across, down), min(across, down)
    burnt = [
        float((inner_pixels(sheet, box) == _TOP).any(axis=2).mean())
        for box in chart.boxes_mm[chart.white]
    ]
    over = float(np.mean(burnt)) if burnt else 0.0
    return PrintFaults(
        banding=float(most),
        banded=bool(most > BANDING and most > ONE_WAY * least),
        overexposed=over,
        burnt=over > OVEREXPOSED,
    )


def _ripples(pixels: Floats, paper: Floats) -> tuple[float, float] | None:
    """Return how much rows and columns of a patch differ, as shares of its depth."""
    if min(pixels.shape[:2]) < 6:
        return None
    depth = paper - pixels.mean(axis=(0, 1))
    channel = int(np.argmax(depth))
    if depth[channel] < _DEEP:
        return None
    one = pixels[..., channel]
    return _ripple(one) / float(depth[channel]), _ripple(one.T) / float(depth[channel])


def _ripple(one: Floats) -> float:
    """Return the standard deviation of rows' means about a straight line, less the noise's."""
    means = one.mean(axis=1)
    at = np.arange(len(means)) - (len(means) - 1) / 2.0
    off = means - means.mean() - at * (at @ means) / (at @ at)
    noise = (one - means[:, None]).var() / one.shape[1]
    return float(np.sqrt(max((off**2).mean() - noise, 0.0)))
