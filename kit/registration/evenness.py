"""Do opposite borders look even where the cut misses: round a panel, beside a mark, round words?

In: a sticker's cut box, the box of what is printed inside it, and how far the cut may lie off the
print there, in millimetres. Out: the border, and by how much to one its two sides differ at the
worst. A border of B shows as B + m on one side and B - m on the other, so it looks even where
B >= m (k + 1) / (k - 1).

That 1.5 to 1 still looks even is common practice, no published source. Not done here: how far the
cut may miss (``kit.registration.tolerance``), or what is printed.
"""

from __future__ import annotations

import math

from kit.shapes import Rect

EVEN_RATIO = 1.5  # between opposite borders
MEANT_EVEN_MM = 0.05  # borders that differ by more by themselves are not meant to be alike


def border_ratio(border_mm: float, miss_mm: float) -> float:
    """Return the larger of two opposite borders over the smaller, at the worst.

    Infinite where the cut may run into what is printed.
    """
    if border_mm <= miss_mm:
        return math.inf
    return (border_mm + miss_mm) / (border_mm - miss_mm)


def needed_border_mm(shift_mm: float) -> float:
    """Return the narrowest border whose sides look alike: e(k + 1)/(k − 1), k ``EVEN_RATIO``.

    A border of B shows as B + e on one side and B − e on the other.
    """
    return shift_mm * (EVEN_RATIO + 1.0) / (EVEN_RATIO - 1.0)


def narrowest_border_mm(cut: Rect, printed: Rect) -> float:
    """Return the narrowest border that is meant to have its like on the other side.

    Infinite where none is: what lies out of the middle on purpose has no border to compare.
    """
    pairs = (
        (printed.x_mm - cut.x_mm, cut.right_mm - printed.right_mm),
        (printed.y_mm - cut.y_mm, cut.bottom_mm - printed.bottom_mm),
    )
    alike = [min(pair) for pair in pairs if abs(pair[0] - pair[1]) <= MEANT_EVEN_MM]
    return min(alike, default=math.inf)
