"""The cut lines as DXF: one closed polyline a sticker, in millimetres and in cutting order.

In: a sheet and its cuts. Out: DXF R2000 (AC1015) bytes: LWPOLYLINE with bulges, so
round corners stay true arcs; ``$INSUNITS`` 4 is millimetres (R12 cannot say so). Through cuts lie
on a layer of their own; the sheet's guides, which are not to be cut, on grey layers that do not
plot. DXF's y runs up, so y is mirrored and every bulge negated.

The library stamps dates, version and random identifiers into a drawing; they are fixed here, so
that equal sheets give equal files.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from threading import Lock
from typing import Any

from kit.render import CutPage, Page
from kit.shapes import Contour
from kit.sheet import Sheet

# a dark teal and a dark ochre of the colour index that DXF viewers share
COLOUR_INDICES = {"kiss-cut": 136, "through-cut": 44}
_OPTIONS = Lock()  # ezdxf keeps the switch below for the whole process


def cut_dxf(page: Page | CutPage) -> bytes:
    """Return the cut file of a page."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    sheet = page.sheet
    with _fixed_stamps():
        drawing = new("R2000", units=units.MM)
        for key in dict.fromkeys(path.cut.key for path in page.cuts.paths):
            drawing.layers.add(layer_name(key), color=COLOUR_INDICES[key])
        space = drawing.modelspace()
        for path in page.cuts.paths:
            _add(space, path.contour, sheet, layer_name(path.cut.key))
        for name, outlines in sheet.guides.items():
            drawing.layers.add(layer_name(name), color=8, plot=False)  # grey
            for outline in outlines:
                _add(space, outline, sheet, layer_name(name))
        drawing.header["$MEASUREMENT"] = 1
        space.reset_limits((0.0, 0.0), (sheet.width_mm, sheet.height_mm))
        extents = (0.0, 0.0, 0.0), (sheet.width_mm, sheet.height_mm, 0.0)
        space.reset_extents(*extents)
        # which the library leaves out of the header where a corner lies at 0, 0
        drawing.header["$EXTMIN"], drawing.header["$EXTMAX"] = extents
        out = StringIO()
        drawing.write(out)
    return out.getvalue().encode("ascii")


def _add(space: Any, outline: Contour, sheet: Sheet, layer: str) -> None:
    """Draw a closed outline on a layer of ezdxf's model space."""
    space.add_lwpolyline(
        upright(outline, sheet.height_mm), format="xyb", close=True, dxfattribs={"layer": layer}
    )


def layer_name(key: str) -> str:
    """Return the layer of a kind of cut or of guides, such as "KISS_CUT"."""
    return key.upper().replace("-", "_")


def upright(contour: Contour, height_mm: float) -> list[tuple[float, float, float]]:
    """Return (x, y, bulge) of every vertex with y running up; to 1/1,000,000 mm."""
    return [(round(v.x_mm, 6), round(height_mm - v.y_mm, 6), -v.bulge) for v in contour.vertices]


@contextmanager
def _fixed_stamps() -> Iterator[None]:
    """While this lasts, ezdxf writes fixed dates and identifiers."""
    from ezdxf import options  # type: ignore[attr-defined]  # public by its manual

    with _OPTIONS:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            yield
        finally:
            options.write_fixed_meta_data_for_testing = before
