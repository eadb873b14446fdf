"""Print and cut in one file: the cut lines in a processing-step layer that is off by default.

In: a ``Page``. Out: the print PDF's bytes with a second layer whose optional-content group is
marked ``Structural`` / ``PartialCutting`` (ISO 19593-1 by way of the PDF Association's Arlington
model, ``GTS_ProcStepsGroup``): a kiss cut. The lines are a spot colour of that layer's name, shown
dark teal and dashed, with overprint on.

The layer is off in the default configuration, its usage says never to print it, and nothing says
to view it: a contradicting ``ViewState /ON`` would make some viewers paint it. Not claimed: PDF/X.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from kit.arcs import beziers, is_line
from kit.geometry import Contour
from kit.sheet import Page
from kit.writers.pdf import art_operators, draw, new_pdf, number, resources, saved
from patterns.units import MM_PER_POINT

if TYPE_CHECKING:
    from pikepdf import Array, Dictionary, Pdf

CUT_LAYER = "Kiss cut"
CUT_RGB = (0.043, 0.322, 0.361)  # dark teal, as on screen
LINE_MM, DASH_MM = 0.25, (1.5, 1.0)


def layered_pdf(page: Page) -> bytes:
    """Return the PDF that carries artwork and cut lines."""
    pdf = new_pdf(page)
    art, cut = _layers(pdf)
    own = resources(pdf)
    from pikepdf import Dictionary

    own["/Properties"] = Dictionary(Print=art, Cut=cut)
    own["/ColorSpace"] = Dictionary(KissCut=_spot(pdf))
    own["/ExtGState"] = Dictionary(Over=Dictionary(OP=True, op=True, OPM=1))
    draw(
        pdf,
        f"/OC /Print BDC\n{art_operators(page)}EMC\n"
        f"/OC /Cut BDC\nq\n{_cut_operators(page)}Q\nEMC\n",
    )
    return saved(pdf)


def _layers(pdf: Pdf) -> tuple[Dictionary, Dictionary]:
    """Make the two optional-content groups and the configuration that hides the cut."""
    from pikepdf import Array, Dictionary, Name

    art = pdf.make_indirect(Dictionary(Type=Name.OCG, Name="Artwork"))
    cut = pdf.make_indirect(
        Dictionary(
            Type=Name.OCG,
            Name=CUT_LAYER,
            Usage=Dictionary(Print=Dictionary(PrintState=Name.OFF)),
            GTS_Metadata=Dictionary(
                GTS_ProcStepsGroup=Name.Structural, GTS_ProcStepsType=Name.PartialCutting
            ),
        )
    )
    printing = Dictionary(Event=Name.Print, Category=Array([Name.Print]), OCGs=Array([cut]))
    pdf.Root.OCProperties = Dictionary(
        OCGs=Array([art, cut]),
        D=Dictionary(
            Name="Print",
            BaseState=Name.ON,
            ON=Array([art]),
            OFF=Array([cut]),
            Order=Array([art, cut]),
            AS=Array([printing]),
        ),
    )
    return art, cut


def _spot(pdf: Pdf) -> Array:
    """Return the spot colour of the cut line: none of it is paper, all of it dark teal."""
    from pikepdf import Array, Dictionary, Name

    tint = Dictionary(
        FunctionType=2, Domain=Array([0, 1]), C0=Array([1, 1, 1]), C1=Array([*CUT_RGB]), N=1
    )
    art_space = resources(pdf).XObject.Art.ColorSpace
    made: Array = pdf.make_indirect(
        Array([Name.Separation, Name("/" + CUT_LAYER), art_space, tint])
    )
    return made


def _cut_operators(page: Page) -> str:
    """Return the operators that stroke every outline, y turned upwards."""
    dash = " ".join(number(mm / MM_PER_POINT) for mm in DASH_MM)
    paths = "".join(_path(p.outline, page.sheet.height_mm) for p in page.sheet.placements)
    width = number(LINE_MM / MM_PER_POINT)
    return f"/Over gs /KissCut CS 1 SCN {width} w 1 J 1 j [{dash}] 0 d\n{paths}"


def _path(contour: Contour, height_mm: float) -> str:
    def at(point: tuple[float, float]) -> str:
        return " ".join(number(mm / MM_PER_POINT) for mm in (point[0], height_mm - point[1]))

    here, pieces = beziers(contour)
    words = [f"{at(here)} m"]
    for piece in pieces:
        straight = is_line(here, piece)
        words.append(f"{at(piece[2])} l" if straight else f"{' '.join(map(at, piece))} c")
        here = piece[2]
    return "\n".join([*words, "s\n"])
