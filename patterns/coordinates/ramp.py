"""A gradient: one colour passes into the next and comes back, without a step or an edge.

In: a period in millimetres and a direction. Out: the mean light of each pixel, exact for the curve
that is drawn: straight in linear light between ``NODES`` places from colour to colour, and these
lie at even distances in OKLab, so that the passage looks even and no hue comes in between. It
repeats as its own mirror image, so that it may run on into the bleed and from sticker to sticker.

Over a box's height neighbouring printer pixels differ by one level of 255 at most, the least that a
file holds, so no noise is added to hide steps (common practice, no published source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats, Floats32
from palette.space import (
    compand,
    lab_to_oklab,
    lab_to_srgb,
    linear,
    oklab_to_lab,
    srgb_to_lab,
)
from patterns.coordinates.cells import Cells
from patterns.plane.linear_light import FULL

NODES = 64


@dataclass(frozen=True, slots=True)
class Ramp:
    """Colours that pass into one another, from the first to the last and back.

    Attributes:
        period_mm: from the first colour to the next time that it is there.
        is_upright: whether it runs down the sticker; else from left to right.
    """

    period_mm: float
    is_upright: bool = True

    @property
    def size_mm(self) -> tuple[float, float]:
        """One repeat's width and height; along its other side it is the same everywhere."""
        return self.period_mm, self.period_mm

    @property
    def centre_mm(self) -> tuple[float, float]:
        """The middle of the passage from the first colour to the last."""
        return self.period_mm / 4.0, self.period_mm / 4.0

    @property
    def narrowest_mm(self) -> float:
        """From one colour's purest place to the other's: nothing in it is finer."""
        return self.period_mm / 2.0

    def light(self, across: Cells, down: Cells, inks: Floats32) -> Floats32:
        """Return the light of pixels, (rows, columns, 3), of inks (n, 3) in linear light."""
        line = self._line(down if self.is_upright else across, inks)
        along = line[:, None] if self.is_upright else line[None]
        return np.broadcast_to(along, (down.count, across.count, 3)).astype(np.float32)

    def _line(self, cells: Cells, inks: Floats32) -> Floats:
        """Return the mean light of pixels along it, (count, 3)."""
        nodes = _passage(inks)
        at = np.linspace(0.0, self.period_mm, len(nodes))
        step = at[1]
        whole = np.concatenate([[[0.0] * 3], np.cumsum((nodes[1:] + nodes[:-1]) * step / 2.0, 0)])
        edges = cells.edges()
        turns = np.floor(edges / self.period_mm)
        within = edges - turns * self.period_mm
        node = np.minimum((within / step).astype(np.intp), len(nodes) - 2)
        over = (within - at[node])[:, None]
        slope = (nodes[node + 1] - nodes[node]) / step
        up_to = turns[:, None] * whole[-1] + whole[node] + over * (nodes[node] + slope * over / 2.0)
        mean: Floats = np.diff(up_to, axis=0) / cells.pitch_mm
        return mean


def _passage(inks: Floats32) -> Floats:
    """Return the light at even places from the first ink to the last and back, (n, 3)."""
    srgb = compand(np.asarray(inks, dtype=np.float64) / FULL)
    ok = lab_to_oklab(srgb_to_lab(np.rint(srgb * 255.0).astype(np.uint8)))
    there = np.concatenate([[*range(len(ok))], [*range(len(ok) - 2, -1, -1)]])
    places = np.linspace(0.0, len(there) - 1.0, NODES * (len(there) - 1) + 1)
    mixed = np.stack([np.interp(places, np.arange(len(there)), ok[there, k]) for k in range(3)], -1)
    light: Floats = linear(np.clip(lab_to_srgb(oklab_to_lab(mixed)), 0.0, 1.0)) * FULL
    return light
