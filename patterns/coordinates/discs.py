"""Dots that repeat: what discs cover of each pixel, exactly.

The area of a disc left of x and above y has a formula; its terms are circular segments along each
axis, so that only sums and products are left to do for each corner of a pixel.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32
from patterns.coordinates.cells import Cells, mixed_light, repeats_about, shares_between


def segment(x: Floats, radius: float) -> Floats:
    """Return the area of a disc about 0 that lies left of each x."""
    at = np.clip(x / radius, -1.0, 1.0)
    area: Floats = radius**2 * (at * np.sqrt(1.0 - at * at) + np.arcsin(at) + math.pi / 2.0)
    return area


def quadrant(x: Floats, y: Floats, radius: float) -> Floats:
    """Return the area of a disc about 0, 0 that lies left of each x and above each y.

    Args:
        x: (columns,).
        y: (rows,).
        radius: above 0.

    Returns:
        (rows, columns), in the square of the unit.
    """
    whole = math.pi * radius**2
    left, above = segment(x, radius), segment(y, radius)
    right, below = (x > 0.0).astype(np.float64), (y > 0.0).astype(np.float64)
    # outside the circle, segments alone are cut off; inside, a corner of the quadrant is too
    area: Floats = np.multiply.outer(above, right)
    if below.any():
        area += np.multiply.outer(below, left - whole * right)
    inside = np.add.outer(y * y, x * x) < radius**2
    corner = np.multiply.outer(y, x) + np.add.outer(above / 2.0 - whole / 4.0, left / 2.0)
    np.copyto(area, corner, where=inside)
    return area


@dataclass(frozen=True, slots=True)
class Dots:
    """Dots on a ground, ink 0.

    Attributes:
        size_mm: one repeat's width and height.
        radius_mm: each dot's; less than half of either.
        dots: for each dot of a repeat its centre in mm and its ink.
    """

    size_mm: tuple[float, float]
    radius_mm: float
    dots: tuple[tuple[tuple[float, float], int], ...]

    @property
    def centre_mm(self) -> tuple[float, float]:
        """The middle of a dot."""
        return self.dots[0][0]

    @property
    def narrowest_mm(self) -> float:
        """A dot's width, or the ground between two where that is less."""
        apart = [
            math.dist(a, (b[0] + i * self.size_mm[0], b[1] + j * self.size_mm[1]))
            for a, _ in self.dots
            for b, _ in self.dots
            for i in (-1, 0, 1)
            for j in (-1, 0, 1)
        ]
        nearest = min(far for far in apart if far > 1e-9)
        return min(2.0 * self.radius_mm, nearest - 2.0 * self.radius_mm)

    def light(self, across: Cells, down: Cells, inks: Floats32) -> Floats32:
        """Return the light of pixels, (rows, columns, 3), of inks (n, 3) in linear light."""
        over = (
            (self._shares(across, down, centre), inks[ink] - inks[0]) for centre, ink in self.dots
        )
        return mixed_light(inks[0], over)

    def _shares(self, across: Cells, down: Cells, centre: tuple[float, float]) -> Floats:
        (wide, high), radius = self.size_mm, self.radius_mm
        i, x = repeats_about(across.edges() - centre[0], wide)
        j, y = repeats_about(down.edges() - centre[1], high)
        left, above = segment(x, radius), segment(y, radius)
        # whole dots to the upper left, then columns and rows of them that are cut, then this one
        areas = np.multiply.outer(j * math.pi * radius**2 + above, i)
        areas += np.multiply.outer(j, left)
        areas += quadrant(x, y, radius)
        return shares_between(areas, across, down)
