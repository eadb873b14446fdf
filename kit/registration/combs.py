"""How far does this cutter miss this printer's print? Four combs to cut, read like a vernier.

A comb is a sticker whose teeth are 2.1 mm apart; under its tips lines are printed 2.0 mm apart. One
tooth meets its line: the number at that line, in tenths of a millimetre, is how far the cut lies
off the print along the comb. (Vernier's principle: moved by e, tooth k lies at 2.1k + e and line k
at 2.0k; they meet where e = -0.1k, so line k bears the number -k.) Numbers grow against the teeth.

In: where the combs lie, and the numbers read off them. Out: a ``Misfit``: shift along x and y where
the sheet is held, turn, scale across and down, and the registration that covers them. Millimetres,
y down; a positive turn is clockwise as seen. Half a tenth cannot be read: it is added to the shift,
and for turn and scale what it amounts to over the combs' distance.

Not done here: what several strips say of the next sheet (``kit.registration.habit``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from kit.recipe_error import RecipeError
from kit.registration.tolerance import Registration
from kit.shapes import Contour, Point, Rect, Vertex
from palette.arrays import Floats

TEETH = 21
LINE_PITCH_MM, TOOTH_PITCH_MM = 2.0, 2.1
STEP_MM = TOOTH_PITCH_MM - LINE_PITCH_MM
TOOTH_MM, BODY_MM = 1.6, 4.0
LENGTH_MM = (TEETH - 1) * TOOTH_PITCH_MM + 2.0 * TOOTH_PITCH_MM
HALF = TEETH // 2
UNREAD_MM = STEP_MM / 2.0
# how far (root of squares) a strip's own numbers may be from every shift, turn and scale: reading
# to half a tenth leaves 0.11 mm at most, axes a twelfth of a degree askew as much again
MOST_LEFT_MM = 0.25


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
    """How the cut lies on the print, as read off one strip.

    Attributes:
        shift_mm: of the point that the sheet is held at, along x and y.
        turn_deg: clockwise as seen.
        scale: how much wider and higher the cut is than the print, as shares.
        read_mm: how far off a reading may be.
        read_deg: how far off the turn may be for that.
        read_scale: how far off the scale may be for that.
    """

    shift_mm: Point
    turn_deg: float
    scale: tuple[float, float]
    read_mm: float
    read_deg: float
    read_scale: float

    @property
    def registration(self) -> Registration:
        """What covers this misfit, and what cannot be read."""
        return Registration(
            max(map(abs, self.shift_mm)) + self.read_mm,
            abs(self.turn_deg) + self.read_deg,
            max(map(abs, self.scale)) + self.read_scale,
        )


def misfit_of(
    combs: Sequence[Comb], numbers: Sequence[float], held_mm: Point, *, where: str = "combs"
) -> Misfit:
    """Return what the numbers say that were read off the combs.

    The cut lies off the print at a point p from where the sheet is held by shift + turn x p +
    scale x p; each comb gives one equation along its axis, and all are solved by least squares.

    Args:
        combs: at least four, both axes among them.
        numbers: for each comb the number at the line that its tooth meets, -10 to 10.
        held_mm: the point that the sheet is held at.
        where: what errors call the strip.

    Raises:
        RecipeError: numbers missing or out of range, or such as no shift, turn and scale give.
    """
    if len(numbers) != len(combs):
        raise RecipeError(
            f"{len(numbers)} number{'' if len(numbers) == 1 else 's'} for {len(combs)} combs",
            where=where,
            remedy=f"Give one for each: {', '.join(comb.name for comb in combs)}.",
        )
    for comb, number in zip(combs, numbers, strict=True):
        if not -HALF <= number <= HALF:
            raise RecipeError(
                f"{number:g} is not on the {comb.name} comb",
                where=where,
                remedy=f"Give the number at the line that a tooth meets, -{HALF} to {HALF}.",
            )
    solve, read_mm = solution_of(combs, held_mm), np.array(numbers) * STEP_MM
    found = solve @ read_mm
    reach = np.abs(solve).sum(axis=1) * UNREAD_MM
    left = float(np.linalg.norm(equations_of(combs, held_mm) @ found - read_mm))
    if left > MOST_LEFT_MM:
        raise RecipeError(
            f"these numbers contradict each other by {left:.1f} mm: no shift, turn and stretch of "
            "a sheet gives all of them",
            where=where,
            remedy="Read the strip again; look at the signs and at the order of the combs.",
        )
    return Misfit(
        shift_mm=(float(found[0]), float(found[1])),
        turn_deg=math.degrees(float(found[2])),
        scale=(float(found[3]), float(found[4])),
        read_mm=float(max(reach[0], reach[1])),
        read_deg=math.degrees(float(reach[2])),
        read_scale=float(max(reach[3], reach[4])),
    )


def miss_terms(dx_mm: float, dy_mm: float) -> Floats:
    """Return what a point's miss along x and along y is made of, (2, 5).

    Columns: shift x and y (mm), turn (radians), scale across and down (shares). The point lies
    (dx, dy) from where the sheet is held; turned clockwise by a small angle, y down, it moves by
    (-dy, dx) times that.
    """
    return np.array([(1.0, 0.0, -dy_mm, dx_mm, 0.0), (0.0, 1.0, dx_mm, 0.0, dy_mm)])


def equations_of(combs: Sequence[Comb], held_mm: Point) -> Floats:
    """Return what each comb's reading is made of, (combs, 5): see ``miss_terms``."""
    return np.array(
        [
            miss_terms(comb.tip[0] - held_mm[0], comb.tip[1] - held_mm[1])["xy".index(comb.along)]
            for comb in combs
        ]
    )


def solution_of(combs: Sequence[Comb], held_mm: Point) -> Floats:
    """Return the matrix (5, combs) that makes readings in mm into shift, turn and scales.

    Combs that are at one height only, on low paper, do not tell the scale down from the shift:
    one scale is then taken for both ways.

    Raises:
        ValueError: the combs cannot tell a turn or a scale.
    """
    terms = equations_of(combs, held_mm)
    if np.linalg.matrix_rank(terms) == 5:
        return np.linalg.pinv(terms).astype(np.float64)
    one_scale = np.column_stack([terms[:, :3], terms[:, 3] + terms[:, 4]])
    if np.linalg.matrix_rank(one_scale) < 4:
        raise ValueError("these combs cannot tell turn and scale")
    return np.linalg.pinv(one_scale)[[0, 1, 2, 3, 3]].astype(np.float64)
