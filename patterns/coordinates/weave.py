"""Bands across and bands down: stripes, gingham, windowpane, tartan, checks and grids.

Where a band across meets a band down, two inks lie in equal parts, as threads of cloth do; their
light is mixed. What a pixel shows is then a sum of products of shares along the two axes, which is
exact: all edges run along the pixels' own. Turned by any angle, stripes and cloth are exact too,
because there light from across and light from down just add up; lines that lie over each other do
not.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats32
from patterns.coordinates.bands import Bands, Profile
from patterns.coordinates.cells import Cells, shares_between


@dataclass(frozen=True, slots=True)
class Weave:
    """Bands that cross.

    Attributes:
        across: bands side by side, along x.
        down: bands one under the other, along y.
        crossings: by the numbers of the band down and the band across, the two inks that lie there
            in equal parts; one ink alone is named twice.
        centre_mm: a point (x, y) about which it looks the same on both sides.
    """

    across: Bands
    down: Bands
    crossings: tuple[tuple[tuple[int, int], ...], ...]
    centre_mm: tuple[float, float] = (0.0, 0.0)

    @property
    def size_mm(self) -> tuple[float, float]:
        """One repeat's width and height."""
        return self.across.period_mm, self.down.period_mm

    @property
    def narrowest_mm(self) -> float:
        """Its finest band."""
        sides = [bands for bands in (self.across, self.down) if len(set(bands.inks)) > 1]
        return min(bands.narrowest_mm for bands in sides)

    def light(self, across: Cells, down: Cells, inks: Floats32) -> Floats32:
        """Return the light of pixels, (rows, columns, 3), of inks (n, 3) in linear light."""
        columns, rows = self.across.shares(across), self.down.shares(down)
        out: Floats32 = np.zeros((down.count, across.count, 3), np.float32)
        for j, covered in rows.items():
            mixed = np.zeros((across.count, 3))
            for i, share in columns.items():
                a, b = self.crossings[j][i]
                mixed += share[:, None] * (0.5 * inks[a] + 0.5 * inks[b])
            out += covered.astype(np.float32)[:, None, None] * mixed.astype(np.float32)
        return out

    @property
    def adds_up(self) -> bool:
        """Tell whether its light is that of bands across plus that of bands down."""
        return len(self.crossings) == 1 or self.crossings == woven(len(self.crossings))

    def turned_light(self, across: Cells, down: Cells, angle: float, inks: Floats32) -> Floats32:
        """Return ``light`` of what ``adds_up``, turned clockwise about 0, 0.

        Args:
            across: the columns of pixels.
            down: their rows.
            angle: in radians, no whole quarter turn.
            inks: (n, 3) in linear light.
        """
        x, y = across.edges(), down.edges()[:, None]
        cos, sin = math.cos(angle), math.sin(angle)
        plain = len(self.crossings) == 1  # stripes have bands across alone
        light: Floats32 = np.zeros((down.count, across.count, 3), np.float32)
        for bands, at, tilt in (
            (self.across, x * cos + y * sin, cos * sin),
            (self.down, y * cos - x * sin, -cos * sin),
        )[: 1 if plain else 2]:
            weight = np.float32(1.0 if plain else 0.5)
            for ink in sorted(set(bands.inks)):
                profile = Profile.of(bands, ink)
                share = shares_between(profile.second(at) / tilt, across, down) + profile.mean
                light += share.astype(np.float32)[..., None] * (weight * inks[ink])
        return light


def woven(number: int) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Return the crossings of cloth: each ink pure with itself, half and half with another."""
    return tuple(tuple((j, i) for i in range(number)) for j in range(number))
