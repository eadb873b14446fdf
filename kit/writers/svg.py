"""The cut lines as SVG: one closed path a sticker, in millimetres and in cutting order.

In: a ``Page``; only its cuts are read. Out: SVG 1.1 bytes whose width and height carry "mm" and
whose viewBox counts the same millimetres, so one user unit is 1 mm. Bent sides are true circle
arcs (``A``); five decimals keep every point within 0.00001 mm.
Through cuts are a second group of a colour of their own.

Not in the file: artwork, panels, marks, page frame. The page is the viewBox, not a path to cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from kit.cut import CUT_CLASSES, CutClass, CutPath
from kit.render import Page
from kit.shapes import Contour, arc_between
from kit.sheet import Sheet

# dark teal and a dark ochre, for programs that tell cuts apart by colour; solid, because a dashed
# line may be cut dashed
STROKES = {"kiss-cut": "#0b525c", "through-cut": "#7a5a00"}
LINE_MM = 0.25


def cut_svg(page: Page) -> bytes:
    """Return the cut file of a page."""
    sheet = page.sheet
    width, height = _number(sheet.width_mm), _number(sheet.height_mm)
    groups = "".join(_group(cut, page.cuts.paths) for cut in CUT_CLASSES)
    text = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<svg xmlns="http://www.w3.org/2000/svg" version="1.1" '
        f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">\n'
        f"  <title>{escape(sheet.title, quote=False)}</title>\n"
        f"{groups}{_frame(sheet)}</svg>\n"
    )
    return text.encode("utf-8")


def _group(cut: CutClass, paths: Sequence[CutPath]) -> str:
    """Return the paths of one kind of cut, in cutting order; nothing where there is none."""
    lines = "".join(
        f'    <path id="{path.label}" d="{path_data(path.contour)}"/>\n'
        for path in paths
        if path.cut is cut
    )
    style = f'fill="none" stroke="{STROKES[cut.key]}" stroke-width="{LINE_MM}"'
    return f'  <g id="{cut.key}" {style}>\n{lines}  </g>\n' if lines else ""


def _frame(sheet: Sheet) -> str:
    """Return the frame to align by, on a layer of its own; nothing where there is none."""
    if sheet.frame is None:
        return ""
    style = f'fill="none" stroke="#808080" stroke-width="{LINE_MM}"'
    return f'  <g id="frame" {style}>\n    <path d="{path_data(sheet.frame)}"/>\n  </g>\n'


def path_data(contour: Contour) -> str:
    """Return a contour as SVG path data in millimetres."""
    first = contour.vertices[0]
    words = [f"M{_number(first.x_mm)} {_number(first.y_mm)}"]
    for start, end in contour.sides():
        there = f"{_number(end.x_mm)} {_number(end.y_mm)}"
        if start.bulge == 0.0:
            # Z draws the last straight side
            words.append("" if end is first else f"L{there}")
            continue
        radius = _number(arc_between(start, end).radius_mm)
        large, clockwise = int(abs(start.bulge) > 1.0), int(start.bulge > 0.0)
        words.append(f"A{radius} {radius} 0 {large} {clockwise} {there}")
    return " ".join([*filter(None, words), "Z"])


def _number(mm: float) -> str:
    """Return millimetres with up to five decimals, never "-0"."""
    text = f"{mm:.5f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
