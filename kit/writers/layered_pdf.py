"""Print and cut in one file: the cut lines in processing-step layers that are off by default.

In: a ``Page``. Out: the print PDF's bytes with a second layer whose optional-content group is
marked ``Structural`` / ``PartialCutting`` (ISO 19593-1 by way of the PDF Association's Arlington
model, ``GTS_ProcStepsGroup``): a kiss cut; and a third, ``Cutting``, where the sheet has through
cuts. The lines are a spot colour of their layer's name, shown dark and dashed, with overprint on.

The layers are off in the default configuration, their usage says never to print them, and nothing
says to view them: a contradicting ``ViewState /ON`` would make some viewers paint them. Not
claimed: PDF/X.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kit.cut import CUT_CLASSES, CutClass
from kit.render import Page
from kit.shapes import beziers
from kit.writers.pdf import art_operators, closed_path, draw, new_pdf, number, resources, to_bytes
from patterns.units import MM_PER_POINT

if TYPE_CHECKING:
    from pikepdf import Array, Dictionary, Pdf

# the same two inks as on screen: dark teal and dark ochre
CUT_RGB = {"kiss-cut": (0.043, 0.322, 0.361), "through-cut": (0.478, 0.353, 0.0)}
LINE_MM, DASH_MM = 0.25, (1.5, 1.0)


def layered_pdf(page: Page) -> bytes:
    """Return the PDF that carries artwork and cut lines."""
    from pikepdf import Dictionary

    pdf = new_pdf(page)
    used = [cut for cut in CUT_CLASSES if any(path.cut is cut for path in page.cuts.paths)]
    art, *layers = _layers(pdf, used)
    names = [cut.name.title().replace(" ", "") for cut in used]
    own = resources(pdf)
    own["/Properties"] = Dictionary(Print=art)
    own["/ExtGState"] = Dictionary(Over=Dictionary(OP=True, op=True, OPM=1))
    operators = f"/OC /Print BDC\n{art_operators(page)}EMC\n"
    for cut, name, layer in zip(used, names, layers, strict=True):
        own.Properties[f"/{name}"] = layer
        own.ColorSpace[f"/{name}"] = _spot(pdf, cut)
        operators += f"/OC /{name} BDC\nq\n{_cut_operators(page, cut, name)}Q\nEMC\n"
    draw(pdf, operators)
    return to_bytes(pdf)


def _layers(pdf: Pdf, cuts: Sequence[CutClass]) -> list[Dictionary]:
    """Make the optional-content groups and the configuration that hides the cuts; artwork first."""
    from pikepdf import Array, Dictionary, Name

    art = pdf.make_indirect(Dictionary(Type=Name.OCG, Name="Artwork"))
    layers = [
        pdf.make_indirect(
            Dictionary(
                Type=Name.OCG,
                Name=cut.name,
                Usage=Dictionary(Print=Dictionary(PrintState=Name.OFF)),
                GTS_Metadata=Dictionary(
                    GTS_ProcStepsGroup=Name.Structural, GTS_ProcStepsType=Name(f"/{cut.process}")
                ),
            )
        )
        for cut in cuts
    ]
    printing = Dictionary(Event=Name.Print, Category=Array([Name.Print]), OCGs=Array(layers))
    pdf.Root.OCProperties = Dictionary(
        OCGs=Array([art, *layers]),
        D=Dictionary(
            Name="Print",
            BaseState=Name.ON,
            ON=Array([art]),
            OFF=Array(layers),
            Order=Array([art, *layers]),
            AS=Array([printing]),
        ),
    )
    return [art, *layers]


def _spot(pdf: Pdf, cut: CutClass) -> Array:
    """Return the spot colour of a cut line: none of it is paper, all of it its colour on screen."""
    from pikepdf import Array, Dictionary, Name

    ink = Array([*CUT_RGB[cut.key]])
    tint = Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([1, 1, 1]), C1=ink, N=1)
    art_space = resources(pdf).XObject.Art.ColorSpace
    parts = Array([Name.Separation, Name("/" + cut.name), art_space, tint])
    colour: Array = pdf.make_indirect(parts)
    return colour


def _cut_operators(page: Page, cut: CutClass, spot: str) -> str:
    """Return the operators that stroke every outline of one kind of cut, y turned upwards."""
    dash = " ".join(number(mm / MM_PER_POINT) for mm in DASH_MM)
    own = (path.contour for path in page.cuts.paths if path.cut is cut)
    paths = "".join(f"{closed_path(*beziers(contour), page.sheet.height_mm)}S\n" for contour in own)
    width = number(LINE_MM / MM_PER_POINT)
    return f"/Over gs /{spot} CS 1 SCN {width} w 1 J 1 j [{dash}] 0 d\n{paths}"
