"""What is cut on a sheet, in the order of cutting: the one list that every cut file draws.

In: a sheet. Out: its ``CutPath``s: first every sticker's kiss cut, then the through cuts that were
asked for, each outline begun where the blade sets down (``kit.cut.order``) and moved as the sheet's
``CutMove`` says. Millimetres, y down.

The blade is taken to rest at the sheet's bottom left corner, the origin of DXF and HP-GL.
"""

from __future__ import annotations

from dataclasses import dataclass

from kit.cut.order import cut_tour, travel_mm
from kit.shapes import Contour
from kit.sheet import Sheet


@dataclass(frozen=True, slots=True)
class CutClass:
    """A kind of cut: how deep it goes, and what files call it.

    Attributes:
        name: as people read it, and the layer's name in a PDF.
        key: as identifiers in files write it.
        layer: the smaller, the sooner it is cut.
        process: its processing step in a PDF (ISO 19593-1).
        pen: its pen in HP-GL: machines keep force and depth by the pen.
    """

    name: str
    key: str
    layer: int
    process: str
    pen: int


KISS = CutClass("Kiss cut", "kiss-cut", 0, "PartialCutting", 1)
THROUGH = CutClass("Through cut", "through-cut", 1, "Cutting", 2)
CUT_CLASSES = (KISS, THROUGH)


@dataclass(frozen=True, slots=True)
class CutPath:
    """One outline to cut.

    Attributes:
        contour: begun where the blade sets down.
        cut: how deep.
        number: 0-based: of the sticker in the sheet's order, or of the through cut.
    """

    contour: Contour
    cut: CutClass
    number: int

    @property
    def label(self) -> str:
        """What files call it, such as "sticker-3" or "through-cut-1"."""
        return f"{'sticker' if self.cut is KISS else self.cut.key}-{self.number + 1}"


@dataclass(frozen=True, slots=True)
class CutPlan:
    """All cuts of a sheet in order.

    Attributes:
        paths: what is cut, in order.
        travel_mm: the lifted blade's way.
    """

    paths: tuple[CutPath, ...]
    travel_mm: float


def cut_plan(sheet: Sheet) -> CutPlan:
    """Return the cuts of a sheet in the order of cutting."""
    outlines = [CutPath(p.outline, KISS, i) for i, p in enumerate(sheet.placements)]
    outlines += [CutPath(c, THROUGH, i) for i, c in enumerate(sheet.cut.through)]
    contours = [path.contour for path in outlines]
    home = (0.0, sheet.height_mm)
    tour = cut_tour(contours, [path.cut.layer for path in outlines], home)
    # in the order of the sheet as it is planned, so that a small move changes nothing but places
    moved = [sheet.cut.move(contour) for contour in tour.contours]
    paths = tuple(
        CutPath(contour, outlines[i].cut, outlines[i].number)
        for i, contour in zip(tour.order, moved, strict=True)
    )
    return CutPlan(paths, travel_mm(moved, home))
