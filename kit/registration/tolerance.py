"""Will the cut stay inside the colour? Bleed and gap against how far print and cut may part.

In: the declared registration (how far the cut may lie off the print), the cut boxes and printed
boxes of a sheet, millimetres. Out: the largest shift m of any sticker's corner, the bleed and gap
it needs, and what the sheet has.

Model: the cut is the print's plan shifted by at most e along x and along y, and about the point
that the sheet is held at (its middle, the middle of its marks or a corner) turned by at most θ and
scaled along x and along y by at most 1 ± s each. A corner at (dx, dy) from it moves along x by
dx((1±s)cos θ − 1) ∓ dy(1±s)sin θ, and along y with dx and dy exchanged; ``corner_shift_mm`` is the
exact largest value of that. No white edge: bleed ≥ m. No neighbour's ink: gap ≥ bleed + m.

Not done here: a machine's real figures. They are the maker's to measure on a test sheet.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from itertools import permutations

from kit.shapes import Rect


@dataclass(frozen=True, slots=True)
class Registration:
    """How far the cut may lie off the print.

    Attributes:
        shift_mm: at most this along x and along y.
        turn_deg: at most this, either way round.
        scale: at most this share wider or narrower, higher or lower, such as 0.001.
    """

    shift_mm: float
    turn_deg: float = 0.0
    scale: float = 0.0


@dataclass(frozen=True, slots=True)
class Tolerance:
    """What a sheet has and what its registration needs, in millimetres.

    Attributes:
        shift_mm: m, the furthest that any sticker's corner may move along x or y.
        bleed_mm: the narrowest printed bleed on any side of any sticker.
        clearance_mm: the least distance, along x or y, from a cut line to foreign ink; infinite
            for a single sticker.
        needed_bleed_mm: m, and the raster's allowance.
        needed_gap_mm: the narrowest gap that would do with that bleed.
        bleed_ok: no white edge can appear.
        gap_ok: no neighbour's ink can appear.
    """

    shift_mm: float
    bleed_mm: float
    clearance_mm: float
    needed_bleed_mm: float
    needed_gap_mm: float
    bleed_ok: bool
    gap_ok: bool

    @property
    def ok(self) -> bool:
        """Whether neither fault can appear."""
        return self.bleed_ok and self.gap_ok


def corner_shift_mm(registration: Registration, dx_mm: float, dy_mm: float) -> float:
    """Return the furthest a point may move along x or along y, exactly.

    Args:
        registration: the largest errors.
        dx_mm: the point's distance from where the sheet is held.
        dy_mm: likewise.
    """
    across, down = abs(dx_mm), abs(dy_mm)
    return registration.shift_mm + max(
        _along(registration, across, down), _along(registration, down, across)
    )


def _along(registration: Registration, along: float, across_it: float) -> float:
    """Return the largest move along one axis by turn and scale; both distances positive."""
    turn, scale = math.radians(registration.turn_deg), registration.scale
    # outwards: largest at full scale. Nearly on the axis a smaller turn would reach further, but
    # there the move inwards is larger still
    outwards = (1.0 + scale) * (along * math.cos(turn) + across_it * math.sin(turn)) - along
    # inwards: turning helps throughout; shorter along, longer across
    inwards = (
        along - (1.0 - scale) * along * math.cos(turn) + (1.0 + scale) * across_it * math.sin(turn)
    )
    return max(outwards, inwards)


def largest_shift_mm(
    registration: Registration, boxes: Sequence[Rect], centre_mm: tuple[float, float]
) -> float:
    """Return m: the furthest that any corner of any box may move; the bare shift for no boxes."""
    return max(
        (
            corner_shift_mm(registration, x - centre_mm[0], y - centre_mm[1])
            for box in boxes
            for x, y in box.corners()
        ),
        default=registration.shift_mm,
    )


def measure_tolerance(
    registration: Registration,
    boxes: Sequence[Rect],
    bleeds: Sequence[Rect],
    centre_mm: tuple[float, float],
    *,
    raster_mm: float = 0.0,
    inks: Sequence[Hashable] | None = None,
) -> Tolerance:
    """Return what the sheet has and what it needs.

    Args:
        registration: the largest errors.
        boxes: the cut boxes of the stickers.
        bleeds: the printed box of each, in the same order.
        centre_mm: where the sheet is held.
        raster_mm: how far a printed edge may be from its true place: half a printer pixel.
        inks: what each sticker is printed in; where two are equal, one's colour on the other's
            edge cannot be seen, and their bleeds may share the gap.
    """
    shift = largest_shift_mm(registration, boxes, centre_mm)
    needed = shift + raster_mm
    bleed = min(
        (narrowest_bleed_mm(b, p) for b, p in zip(boxes, bleeds, strict=True)), default=math.inf
    )
    clearance = min(
        (
            apart_mm(boxes[i], bleeds[j])
            for i, j in permutations(range(len(boxes)), 2)
            if inks is None or inks[i] != inks[j]
        ),
        default=math.inf,
    )
    hair = 1e-9  # floating point, not paper
    return Tolerance(
        shift_mm=shift,
        bleed_mm=bleed,
        clearance_mm=clearance,
        needed_bleed_mm=needed,
        needed_gap_mm=2.0 * needed,
        bleed_ok=bleed >= needed - hair,
        gap_ok=clearance >= needed - hair,
    )


def narrowest_bleed_mm(box: Rect, printed: Rect) -> float:
    """Return by how much the printed box passes the cut box on the side where it is least."""
    return min(
        box.x_mm - printed.x_mm,
        box.y_mm - printed.y_mm,
        printed.right_mm - box.right_mm,
        printed.bottom_mm - box.bottom_mm,
    )


def apart_mm(a: Rect, b: Rect) -> float:
    """Return how far two boxes are apart along the axis where that is more; negative: overlap."""
    across = max(a.x_mm - b.right_mm, b.x_mm - a.right_mm)
    down = max(a.y_mm - b.bottom_mm, b.y_mm - a.bottom_mm)
    return max(across, down)
