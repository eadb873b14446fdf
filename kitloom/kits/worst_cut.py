"""How a sheet looks where the cut misses its print as far as is declared: for pictures of it.

In: a judged kit and one of its sheets. Out: ``WorstCut``s: one for what the recipe declares, and
one with what its ruler was read to be, where that adds to it. Each has the move of the cut as an
SVG transform in millimetres, and the stickers worth a close look.

Not done here: drawing (the report, the page), or how far a cut may miss (``kit.registration``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from kit.compose import scale_error
from kit.layout import held_at
from kit.registration import Registration, largest_shift_mm
from kit.shapes import Point
from kit.sheet import Placement, Sheet
from kit.writers import path_data
from kitloom.kits.judged_kit import JudgedKit

MOST_CLOSE = 3
LEAST_HIGH_MM = 20.0  # of a sticker that a close look shows, where it is that high
ROUND_MM = 1.5  # of its surroundings
WIDEST_PX, HIGHEST_PX, MOST_PX_PER_MM = 220.0, 200.0, 12.0


@dataclass(frozen=True, slots=True)
class CloseLook:
    """One sticker, near enough to see the miss.

    Attributes:
        kind: its kind.
        view: what is shown of the sheet, as an SVG view box in mm: the sticker from its top.
        size_px: how wide and high to show it.
        path: its cut line as planned, as SVG path data.
    """

    kind: str
    view: str
    size_px: tuple[int, int]
    path: str


@dataclass(frozen=True, slots=True)
class WorstCut:
    """A sheet with its worst-case cut.

    Attributes:
        words: which worst it is, such as "with your registration".
        miss_mm: the furthest that any sticker's corner lies off its print.
        move: takes the cut lines from their plan to there, as an SVG transform.
        close: up to ``MOST_CLOSE`` stickers of different kinds, the worst of each.
    """

    words: str
    miss_mm: float
    move: str
    close: tuple[CloseLook, ...]


def worst_cuts(kit: JudgedKit, sheet: Sheet) -> tuple[WorstCut, ...]:
    """Return the sheet as declared, and as read where a reading of the ruler adds to it."""
    part = kit.recipe.sheet.registration
    declared = Registration(part.shift, part.turn, part.scale)
    held = held_at(kit.recipe)
    cuts = [_worst(sheet, declared, (0.0, 0.0), held, "with your registration")]
    read = scale_error(kit.recipe)
    if read != (0.0, 0.0):
        cuts.append(_worst(sheet, declared, read, held, "with what your ruler reads"))
    return tuple(cuts)


def _worst(
    sheet: Sheet, declared: Registration, read: tuple[float, float], held: Point, words: str
) -> WorstCut:
    """Return one worst: the cut to the right, down and turned clockwise, all at once."""
    x, y = held
    # a print that came out small is overshot by its cut, a large one undercut
    wide, high = (
        (1.0 - math.copysign(declared.scale, error)) / (1.0 + error)
        if error
        else 1.0 + declared.scale
        for error in read
    )
    most = declared.scale + max(map(abs, read))
    whole = Registration(declared.shift_mm, declared.turn_deg, most)
    move = (
        f"translate({x + declared.shift_mm:.4f} {y + declared.shift_mm:.4f}) "
        f"rotate({declared.turn_deg:g}) scale({wide:.6f} {high:.6f}) translate({-x:g} {-y:g})"
    )
    miss_mm = largest_shift_mm(whole, [placed.box for placed in sheet.placements], held)
    return WorstCut(words, miss_mm, move, tuple(_close(sheet, whole, held)))


def _close(sheet: Sheet, registration: Registration, held: Point) -> list[CloseLook]:
    """Return the stickers that show it best: those with something inside them before the rest."""
    worst: dict[str, tuple[bool, float, Placement]] = {}
    for placed in sheet.placements:
        inside = bool(placed.panels or placed.marks or placed.lettering or placed.picture)
        miss_mm = largest_shift_mm(registration, [placed.box], held)
        if placed.kind not in worst or (inside, miss_mm) > worst[placed.kind][:2]:
            worst[placed.kind] = (inside, miss_mm, placed)
    best = sorted(worst.values(), key=lambda one: one[:2], reverse=True)[:MOST_CLOSE]
    return [_look(placed) for _, _, placed in best]


def _look(placed: Placement) -> CloseLook:
    """Show a sticker from its top, as wide as it is: opposite borders are what is compared."""
    box = placed.box
    high = min(box.height_mm, max(1.3 * box.width_mm, LEAST_HIGH_MM))
    cut_short = high < box.height_mm
    wide, high = box.width_mm + 2.0 * ROUND_MM, high + ROUND_MM * (1.0 if cut_short else 2.0)
    view = f"{box.x_mm - ROUND_MM:.3f} {box.y_mm - ROUND_MM:.3f} {wide:.3f} {high:.3f}"
    scale = min(MOST_PX_PER_MM, WIDEST_PX / wide, HIGHEST_PX / high)
    size_px = round(wide * scale), round(high * scale)
    return CloseLook(placed.kind, view, size_px, path_data(placed.outline))
