"""Print and cut in one file: the cut lines in processing-step layers that are off by default.

In: a ``Page``. Out: the print PDF's bytes with a second layer whose optional-content group is
marked ``Structural`` / ``PartialCutting`` (ISO 19593-1 by way of the PDF Association's Arlington
model, ``GTS_ProcStepsGroup``): a kiss cut; and a third, ``Cutting``, where the sheet has through
cuts. The lines are a spot colour, of their layer's name or the name that the recipe gives the kiss
cut's, solid, because a dashed line may be cut dashed, with overprint on.

The layers are off in the default configuration, their usage says never to print them, and nothing
says to view them: a contradicting ``ViewState /ON`` would make some viewers paint them. Not
claimed: PDF/X.

``cut_pdf`` is the cut lines alone, in the same spot colours and in no layer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from kit.cut import CUT_CLASSES, CutClass
from kit.render import CutPage, Page
from kit.shapes import beziers
from kit.writers.pdf import (
    art_operators,
    blank_pdf,
    closed_path,
    draw,
    new_pdf,
    number,
    resources,
    to_bytes,
)
from patterns.units import MM_PER_POINT

if TYPE_CHECKING:
    from pikepdf import Array, Dictionary, Pdf

# the same two inks as on screen: dark teal and dark ochre
CUT_RGB = {"kiss-cut": (0.043, 0.322, 0.361), "through-cut": (0.478, 0.353, 0.0)}
LINE_MM = 0.25


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
        own.ColorSpace[f"/{name}"] = _spot(pdf, cut, page.sheet.cut.spot)
        operators += f"/OC /{name} BDC\nq\n{_cut_operators(page, cut, name)}Q\nEMC\n"
    draw(pdf, operators)
    return to_bytes(pdf)


def cut_pdf(page: Page | CutPage) -> bytes:
    """Return a PDF of the cut lines alone, in cutting order."""
    from pikepdf import Dictionary

    pdf = blank_pdf(page.sheet)
    own = resources(pdf)
    own["/ExtGState"] = Dictionary(Over=Dictionary(OP=True, op=True, OPM=1))
    operators = ""
    for cut in CUT_CLASSES:
        if any(path.cut is cut for path in page.cuts.paths):
            name = cut.name.title().replace(" ", "")
            own.ColorSpace[f"/{name}"] = _spot(pdf, cut, page.sheet.cut.spot)
            operators += f"q\n{_cut_operators(page, cut, name)}Q\n"
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


def _spot(pdf: Pdf, cut: CutClass, kiss: str) -> Array:
    """Return the spot colour of a cut line: none of it is paper, all of it its colour on screen.

    Args:
        pdf: where it is used.
        cut: which line.
        kiss: the name of the kiss cut's; "" for its own.
    """
    from pikepdf import Array, Dictionary, Name

    ink = Array([*CUT_RGB[cut.key]])
    tint = Dictionary(FunctionType=2, Domain=Array([0, 1]), C0=Array([1, 1, 1]), C1=ink, N=1)
    name = kiss if kiss and cut is CUT_CLASSES[0] else cut.name
    parts = Array([Name.Separation, Name("/" + name), resources(pdf).ColorSpace.Art, tint])
    colour: Array = pdf.make_indirect(parts)
    return colour


def _cut_operators(page: Page | CutPage, cut: CutClass, spot: str) -> str:
    """Return the operators that stroke every outline of one kind of cut, y turned upwards."""
    own = (path.contour for path in page.cuts.paths if path.cut is cut)
    paths = "".join(f"{closed_path(*beziers(contour), page.sheet.height_mm)}S\n" for contour in own)
    width = number(LINE_MM / MM_PER_POINT)
    return f"/Over gs /{spot} CS 1 SCN {width} w 1 J 1 j\n{paths}"
