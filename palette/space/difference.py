"""How far apart do two colours look? CIEDE2000.

Inputs are CIELAB (D50) arrays with a last axis of length 3; outputs are differences, where 1 is
about what a trained eye just sees and 5 is plain to anyone.

``de2000`` compares colour by colour and is written out here, because ``colormath`` offers only one
colour against many; every number that is shown comes from it. ``nearest_first`` ranks many colours
by their difference from one with ``colormath``, and is the only place where that library is used;
its scalar form fails on numpy 2. The two agree to 0.0002.

Source: Sharma, Wu, Dalal, "The CIEDE2000 color-difference formula: implementation notes,
supplementary test data, and mathematical observations", Color Research and Application 30(1), 2005.
"""

from __future__ import annotations

import numpy as np
from colormath.color_diff_matrix import delta_e_cie2000
from numpy.typing import ArrayLike

from palette.arrays import Floats, Indices, Mask


def de2000(a: ArrayLike, b: ArrayLike) -> Floats:
    """Return the CIEDE2000 difference of two broadcastable Lab arrays, without the last axis."""
    x, y = np.broadcast_arrays(np.asarray(a, dtype=np.float64), np.asarray(b, dtype=np.float64))
    mean_c = (np.hypot(x[..., 1], x[..., 2]) + np.hypot(y[..., 1], y[..., 2])) / 2.0
    stretch = 1.5 - 0.5 * _seventh_root_share(mean_c)
    c1, h1 = _chroma_and_hue(x, stretch)
    c2, h2 = _chroma_and_hue(y, stretch)
    dh, mean_h = _hue_step_and_mean(c1 * c2 == 0.0, h1, h2)
    mean_l = (x[..., 0] + y[..., 0]) / 2.0
    mean_c = (c1 + c2) / 2.0
    t = (
        1.0
        - 0.17 * np.cos(np.radians(mean_h - 30.0))
        + 0.24 * np.cos(np.radians(2.0 * mean_h))
        + 0.32 * np.cos(np.radians(3.0 * mean_h + 6.0))
        - 0.20 * np.cos(np.radians(4.0 * mean_h - 63.0))
    )
    s_l = 1.0 + 0.015 * (mean_l - 50.0) ** 2 / np.sqrt(20.0 + (mean_l - 50.0) ** 2)
    dl = (y[..., 0] - x[..., 0]) / s_l
    dc = (c2 - c1) / (1.0 + 0.045 * mean_c)
    dh = 2.0 * np.sqrt(c1 * c2) * np.sin(np.radians(dh / 2.0)) / (1.0 + 0.015 * mean_c * t)
    turn = 60.0 * np.exp(-(((mean_h - 275.0) / 25.0) ** 2))
    r_t = -2.0 * _seventh_root_share(mean_c) * np.sin(np.radians(turn))
    squared: Floats = dl**2 + dc**2 + dh**2 + r_t * dc * dh
    return np.sqrt(np.maximum(squared, 0.0))


def _seventh_root_share(chroma: Floats) -> Floats:
    power = chroma**7
    share: Floats = np.sqrt(power / (power + 25.0**7))
    return share


def _chroma_and_hue(lab: Floats, stretch: Floats) -> tuple[Floats, Floats]:
    a = lab[..., 1] * stretch
    return np.hypot(a, lab[..., 2]), np.degrees(np.arctan2(lab[..., 2], a)) % 360.0


def _hue_step_and_mean(neutral: Mask, h1: Floats, h2: Floats) -> tuple[Floats, Floats]:
    """Hue difference and mean on the shorter arc (equations 10 and 14 of the source)."""
    step = h2 - h1
    wraps = np.abs(step) > 180.0
    total = h1 + h2
    mean = np.where(wraps, np.where(total < 360.0, total + 360.0, total - 360.0), total) / 2.0
    step = np.where(wraps, step - 360.0 * np.sign(step), step)
    return np.where(neutral, 0.0, step), np.where(neutral, total, mean)


def de2000_table(labs: ArrayLike) -> Floats:
    """Return the symmetric (n, n) table of differences of n Lab colours, shape (n, 3)."""
    values = np.asarray(labs, dtype=np.float64).reshape(-1, 3)
    above = np.triu(de2000(values[:, None], values[None]), 1)
    table: Floats = above + above.T
    return table


def nearest_first(lab: ArrayLike, others: ArrayLike, handicap: ArrayLike = 0.0) -> Indices:
    """Return the rows of ``others``, (n, 3) Lab, from the nearest to one colour to the farthest.

    Args:
        lab: (3,) the colour.
        others: (n, 3) what is ranked.
        handicap: (n,) CIEDE2000 that is added to each difference.
    """
    values = np.asarray(others, dtype=np.float64).reshape(-1, 3)
    far = np.asarray(delta_e_cie2000(np.asarray(lab, dtype=np.float64), values)) + handicap
    return np.argsort(far, kind="stable")
