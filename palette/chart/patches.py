"""Which colours does a chart need? Few, and spread so that each tells something new.

Out: sRGB uint8 triples as they are sent to the printer, (n, 3): a home printer takes RGB, whatever
inks it has. They are chosen one by one, each as far as can be from all before it, half in what is
sent (RGB) and half in how it looks (CIELAB), from eleven levels a channel; the corners of the cube
come first. So a shorter chart is the start of a longer one.

How many: ``benchmarks/chart.py`` prints the error against their number. From 100 to 180 it still
falls by a quarter; from 180 to 300 by less than 0.1 CIEDE2000 where the driver changes nothing
overall, by up to 0.2 elsewhere. 180 fit on an A5 sheet in patches that a scanner reads at 150 dpi:
so 180 it is, with 17 greys and at least twenty times plain paper.

Source: farthest-point sampling (Gonzalez 1985). Not done here: where they lie on the paper.
"""

from __future__ import annotations

from functools import cache
from itertools import product

import numpy as np

from palette.arrays import Floats, Pixels
from palette.space import srgb_to_lab

COLOURS = 180
GREYS = 17
WHITES = 20  # at least; a sheet's spare cells are white too
_LEVELS = 11
_LAB_SCALE = 80.0  # makes a step in CIELAB weigh as much as one in RGB


@cache
def chart_colours(count: int = COLOURS) -> Pixels:
    """Return the first ``count`` patch colours, (count, 3), without white and black.

    Raises:
        ValueError: more than the candidates hold.
    """
    levels = np.rint(np.linspace(0.0, 255.0, _LEVELS))
    candidates = np.array(list(product(levels, repeat=3)))
    places = np.concatenate(
        [candidates / 255.0, srgb_to_lab(candidates / 255.0) / _LAB_SCALE], axis=1
    )
    ends = [0, len(candidates) - 1]  # black and white belong to the ramp
    corners = [i for i in range(len(candidates)) if np.isin(candidates[i], (0.0, 255.0)).all()]
    chosen = [*ends, *(i for i in corners if i not in ends)]
    if count > len(candidates) - len(ends):
        raise ValueError(f"at most {len(candidates) - len(ends)} patches can be chosen")
    nearest = _to(places, chosen).min(axis=1)
    while len(chosen) < count + len(ends):
        chosen.append(int(np.argmax(nearest)))
        nearest = np.minimum(nearest, _to(places, chosen[-1:])[:, 0])
    colours = candidates[chosen[len(ends) : count + len(ends)]].astype(np.uint8)
    colours.setflags(write=False)
    return colours


def _to(places: Floats, chosen: list[int]) -> Floats:
    """Return the squared distances, rounded so that no platform breaks ties its own way."""
    steps = places[:, None, :] - places[chosen][None, :, :]
    squared: Floats = np.round((steps**2).sum(axis=2), 9)
    return squared


def grey_ramp() -> Pixels:
    """Return the neutral ramp from paper white to black, (GREYS, 3)."""
    levels = np.rint(np.linspace(255.0, 0.0, GREYS)).astype(np.uint8)
    return np.repeat(levels[:, None], 3, axis=1)
