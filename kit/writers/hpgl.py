"""The cut lines as HP-GL: pen plotter commands that many cutting machines take as they are.

In: a ``Page``; only its cuts are read. Out: ASCII bytes in plotter units of 0.025 mm (40 a
millimetre), y up from the sheet's bottom left corner, in cutting order: kiss cuts with pen 1, then
through cuts with pen 2, so that force and depth can be set for each. Bent sides are arcs (``AA``:
centre, sweep, chord angle) or, for machines that take none, straight strokes within 0.005 mm
before rounding. Points are rounded to whole units, at most 0.018 mm off; an arc whose rounded
centre would lead further astray is halved until it does not.

Overcut and blade offset (``kit.shapes.blade``) are off unless asked for: most machines add their
own. They are in this format only, because programs that open SVG or DXF prepare the blade's path
themselves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from kit.render import CutPage, Page
from kit.shapes import Arc, Point, Vertex, arc_between, blade_path, chords_needed

UNITS_PER_MM = 40.0
CHORD_MM = 0.005  # how far strokes may leave an arc, made here or by the machine
ASTRAY_UNITS = 0.75  # how far an arc may be off by rounding; beyond, it is halved
FARTHEST_UNITS = 32767  # what older machines hold in a number
DEFAULT_CHORD_DEG = 5.0
SHORTEST_ARC_UNITS = 10.0
LEAST_SWEEP_RAD = math.radians(5.0)  # a flatter arc is one or two strokes anyway


def cut_hpgl(page: Page | CutPage) -> bytes:
    """Return the cut file of a page."""
    style, height_mm = page.sheet.cut, page.sheet.height_mm
    lines, pen = ["IN;"], 0
    for path in page.cuts.paths:
        if path.cut.pen != pen:
            pen = path.cut.pen
            lines.append(f"SP{pen};")
        axis = blade_path(path.contour, style.overcut_mm, style.blade_offset_mm)
        lines.append(_strokes(axis, height_mm, arcs=style.arcs))
    return "\n".join([*lines, "PU0,0;SP0;", ""]).encode("ascii")


def _strokes(path: tuple[Vertex, ...], height_mm: float, *, arcs: bool) -> str:
    """Return the commands for one path: pen up to its start, then down along it."""
    pen = _Pen(path[0], height_mm)
    for start, end in pairwise(path):
        if start.bulge == 0.0:
            pen.line_to((end.x_mm, end.y_mm))
        elif arcs:
            pen.arc(arc_between(start, end))
        else:
            pen.chords(arc_between(start, end))
    pen.arrive((path[-1].x_mm, path[-1].y_mm))
    return "".join([*pen.words, "PU;"])


class _Pen:
    """Writes the commands of one path, and follows where a reader's pen is, in units."""

    def __init__(self, start: Vertex, height_mm: float) -> None:
        self.height_mm = height_mm
        self.at: Point = self._round((start.x_mm, start.y_mm))
        self.words = [f"PU{_pair(self.at)};PD;"]

    def line_to(self, point_mm: Point) -> None:
        """Stroke to a point."""
        there = self._round(point_mm)
        if there != self.at:
            self.words.append(f"PD{_pair(there)};")
            self.at = there

    def arrive(self, point_mm: Point) -> None:
        """Stroke the last fraction of a unit to where the path ends."""
        there = self._round(point_mm)
        if math.dist(there, self.at) > 1e-3:
            self.line_to(point_mm)

    def chords(self, arc: Arc) -> None:
        """Stroke an arc as straight pieces."""
        count = chords_needed(arc, CHORD_MM)
        for k in range(1, count + 1):
            self.line_to(arc.at(k / count))

    def arc(self, arc: Arc) -> None:
        """Stroke an arc: as one, as two halves where rounding leads astray, or as chords."""
        length = arc.radius_mm * abs(arc.sweep_rad) * UNITS_PER_MM
        if length < SHORTEST_ARC_UNITS or abs(arc.sweep_rad) < LEAST_SWEEP_RAD:
            self.chords(arc)
            return
        best = self._nearest_arc(arc)
        if best.astray <= ASTRAY_UNITS and max(map(abs, best.centre)) <= FARTHEST_UNITS:
            self.words.append(f"AA{_pair(best.centre)},{best.text};")
            self.at = best.end
            return
        half = Arc(arc.x_mm, arc.y_mm, arc.radius_mm, arc.start_rad, arc.sweep_rad / 2.0)
        self.arc(half)
        self.line_to(half.at(1.0))
        rest = arc.start_rad + arc.sweep_rad / 2.0
        self.arc(Arc(arc.x_mm, arc.y_mm, arc.radius_mm, rest, arc.sweep_rad / 2.0))

    def _nearest_arc(self, arc: Arc) -> _WrittenArc:
        """Return the arc about a whole-numbered centre that keeps closest to the true one."""
        x, y = self._round((arc.x_mm, arc.y_mm))
        near = [(x + i, y + j) for i in (0, -1, 1) for j in (0, -1, 1)]
        return min((self._about(arc, centre) for centre in near), key=lambda one: one.astray)

    def _about(self, arc: Arc, centre: Point) -> _WrittenArc:
        """Return the arc as a reader draws it about this centre."""
        degrees = round(-math.degrees(arc.sweep_rad), 2)
        radius = math.dist(centre, self.at)
        start = math.atan2(self.at[1] - centre[1], self.at[0] - centre[0])
        true = self._units((arc.x_mm, arc.y_mm))
        end, astray = self.at, 0.0
        for k in range(1, 9):
            angle = start + math.radians(degrees) * k / 8
            end = (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))
            astray = max(astray, abs(math.dist(end, true) - arc.radius_mm * UNITS_PER_MM))
        astray = max(astray, math.dist(end, self._units(arc.at(1.0))))
        chord = math.degrees(2.0 * math.acos(1.0 - min(1.0, CHORD_MM * UNITS_PER_MM / radius)))
        text = f"{degrees:g}"
        if chord < DEFAULT_CHORD_DEG:
            text += f",{max(0.5, math.floor(chord * 10.0) / 10.0):g}"
        return _WrittenArc(centre, text, end, astray)

    def _units(self, point_mm: Point) -> Point:
        return point_mm[0] * UNITS_PER_MM, (self.height_mm - point_mm[1]) * UNITS_PER_MM

    def _round(self, point_mm: Point) -> Point:
        x, y = self._units(point_mm)
        return math.floor(x + 0.5), math.floor(y + 0.5)


@dataclass(frozen=True, slots=True)
class _WrittenArc:
    """An arc as a file says it: centre, "sweep" or "sweep,chord angle", its end, its error."""

    centre: Point
    text: str
    end: Point
    astray: float


def _pair(point: Point) -> str:
    return f"{round(point[0])},{round(point[1])}"
