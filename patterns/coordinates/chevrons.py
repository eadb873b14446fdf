"""Zigzag bands: what they cover of each pixel, exactly.

At each x the bands lie shifted down by the zigzag, which is straight between its turns. What a band
covers of a pixel is an integral along y of its profile and along x of its shift; along a straight
piece both are differences of the profile's second antiderivative, a parabola in each band.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32
from patterns.coordinates.bands import Bands, Profile
from patterns.coordinates.cells import Cells, mixed_light, shares_between


@dataclass(frozen=True, slots=True)
class Chevrons:
    """Bands one under the other, shifted by a zigzag.

    Attributes:
        down: the bands at x = 0, where the zigzag is highest.
        width_mm: from one peak to the next.
        slope: how steeply it falls and rises, mm to the mm.
    """

    down: Bands
    width_mm: float
    slope: float

    @property
    def size_mm(self) -> tuple[float, float]:
        """One repeat's width and height."""
        return self.width_mm, self.down.period_mm

    @property
    def centre_mm(self) -> tuple[float, float]:
        """A peak, in the middle of the second band's fall."""
        return 0.0, self.down.middle_mm(1) - self.slope * self.width_mm / 4.0

    @property
    def narrowest_mm(self) -> float:
        """Its finest band, measured across it."""
        return self.down.narrowest_mm / math.hypot(1.0, self.slope)

    def light(self, across: Cells, down: Cells, inks: Floats32) -> Floats32:
        """Return the light of pixels, (rows, columns, 3), of inks (n, 3) in linear light."""
        first, *others = sorted(set(self.down.inks))
        over = ((self._shares(across, down, ink), inks[ink] - inks[first]) for ink in others)
        return mixed_light(inks[first], over)

    def _shares(self, across: Cells, down: Cells, ink: int) -> Floats:
        profile = Profile.of(self.down, ink)
        edges = across.edges()
        turns = np.floor(edges / self.width_mm)
        within = edges - turns * self.width_mm
        falls = within <= self.width_mm / 2.0
        shift = self.slope * np.where(falls, within, self.width_mm - within)
        y = down.edges()[:, None]
        top = profile.second(y)
        half = top - profile.second(y - self.slope * self.width_mm / 2.0)
        piece = top - profile.second(y - shift)
        areas = np.where(falls, piece, 2.0 * half - piece) + half * (2.0 * turns)
        shares: Floats = shares_between(areas / self.slope, across, down)
        shares += profile.mean
        return shares
