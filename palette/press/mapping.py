"""Where does a colour go that cannot be printed? To the printable one that looks most like it.

In and out: lightness, chroma, hue (radians) in OKLab times 100, (n, 3), and a ``Gamut``. Colours
inside stay as they are. The others go to the point of the gamut's skin with the least weighted
difference ::

    light · dL² + chroma · dC² + hue · dH²,   dH² = 2 C C' (1 − cos Δh)

``PROFILE`` weighs hue most, then chroma, and in the dark lightness least, as the tables of printer
profiles come closest to: see ``benchmarks/gamut.py`` for the comparison. ``HUE_KEEPING`` does not
let the hue move at all.

Source: minimum weighted colour difference clipping (Katoh and Ito 1996; CIE 156:2004, 4.2), and its
hue-preserving form, HPMINDE, CIE 156:2004's baseline; both in OKLab rather than CIELAB because the
latter's blues turn purple. Not done here: compression of printable colours, as perceptual
tables do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.arrays import Floats
from palette.press.gamut import Gamut


@dataclass(frozen=True, slots=True)
class Weights:
    """What a step in lightness, chroma and hue costs when a colour must move.

    Attributes:
        light: of lightness.
        dark: of lightness where the colour asked for is dark.
        chroma: of chroma.
        hue: of hue.
        hue_moves: whether the hue may move at all.
    """

    light: float
    dark: float
    chroma: float
    hue: float
    hue_moves: bool = True


PROFILE = Weights(light=1.0, dark=0.25, chroma=1.5, hue=5.0)
HUE_KEEPING = Weights(light=1.0, dark=1.0, chroma=1.5, hue=0.0, hue_moves=False)
_DARK, _LIGHT = 20.0, 45.0  # OKLab lightness: where ``dark`` counts, and where ``light`` does

# the search: along the lightness at first, then about the best in steps that halve
_REACH_LIGHT = 42.0
_SPOTS = 7
_FIRST_STEP = (7.0, 0.16)  # lightness, radians
_ROUNDS = 6
_AT_ONCE = 2048  # colours: more would leave the processor's cache


def clip(gamut: Gamut, lch: Floats, weights: Weights = PROFILE) -> Floats:
    """Return the (n, 3) lightness, chroma, hue moved into the gamut."""
    moved = lch.copy()
    outside = np.flatnonzero(~gamut.holds(lch))
    for first in range(0, len(outside), _AT_ONCE):
        rows = outside[first : first + _AT_ONCE]
        moved[rows] = _search(gamut, lch[rows], weights)
    return moved


def _search(gamut: Gamut, target: Floats, weights: Weights) -> Floats:
    """Seek the least cost along the target's own hue, then about the best so far."""
    reach = np.linspace(-_REACH_LIGHT, _REACH_LIGHT, _SPOTS)
    best = target[:, [0, 2]]
    best = _cheapest(gamut, target, best[:, None, :] + _grid(reach, np.zeros(1)), weights)
    turns = np.array([-1.0, 0.0, 1.0]) if weights.hue_moves else np.zeros(1)
    around = _grid(np.array([-1.0, 0.0, 1.0]), turns) * _FIRST_STEP
    for halving in range(_ROUNDS):
        best = _cheapest(gamut, target, best[:, None, :] + around / 2**halving, weights)
    chroma = _best_chroma(gamut, target, best[:, None, :], weights)[0][:, 0]
    return np.stack([best[:, 0], chroma, best[:, 1] % (2.0 * np.pi)], axis=1)


def _grid(first: Floats, second: Floats) -> Floats:
    return np.stack(np.meshgrid(first, second, indexing="ij"), axis=-1).reshape(-1, 2)


def _cheapest(gamut: Gamut, target: Floats, spots: Floats, weights: Weights) -> Floats:
    """Return the (n, 2) lightness and hue of least cost among (n, m, 2)."""
    spots[..., 0] = np.clip(spots[..., 0], 0.0, 100.0)
    light, chroma = (target[:, i, None] for i in range(2))
    reach, turn = _best_chroma(gamut, target, spots, weights)
    of_light = np.interp(light, [_DARK, _LIGHT], [weights.dark, weights.light])
    cost = (
        of_light * (spots[..., 0] - light) ** 2
        + weights.chroma * (reach - chroma) ** 2
        + weights.hue * 2.0 * chroma * reach * turn
    )
    best: Floats = spots[np.arange(len(spots)), np.argmin(cost, axis=1)]
    return best


def _best_chroma(
    gamut: Gamut, target: Floats, spots: Floats, weights: Weights
) -> tuple[Floats, Floats]:
    """Return the printable chroma of least cost at each of (n, m, 2) lightness and hue.

    And 1 − cos Δh there, of which the cost of the hue is made as well.
    """
    chroma, hue = target[:, 1, None], target[:, 2, None]
    turn = 1.0 - np.cos(spots[..., 1] - hue)
    ideal = np.maximum(chroma * (1.0 - weights.hue / weights.chroma * turn), 0.0)
    return np.minimum(ideal, gamut.limit(spots[..., 0], spots[..., 1])), turn
