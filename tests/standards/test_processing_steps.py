"""The layered PDF: keys as ISO 19593-1:2018 names them, and no renderer shows the cut by default.

Keys: PDF Association's Arlington PDF model, tsv/latest/GTS_ProcStepsGroup.tsv, which cites ISO
19593-1:2018, tables 2 and 3. Renderers: PDFium (for the screen and for print), MuPDF, Poppler and
Ghostscript, the last two where their commands are installed.
"""

from __future__ import annotations

import io
import shutil
import subprocess

import numpy as np
import pikepdf
import pytest
import shapely
from PIL import Image

from kit.registration import bleed_boxes
from kit.render import render_page
from kit.shapes import Rect, circle, flatten_contour, rounded_rectangle
from kit.sheet import ColourFill, Placement, Sheet
from kit.writers import WRITERS

BOXES = [Rect(12.3 + 43.1 * (i % 4), 14.7 + 55.3 * (i // 4), 40.0, 52.0) for i in range(16)]


@pytest.fixture(scope="module")
def page():
    bleeds = bleed_boxes(BOXES, 1.0, Rect(0, 0, 215.9, 279.4))
    outlines = [rounded_rectangle(box, 1.5) for box in BOXES]
    outlines[5] = circle(*BOXES[5].centre_mm, 15.0)
    placements = tuple(
        Placement("full box", box, outline, ColourFill("#e8d9b0"), bleed)
        for box, outline, bleed in zip(BOXES, outlines, bleeds, strict=True)
    )
    return render_page(Sheet("Steps", 215.9, 279.4, 150, placements), {})


@pytest.fixture(scope="module")
def layered(page):
    return WRITERS["layers-pdf"].write(page)


@pytest.fixture(scope="module")
def plain(page):
    return WRITERS["pdf"].write(page)


def cut_group(pdf):
    (cut,) = [g for g in pdf.Root.OCProperties.OCGs if "/GTS_Metadata" in g]
    return cut


def test_keys_are_those_of_the_standard(layered):
    with pikepdf.open(io.BytesIO(layered)) as pdf:
        # its name in older versions of pikepdf
        assert (pdf.check_pdf_syntax if hasattr(pdf, "check_pdf_syntax") else pdf.check)() == []
        cut = cut_group(pdf)
        assert dict(cut.GTS_Metadata) == {
            "/GTS_ProcStepsGroup": pikepdf.Name.Structural,
            "/GTS_ProcStepsType": pikepdf.Name.PartialCutting,
        }
        default = pdf.Root.OCProperties.D
        assert [g.objgen for g in default.OFF] == [cut.objgen]
        assert cut.Usage.Print.PrintState == "/OFF"
        # a contradicting view state makes PDFium and MuPDF paint the layer (measured)
        assert "/View" not in cut.Usage
        spot = pdf.pages[0].Resources.ColorSpace.KissCut
        assert (spot[0], spot[1]) == ("/Separation", "/Kiss cut")
        over = pdf.pages[0].Resources.ExtGState.Over
        assert (over.OP, over.op, over.OPM) == (True, True, 1)
        assert b"GTS_PDFX" not in layered  # no claim of PDF/X


def pdfium_view(data):
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    try:
        return np.asarray(document[0].render(scale=150 / 72).to_pil().convert("RGB"))
    finally:
        document.close()


def pdfium_print(data):
    import pypdfium2
    from pypdfium2 import raw

    document = pypdfium2.PdfDocument(data)
    try:
        page = document[0]
        picture = page.render(scale=150 / 72, extra_flags=raw.FPDF_PRINTING)
        return np.asarray(picture.to_pil().convert("RGB"))
    finally:
        document.close()


def mupdf(data):
    import pymupdf

    with pymupdf.open(stream=data, filetype="pdf") as document:
        pix = document[0].get_pixmap(dpi=150)
        return np.frombuffer(pix.samples, np.uint8).reshape(pix.height, pix.width, 3)


def by_command(command, data):
    """Render with a command that reads standard input or a file and writes a PNM."""
    if shutil.which(command[0]) is None:
        pytest.skip(f"{command[0]} is not installed")
    done = subprocess.run(command, input=data, capture_output=True, check=True)
    with Image.open(io.BytesIO(done.stdout)) as image:
        return np.asarray(image.convert("RGB"))


def poppler(data):
    return by_command(["pdftoppm", "-r", "150", "-"], data)


def ghostscript(data):
    options = ["-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-sDEVICE=ppmraw", "-r150"]
    return by_command(["gs", *options, "-sOutputFile=-", "-"], data)


def ghostscript_printing(data):
    options = ["-q", "-dSAFER", "-dBATCH", "-dNOPAUSE", "-dPrinted", "-sDEVICE=ppmraw", "-r150"]
    return by_command(["gs", *options, "-sOutputFile=-", "-"], data)


RENDERERS = [
    pdfium_view,
    pdfium_print,
    *(
        pytest.param(one, marks=pytest.mark.slow)
        for one in (mupdf, poppler, ghostscript, ghostscript_printing)
    ),
]


@pytest.mark.parametrize("render", RENDERERS)
def test_the_cut_layer_paints_no_pixel(render, layered, plain):
    with_cut, without = render(layered), render(plain)
    assert with_cut.shape == without.shape
    assert (with_cut != without).sum() == 0


def switched_on(layered):
    """The same file with the layer on: to show that the test above can fail."""
    with pikepdf.open(io.BytesIO(layered)) as pdf:
        pdf.Root.OCProperties.D.OFF = pikepdf.Array([])
        del cut_group(pdf)["/Usage"]
        out = io.BytesIO()
        pdf.save(out)
    return out.getvalue()


@pytest.mark.parametrize("render", RENDERERS)
def test_switched_on_the_layer_shows(render, layered, plain):
    changed = (render(switched_on(layered)) != render(plain)).any(axis=2)
    assert changed.sum() > 5000
    # and it shows where the stickers' edges are, nowhere else
    rows, cols = np.nonzero(changed)
    points = shapely.points((cols + 0.5) * 25.4 / 150, (rows + 0.5) * 25.4 / 150)
    edges = shapely.union_all([shapely.box(b.x_mm, b.y_mm, b.right_mm, b.bottom_mm) for b in BOXES])
    edges = edges.boundary.buffer(0.8).union(
        shapely.LinearRing(flatten_contour(circle(*BOXES[5].centre_mm, 15.0), 0.01)).buffer(0.8)
    )
    assert shapely.contains(edges, points).mean() > 0.999


def test_cut_paths_are_closed_and_one_a_sticker(layered, page):
    """Operators by pypdf's own parser; sizes in millimetres."""
    import pypdf

    reader = pypdf.PdfReader(io.BytesIO(layered))
    found, box = [], None
    for operands, operator in reader.pages[0].get_contents().operations:
        numbers = [float(v) for v in operands] if operator in (b"m", b"l", b"c") else []
        if operator == b"m":
            box = []
        if box is not None and numbers:
            box += list(zip(numbers[-2::2], numbers[-1::2], strict=True))
        if operator == b"h":  # the path is closed
            found.append(np.array(box) * 25.4 / 72)
            box = None
    assert len(found) == len(page.sheet.placements)
    in_cutting_order = [page.sheet.placements[path.number] for path in page.cuts.paths]
    for points, placement in zip(found, in_cutting_order, strict=True):
        if placement.box is BOXES[5]:
            assert np.ptp(points, axis=0) == pytest.approx((30.0, 30.0), abs=0.01)
            continue
        wanted = (placement.box.width_mm, placement.box.height_mm)
        assert np.ptp(points, axis=0) == pytest.approx(wanted, abs=0.01)
        assert points[:, 0].min() == pytest.approx(placement.box.x_mm, abs=0.01)
        assert 279.4 - points[:, 1].max() == pytest.approx(placement.box.y_mm, abs=0.01)
