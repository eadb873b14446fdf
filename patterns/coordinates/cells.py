"""Printer pixels along one axis, in millimetres, and areas between their edges.

In: where the first pixel begins, how wide each is, how many there are. Out: their edges; and from a
cumulative area at the corners of a grid of pixels, each pixel's own: what a figure covers of a
pixel is the difference of what it covers up to the pixel's four corners, exactly (summed areas,
after Crow, "Summed-area tables for texture mapping", SIGGRAPH 1984, but with formulas for a table).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32


@dataclass(frozen=True, slots=True)
class Cells:
    """Pixels along one axis.

    Attributes:
        start_mm: where the first begins.
        pitch_mm: each one's width.
        count: how many.
    """

    start_mm: float
    pitch_mm: float
    count: int

    def edges(self) -> Floats:
        """Return the (count + 1,) edges in mm."""
        edges: Floats = self.start_mm + np.arange(self.count + 1, dtype=np.float64) * self.pitch_mm
        return edges


def repeats_about(at: Floats, period_mm: float) -> tuple[Floats, Floats]:
    """Return how many whole repeats lie before each place, and its place about a middle, in mm."""
    turns = np.floor(at / period_mm + 0.5)
    return turns, at - turns * period_mm


def shares_between(areas: Floats, across: Cells, down: Cells) -> Floats:
    """Return each pixel's covered share, 0 to 1, (down.count, across.count).

    Args:
        areas: covered area up to each corner, mm², (down.count + 1, across.count + 1).
        across: the columns.
        down: the rows.
    """
    bands = np.diff(areas, axis=0)
    shares: Floats = np.diff(bands, axis=1)
    shares /= across.pitch_mm * down.pitch_mm
    return shares


def mixed_light(ground: Floats32, over: Iterable[tuple[Floats, Floats32]]) -> Floats32:
    """Return the light of pixels that show a ground and, by their shares, other inks.

    Args:
        ground: linear light of the ground's ink, (3,).
        over: for each other ink its share of every pixel, (rows, columns), and how its light
            differs from that of what it takes the place of, (3,). At least one.
    """
    light: Floats32 | None = None
    for share, change in over:
        if light is None:
            light = np.empty((*share.shape, 3), np.float32)
            light[:] = ground
        light += share.astype(np.float32)[..., None] * change
    assert light is not None
    return light
