"""Scales that overlap in rows: what each of their arches covers of each pixel, exactly.

A scale is an arch: the upper half of a disc and the column below it. Each row lies half a scale
lower than the one behind it, in front of it, and half a scale to the side. Down to a row's own
middle line nothing hides its arches; below it, the row in front hides what lies under its tops. So
in each band of half a scale's height there are two shapes with edges, the tops of one row and the
same row's tops as they cut the columns of the row behind, both of them parts of discs with
formulas (``patterns.coordinates.discs``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from palette.arrays import Floats, Floats32
from patterns.coordinates.cells import Cells, mixed_light, repeats_about, shares_between
from patterns.coordinates.discs import quadrant, segment


@dataclass(frozen=True, slots=True)
class Scallops:
    """Scales, each with arches inside it.

    Attributes:
        width_mm: of a scale; one repeat is as wide and as high.
        rings: from the outside in, each arch's radius as a share of the scale's and its ink; the
            first is the scale itself, 1.
    """

    width_mm: float
    rings: tuple[tuple[float, int], ...]

    @property
    def size_mm(self) -> tuple[float, float]:
        """One repeat's width and height."""
        return self.width_mm, self.width_mm

    @property
    def centre_mm(self) -> tuple[float, float]:
        """The middle of a scale."""
        return 0.0, 0.0

    @property
    def narrowest_mm(self) -> float:
        """The narrowest ring."""
        radii = [share * self.width_mm / 2.0 for share, _ in self.rings]
        rings = [outer - inner for outer, inner in pairwise(radii)]
        return min([*rings, 2.0 * radii[-1]])

    def light(self, across: Cells, down: Cells, inks: Floats32) -> Floats32:
        """Return the light of pixels, (rows, columns, 3), of inks (n, 3) in linear light."""
        radii = [share * self.width_mm / 2.0 for share, _ in self.rings[1:]]
        shares = self._shares(across, down, radii)
        steps = [inks[inner] - inks[outer] for (_, outer), (_, inner) in pairwise(self.rings)]
        return mixed_light(inks[self.rings[0][1]], zip(shares, steps, strict=True))

    def _shares(self, across: Cells, down: Cells, radii: Sequence[float]) -> list[Floats]:
        """Return what is seen of the arches of each radius, (rows, columns)."""
        scale = self.width_mm / 2.0
        x, y = across.edges(), down.edges()
        rows = [_Row(*repeats_about(x - side, self.width_mm), scale) for side in (0.0, scale)]
        band = np.floor(y / scale)  # between the middle lines of two rows, ``band`` and the next
        below = y - band * scale
        areas = [np.empty((len(y), len(x))) for _ in radii]
        for front, behind in ((0, 1), (1, 0)):
            here = (band + 1.0) % 2.0 == front
            deep = below[here]
            covered = rows[behind].covered(deep - scale)
            for area, radius in zip(areas, radii, strict=True):
                area[here] = rows[front].tops(deep - scale, radius)
                area[here] += rows[behind].columns(deep, covered, radius)
        for side, row in enumerate(rows):  # rows that end above the band
            count = np.floor((band - 1.0 - side) / 2.0) + 1.0
            covered = row.covered(np.zeros(1))
            for number, radius in enumerate(radii):
                whole = row.columns(np.array([scale]), covered, radius)
                areas[number] += np.multiply.outer(count, whole[0])
        return [shares_between(area, across, down) for area in areas]


@dataclass(frozen=True, eq=False)
class _Row:
    """One row of scales: covered areas up to each x, from its first scale on.

    Attributes:
        turns: how many whole scales lie before each x.
        x: the place of each about the middle of its scale.
        scale: a scale's radius.
    """

    turns: Floats
    x: Floats
    scale: float

    def tops(self, y: Floats, radius: float) -> Floats:
        """Return the area of arches above each y, which is 0 at most, (rows, columns)."""
        cut = quadrant(self.x, y, radius)
        cut += np.multiply.outer(segment(y, radius), self.turns)
        return cut

    def covered(self, y: Floats) -> Floats:
        """Return the area of the tops in front above each y of theirs, (rows, columns).

        Up to each x from a scale before it on, so that differences within one scale's width count.
        """
        right = self.x >= 0.0
        cut = quadrant(np.where(right, self.x - self.scale, self.x + self.scale), y, self.scale)
        cut += np.multiply.outer(segment(y, self.scale), right)
        return cut

    def columns(self, deep: Floats, covered: Floats, radius: float) -> Floats:
        """Return the area of arches to ``deep`` below their middle line, less what is covered."""
        wide = np.clip(self.x, -radius, radius) + radius + 2.0 * radius * self.turns
        seen = np.multiply.outer(deep, wide) + self.tops(np.zeros(1), radius)
        y = deep - self.scale
        left, right = self._ends(y, radius)
        outside = np.abs(self.x) > radius
        hidden = covered - left[:, None]
        hidden[:, outside] = np.multiply.outer(right - left, self.x[outside] > 0.0)
        hidden += np.multiply.outer(right - left, self.turns)
        seen -= hidden
        return seen

    def _ends(self, y: Floats, radius: float) -> tuple[Floats, Floats]:
        """Return what ``covered`` says at an arch's left end and at its right end."""
        left = quadrant(np.array([self.scale - radius]), y, self.scale)[:, 0]
        return left, 2.0 * segment(y, self.scale) - left
