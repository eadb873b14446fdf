"""The cut lines as HP-GL: pen up to a sticker, pen down round it, for cutters fed like a plotter.

In: a ``Page``; only its sheet is read. Out: ASCII bytes in plotter units of 0.025 mm, 40 to the
millimetre, origin at the sheet's lower left, y up. Straight sides are ``PD``; bent ones ``AA``:
centre, sweep in degrees (counter-clockwise positive) and the chord angle that keeps to
``CHORD_MM``. Every coordinate is rounded to the unit, half of which is 0.0125 mm an axis.

Not in the file: anything to print, the page, speed or force: those are set at the machine.
"""

from __future__ import annotations

import math

from kit.arcs import Arc, arc_between, chords_needed
from kit.geometry import Contour, Vertex
from kit.sheet import Page

Unit = tuple[int, int]

UNITS_PER_MM = 40.0
CHORD_MM = 0.005


def cut_hpgl(page: Page) -> bytes:
    """Return the cut file of a page."""
    height = page.sheet.height_mm
    paths = [_path(placement.outline, height) for placement in page.sheet.placements]
    return "\n".join(["IN;SP1;PA;", *paths, "PU0,0;SP0;", ""]).encode("ascii")


def _path(contour: Contour, height_mm: float) -> str:
    """Return one outline; it ends on the very unit where it began."""
    first = _units(contour.vertices[0], height_mm)
    words = [f"PU{_text(first)};PD;"]
    for start, end in contour.sides():
        target = _units(end, height_mm)
        here = _units(start, height_mm)
        if start.bulge != 0.0:
            word, here = _arc(arc_between(start, end), here, height_mm)
            words.append(word)
        if here != target:
            words.append(f"PD{_text(target)};")
    return "".join([*words, "PU;"])


def _arc(arc: Arc, start: Unit, height_mm: float) -> tuple[str, Unit]:
    """Return the arc and the unit where it leaves the pen: a rounded centre may miss the end."""
    sweep = -math.degrees(arc.sweep_rad)  # y up: the other way round
    chord = abs(sweep) / chords_needed(arc, CHORD_MM)
    centre = _units(Vertex(arc.x_mm, arc.y_mm), height_mm)
    cos, sin = math.cos(-arc.sweep_rad), math.sin(-arc.sweep_rad)
    x, y = start[0] - centre[0], start[1] - centre[1]
    end = round(centre[0] + x * cos - y * sin), round(centre[1] + x * sin + y * cos)
    return f"AA{_text(centre)},{_degrees(sweep)},{_degrees(chord)};", end


def _units(vertex: Vertex, height_mm: float) -> Unit:
    return round(vertex.x_mm * UNITS_PER_MM), round((height_mm - vertex.y_mm) * UNITS_PER_MM)


def _text(unit: Unit) -> str:
    return f"{unit[0]},{unit[1]}"


def _degrees(angle: float) -> str:
    return f"{angle:.4f}".rstrip("0").rstrip(".")
