"""The cut lines as DXF: one closed polyline a sticker, in millimetres.

In: a ``Page``; only its sheet is read. Out: DXF R2000 (AC1015) bytes: LWPOLYLINE with bulges, so
round corners stay true arcs; ``$INSUNITS`` 4 is millimetres (R12 cannot say so). The page is told
by the drawing limits (``$LIMMAX``), not by a path. DXF's y runs up, so y is mirrored and every
bulge negated.

The library stamps dates, version and random identifiers into a drawing; they are fixed here, so
that equal sheets give equal files.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from threading import Lock

from kit.geometry import Contour, Rect
from kit.sheet import Page, Sheet

Corner = tuple[float, float, float]

LAYER = "KISS_CUT"
COLOUR_INDEX = 136  # dark teal in DXF's table of 255 colours
_OPTIONS = Lock()  # ezdxf keeps the switch below for the whole process


def cut_dxf(page: Page) -> bytes:
    """Return the cut file of a page."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    sheet = page.sheet
    with _fixed_stamps():
        drawing = new("R2000", units=units.MM)
        drawing.layers.add(LAYER, color=COLOUR_INDEX)
        space = drawing.modelspace()
        for placement in sheet.placements:
            space.add_lwpolyline(
                upright(placement.outline, sheet.height_mm),
                format="xyb",
                close=True,
                dxfattribs={"layer": LAYER},
            )
        drawing.header["$MEASUREMENT"] = 1
        space.reset_limits((0.0, 0.0), (sheet.width_mm, sheet.height_mm))
        space.reset_extents(*_extents(sheet))
        out = StringIO()
        drawing.write(out)
    return out.getvalue().encode("ascii")


def _extents(sheet: Sheet) -> tuple[Corner, Corner]:
    """Return the corners of the area that the outlines occupy, y up; the page where none does."""
    boxes = [p.box for p in sheet.placements] or [Rect(0.0, 0.0, sheet.width_mm, sheet.height_mm)]
    bottom = max(box.bottom_mm for box in boxes)
    top = min(box.y_mm for box in boxes)
    left, right = min(box.x_mm for box in boxes), max(box.right_mm for box in boxes)
    return (left, sheet.height_mm - bottom, 0.0), (right, sheet.height_mm - top, 0.0)


def upright(contour: Contour, height_mm: float) -> list[tuple[float, float, float]]:
    """Return (x, y, bulge) of every vertex with y running up; to 1/1,000,000 mm."""
    return [(round(v.x_mm, 6), round(height_mm - v.y_mm, 6), -v.bulge) for v in contour.vertices]


@contextmanager
def _fixed_stamps() -> Iterator[None]:
    """Have ezdxf write fixed dates and identifiers meanwhile."""
    from ezdxf._options import options

    with _OPTIONS:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            yield
        finally:
            options.write_fixed_meta_data_for_testing = before
