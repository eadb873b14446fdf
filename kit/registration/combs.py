"""How far does this cutter miss this printer's print? Four combs to cut, read like a vernier.

A comb is a sticker whose teeth are 2.1 mm apart; under its tips lines are printed 2.0 mm apart. One
tooth meets its line: the number at that line, in tenths of a millimetre, is how far the cut lies
off the print along the comb. (Vernier's principle: moved by e, tooth k lies at 2.1k + e and line k
at 2.0k; they meet where e = -0.1k, so line k bears the number -k.) Numbers grow against the teeth.

In: where the combs lie, and the numbers read off them. Out: a ``Misfit``: shift along x and y at
the sheet's centre, turn and scale, and the recipe's registration that covers them. Millimetres, y
down; a positive turn is clockwise as seen. Half a tenth cannot be read: it is added to the shift,
and for turn and scale what it amounts to over the combs' distance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from kit.recipe_error import RecipeError
from kit.shapes import Contour, Point, Rect, Vertex

TEETH = 21
LINE_PITCH_MM, TOOTH_PITCH_MM = 2.0, 2.1
STEP_MM = TOOTH_PITCH_MM - LINE_PITCH_MM
TOOTH_MM, BODY_MM = 1.6, 4.0
LENGTH_MM = (TEETH - 1) * TOOTH_PITCH_MM + 2.0 * TOOTH_PITCH_MM
HALF = TEETH // 2


@dataclass(frozen=True, slots=True)
class Comb:
    """A comb on the sheet.

    Attributes:
        name: what its reading is called.
        along: the axis that it measures, "x" or "y".
        tip: where its middle tooth's tip lies, mm.
    """

    name: str
    along: Literal["x", "y"]
    tip: Point

    def at(self, along_mm: float, out_mm: float) -> Point:
        """Return the point so far along the comb from its middle and so far out past its tips.

        Teeth of a comb along x point up, those of one along y point left.
        """
        x, y = self.tip
        if self.along == "x":
            return x + along_mm, y - out_mm
        return x - out_mm, y + along_mm

    def outline(self) -> Contour:
        """Return the cut line: a narrow box with teeth on one side."""
        half = LENGTH_MM / 2.0
        points = [self.at(-half, -TOOTH_MM - BODY_MM), self.at(-half, -TOOTH_MM)]
        for k in range(-HALF, HALF + 1):
            points.append(self.at((k - 0.5) * TOOTH_PITCH_MM, -TOOTH_MM))
            points.append(self.at(k * TOOTH_PITCH_MM, 0.0))
        points += [self.at((HALF + 0.5) * TOOTH_PITCH_MM, -TOOTH_MM)]
        points += [self.at(half, -TOOTH_MM), self.at(half, -TOOTH_MM - BODY_MM)]
        # clockwise as seen, as all outlines run
        ring = points if self.along == "x" else points[::-1]
        return Contour(tuple(Vertex(*point) for point in ring))

    def lines(self) -> tuple[tuple[int, Contour], ...]:
        """Return the printed lines with their numbers; each begins under a tip and leads out."""
        ticks = []
        for k in range(-HALF, HALF + 1):
            reach = 2.6 if k % 5 == 0 else 1.8
            ends = (self.at(k * LINE_PITCH_MM, -0.8), self.at(k * LINE_PITCH_MM, reach))
            ticks.append((-k, Contour(tuple(Vertex(*point) for point in ends))))
        return tuple(ticks)

    def box(self) -> Rect:
        """Return the box of its cut line."""
        half, deep = LENGTH_MM / 2.0, TOOTH_MM + BODY_MM
        x, y = self.tip
        if self.along == "x":
            return Rect(x - half, y, LENGTH_MM, deep)
        return Rect(x, y - half, deep, LENGTH_MM)


@dataclass(frozen=True, slots=True)
class Misfit:
    """How the cut lies on the print, as read off.

    Attributes:
        shift_mm: of the sheet's centre, along x and y.
        turn_deg: clockwise as seen.
        scale: how much larger the cut is than the print, as a share.
        read_mm: how far off a reading may be.
        read_deg: how far off the turn may be for that.
        read_scale: how far off the scale may be for that.
    """

    shift_mm: Point
    turn_deg: float
    scale: float
    read_mm: float
    read_deg: float
    read_scale: float

    @property
    def registration(self) -> tuple[float, float, float]:
        """The recipe's shift (mm), turn (degrees) and scale (a share) that cover this misfit."""
        return (
            max(abs(v) for v in self.shift_mm) + self.read_mm,
            abs(self.turn_deg) + self.read_deg,
            abs(self.scale) + self.read_scale,
        )


def misfit_of(combs: Sequence[Comb], numbers: Sequence[float], centre_mm: Point) -> Misfit:
    """Return what the numbers say that were read off the combs.

    The cut lies off the print at a point p from the centre by shift + turn x p + scale x p; each
    comb gives one equation along its axis. Four or more are solved by least squares.

    Args:
        combs: at least four, both axes among them.
        numbers: for each comb the number at the line that its tooth meets, -10 to 10.
        centre_mm: the sheet's centre.

    Raises:
        RecipeError: numbers missing, out of range, or combs that cannot tell turn and scale.
    """
    if len(numbers) != len(combs):
        raise RecipeError(
            f"{len(numbers)} numbers for {len(combs)} combs",
            where="combs",
            remedy=f"Give one for each: {', '.join(comb.name for comb in combs)}.",
        )
    for comb, number in zip(combs, numbers, strict=True):
        if not -HALF <= number <= HALF:
            raise RecipeError(
                f"{number:g} is not on the {comb.name} comb",
                where="combs",
                remedy=f"Give the number at the line that a tooth meets, -{HALF} to {HALF}.",
            )
    rows = np.array([_equation(comb, centre_mm) for comb in combs])
    solution, _, rank, _ = np.linalg.lstsq(rows, np.array(numbers) * STEP_MM, rcond=None)
    if rank < 4:
        raise ValueError("these combs cannot tell turn and scale")
    reach = np.abs(np.linalg.pinv(rows)).sum(axis=1) * STEP_MM / 2.0
    return Misfit(
        shift_mm=(float(solution[0]), float(solution[1])),
        turn_deg=math.degrees(float(solution[2])),
        scale=float(solution[3]),
        read_mm=float(max(reach[0], reach[1])),
        read_deg=math.degrees(float(reach[2])),
        read_scale=float(reach[3]),
    )


def _equation(comb: Comb, centre: Point) -> tuple[float, float, float, float]:
    """Return what a comb's reading is made of: of shift x, shift y, turn (rad) and scale."""
    dx, dy = comb.tip[0] - centre[0], comb.tip[1] - centre[1]
    # turned clockwise by a small angle, y down, (dx, dy) moves by (-dy, dx) times it
    return (1.0, 0.0, -dy, dx) if comb.along == "x" else (0.0, 1.0, dx, dy)
