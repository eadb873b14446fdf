"""Parallel bands that repeat without end: how much of each pixel along an axis has which ink?

In: widths in millimetres, each with the number of an ink. Out: shares, exact: the length of a band
inside a pixel is the difference of its running length at the pixel's two edges.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats
from patterns.coordinates.cells import Cells


@dataclass(frozen=True, slots=True)
class Bands:
    """One repeat of bands, from 0 on; it repeats both ways.

    Attributes:
        widths_mm: each band's width, above 0.
        inks: the number of each band's ink, from 0.
    """

    widths_mm: tuple[float, ...]
    inks: tuple[int, ...]

    @classmethod
    def of(cls, parts: Sequence[tuple[float, int]], period_mm: float) -> Bands:
        """Return bands of relative widths, each with its ink, that fill a period."""
        unit = period_mm / sum(width for width, _ in parts)
        return cls(tuple(width * unit for width, _ in parts), tuple(ink for _, ink in parts))

    @property
    def period_mm(self) -> float:
        """After how much it repeats."""
        return sum(self.widths_mm)

    @property
    def narrowest_mm(self) -> float:
        """The narrowest band's width."""
        return min(self.widths_mm)

    @property
    def bounds_mm(self) -> Floats:
        """Where bands begin, and the last one ends: (bands + 1,)."""
        return np.concatenate([[0.0], np.cumsum(self.widths_mm)])

    def middle_mm(self, number: int) -> float:
        """Return the middle of a band."""
        return float(sum(self.widths_mm[:number]) + self.widths_mm[number] / 2.0)

    def shares(self, cells: Cells) -> dict[int, Floats]:
        """Return by ink what it covers of each pixel, 0 to 1, (count,); together 1."""
        edges, bounds = cells.edges(), self.bounds_mm
        turns = np.floor(edges / bounds[-1])
        within = edges - turns * bounds[-1]
        covered = {}
        for ink in sorted(set(self.inks)):
            own = [w if i == ink else 0.0 for w, i in zip(self.widths_mm, self.inks, strict=True)]
            length = np.concatenate([[0.0], np.cumsum(own)])
            up_to = turns * length[-1] + np.interp(within, bounds, length)
            covered[ink] = np.diff(up_to) / cells.pitch_mm
        return covered


@dataclass(frozen=True, eq=False)
class Profile:
    """One ink's share along bands, 1 or 0, less its mean, and its antiderivatives.

    Bands that lie slanted to the pixels are areas between slanted lines; along two sides their
    integral is the second antiderivative. Each antiderivative has a mean of 0, so that it repeats
    as the bands do.

    Attributes:
        bounds: where bands begin, and the last one ends, in mm.
        height: the share less its mean, in each band.
        first: its antiderivative where each band begins.
        second_at: that one's antiderivative there.
        mean: the ink's share of all.
    """

    bounds: Floats
    height: Floats
    first: Floats
    second_at: Floats
    mean: float

    @classmethod
    def of(cls, bands: Bands, ink: int) -> Profile:
        """Return the profile of an ink of some bands."""
        widths = np.array(bands.widths_mm)
        own = np.array([one == ink for one in bands.inks], dtype=np.float64)
        mean = float(own @ widths / widths.sum())
        height = own - mean
        first = np.concatenate([[0.0], np.cumsum(height * widths)])[:-1]
        first -= float((first * widths + height * widths**2 / 2.0).sum() / widths.sum())
        steps = first * widths + height * widths**2 / 2.0
        second = np.concatenate([[0.0], np.cumsum(steps)])[:-1]
        return cls(bands.bounds_mm, height, first, second, mean)

    def second(self, at: Floats) -> Floats:
        """Return the second antiderivative at each place, of the same shape."""
        within = at - np.floor(at / self.bounds[-1]) * self.bounds[-1]
        band = np.searchsorted(self.bounds[1:-1], within, side="right")
        over = within - self.bounds.take(band)
        value: Floats = self.height.take(band) / 2.0
        value *= over
        value += self.first.take(band)
        value *= over
        value += self.second_at.take(band)
        return value
