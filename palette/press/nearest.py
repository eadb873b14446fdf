"""Which printable colour should stand for one that is not? The nearest, of all or of its own hue.

In and out: CIELAB (D50), (n, 3). ``nearest_of_all`` starts at the colour's own print and looks
about it along the skin of the gamut for less CIEDE2000; where its own print prints as it is seen,
nothing farther off is taken. It answers in sRGB's 256 steps, and keeps nine tenths of its own
print's chroma: over large differences CIEDE2000 would take a grey for a vivid blue.
``nearest_of_hue`` goes to the edge along the colour's own hue and from there inwards until the
press prints it as it is seen: a profile's table falls a little short of the edge.

Source: least colour difference and HPMINDE, CIE 156:2004, the latter in OKLab (see
``palette.press.mapping``).
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

import numpy as np

from palette.arrays import Floats
from palette.press.gamut import Gamut
from palette.press.mapping import HUE_KEEPING, clip
from palette.space import (
    de2000,
    from_polar,
    lab_to_oklab,
    lab_to_srgb8,
    oklab_to_lab,
    srgb_to_lab,
    to_polar,
)

_SETTLED = 1.0  # CIEDE2000: below what anyone sees
_ROUNDS = 6

# the search: lightness, hue in radians and the share of the outermost chroma, in steps that shrink
_STEPS = np.array(
    list(product(np.linspace(-12.0, 12.0, 7), np.linspace(-0.45, 0.45, 7), (0.0, -0.05, -0.15)))
)
_SHRINK = (1.0, 0.4, 0.16, 0.06)
_DEAR = 20.0  # what each unit costs by which a colour moves in print that should not
_VIVID = 0.9
_AT_ONCE = 64


def nearest_of_all(gamut: Gamut, to_print: Callable[[Floats], Floats], lab: Floats) -> Floats:
    """Return the nearest colours in CIEDE2000 that ``to_print`` moves by 1 at most."""
    near = np.array(lab, dtype=np.float64).reshape(-1, 3)
    moving = np.flatnonzero(de2000(near, to_print(near)) > _SETTLED)
    for first in range(0, len(moving), _AT_ONCE):
        rows = moving[first : first + _AT_ONCE]
        near[rows] = _sought(gamut, to_print, near[rows])
    return near


def _sought(gamut: Gamut, to_print: Callable[[Floats], Floats], request: Floats) -> Floats:
    best = _shown(to_print(request))
    vivid = _VIVID * to_polar(lab_to_oklab(best))[:, None, 1]
    least = _cost(to_print, best[:, None], request)[:, 0]
    for shrink in _SHRINK:
        at = to_polar(lab_to_oklab(best))[:, None]
        edge = gamut.limit(at[..., 0], at[..., 2])
        share = np.clip(at[..., 1] / np.maximum(edge, 1e-9), 0.0, 1.0)
        light = np.clip(at[..., 0] + shrink * _STEPS[:, 0], 0.0, 100.0)
        hue = at[..., 2] + shrink * _STEPS[:, 1]
        # out to the edge first, then about the share that is the best so far
        share = np.clip((1.0 if shrink == 1.0 else share) + shrink * _STEPS[:, 2], 0.0, 1.0)
        tried = np.stack([light, share * gamut.limit(light, hue), hue], axis=-1)
        found = _shown(oklab_to_lab(from_polar(tried)))
        cost = np.where(tried[..., 1] < vivid, np.inf, _cost(to_print, found, request))
        pick = np.argmin(cost, axis=1)
        row = np.arange(len(request))
        better = cost[row, pick] < least
        best = np.where(better[:, None], found[row, pick], best)
        least = np.minimum(cost[row, pick], least)
    return best


def _shown(lab: Floats) -> Floats:
    """Return the colours that sRGB in 256 steps has for these."""
    return srgb_to_lab(lab_to_srgb8(lab))


def _cost(to_print: Callable[[Floats], Floats], found: Floats, request: Floats) -> Floats:
    """Return how far (n, m, 3) colours lie off, dearly if they would move in print."""
    printed = to_print(found.reshape(-1, 3)).reshape(found.shape)
    moves = np.maximum(de2000(found, printed) - _SETTLED, 0.0)
    cost: Floats = de2000(found, request[:, None]) + _DEAR * moves
    return cost


def nearest_of_hue(gamut: Gamut, to_print: Callable[[Floats], Floats], lab: Floats) -> Floats:
    """Return the nearest colours that keep their hue and that ``to_print`` moves by 1 at most.

    A few very dark colours, at the corner of a profile's table, are left with a little more.
    """
    near = np.array(lab, dtype=np.float64).reshape(-1, 3)
    polar = to_polar(lab_to_oklab(near))
    moving = np.flatnonzero(~gamut.holds(polar) | (de2000(near, to_print(near)) > _SETTLED))
    near[moving] = oklab_to_lab(from_polar(clip(gamut, polar[moving], HUE_KEEPING)))
    for _ in range(_ROUNDS):
        printed = to_print(near[moving])
        unsettled = de2000(near[moving], printed) > _SETTLED
        moving = moving[unsettled]
        if len(moving) == 0:
            break
        inward = to_polar(lab_to_oklab(printed[unsettled]))
        inward[:, 1] *= np.cos(inward[:, 2] - polar[moving, 2]).clip(0.0)
        inward[:, 2] = polar[moving, 2]
        near[moving] = oklab_to_lab(from_polar(inward))
    return near
