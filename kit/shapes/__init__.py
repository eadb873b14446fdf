"""Outlines and areas: contours of lines and arcs, and how much of a pixel they cover.

In and out: millimetres, y down. Not done here: outlines drawn elsewhere (``kit.drawings``).
"""

from kit.shapes.arc_fit import fit_arcs
from kit.shapes.arcs import (
    Arc,
    Bezier,
    arc_between,
    beziers,
    bounding_box,
    chords_needed,
    flatten_contour,
    is_line,
)
from kit.shapes.blade import blade_path, side_length
from kit.shapes.coverage import (
    TOLERANCE_PX,
    Window,
    area_coverage,
    nearest_mm,
    polygon_coverage,
    rings_coverage,
    stroke_box,
    stroke_coverage,
    window_centred,
    window_touched,
)
from kit.shapes.curves import CurvedPath, Run, extent, flatten_path
from kit.shapes.edges import CASING_MM, pennant, scallops, stitches
from kit.shapes.fine_parts import FinePart, fine_parts
from kit.shapes.geometry import (
    Contour,
    Point,
    Rect,
    Vertex,
    circle,
    half_rounded,
    quarter_turn,
    rect_around,
    rect_between,
    resize,
    reverse,
    rotate,
    rounded_rectangle,
    translate,
)
from kit.shapes.marching import outer_ring
from kit.shapes.rings import first_crossing, signed_area

__all__ = [
    "CASING_MM",
    "TOLERANCE_PX",
    "Arc",
    "Bezier",
    "Contour",
    "CurvedPath",
    "FinePart",
    "Point",
    "Rect",
    "Run",
    "Vertex",
    "Window",
    "arc_between",
    "area_coverage",
    "beziers",
    "blade_path",
    "bounding_box",
    "chords_needed",
    "circle",
    "extent",
    "fine_parts",
    "first_crossing",
    "fit_arcs",
    "flatten_contour",
    "flatten_path",
    "half_rounded",
    "is_line",
    "nearest_mm",
    "outer_ring",
    "pennant",
    "polygon_coverage",
    "quarter_turn",
    "rect_around",
    "rect_between",
    "resize",
    "reverse",
    "rings_coverage",
    "rotate",
    "rounded_rectangle",
    "scallops",
    "side_length",
    "signed_area",
    "stitches",
    "stroke_box",
    "stroke_coverage",
    "translate",
    "window_centred",
    "window_touched",
]
