"""Which printable colour should stand for one that is not? The nearest that keeps its hue.

In and out: CIELAB (D50), (n, 3). A colour outside the gamut goes to its edge along its own hue, and
from there inwards until the press prints it as it is seen: a press's own table falls a little short
of the edge. Source: HPMINDE, CIE 156:2004, in OKLab (see ``palette.press.mapping``).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from palette.arrays import Floats
from palette.press.gamut import Gamut
from palette.press.mapping import HUE_KEEPING, clip
from palette.space import de2000, from_polar, lab_to_oklab, oklab_to_lab, to_polar

_SETTLED = 1.0  # CIEDE2000: below what anyone sees
_ROUNDS = 6


def nearest_printable(gamut: Gamut, to_print: Callable[[Floats], Floats], lab: Floats) -> Floats:
    """Return the nearest colours that keep their hue and that ``to_print`` moves by 1 at most.

    A few very dark colours, at the corner of a press's table, are left with a little more.
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
